"""From the fields of ``given`` to facts: the vocabulary of ``resources/tables/worksheet_facts.csv``.

Each field name has a kind of value and the fact it states. A unit decides which fact exactly: a dose in
``mg/kg/day`` is a day's dose by weight. Everything is checked here and refused by its path; what comes out
is ``Stated``, ready to be followed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from kiosk.core.dose.follow import ALLOWED_DIFFERENCE, LabelLine, Stated
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given, Said
from kiosk.feeds.worksheet_read import BadInput, wrong_type
from kiosk.feeds.worksheet_readers import READERS
from kiosk.feeds.worksheet_shapes import FAMILIES
from kiosk.feeds.worksheet_suffix import without_unit

MOST_LINES: Final = 12
MEASURED: Final = frozenset(
    {"dose", "daily", "limit", "daily_limit", "amount", "weight", "height", "surface"}
) | {
    *("age", "interval", "time", "strength", "volume", "volume_or_name", "displacement", "content"),
    *("flow", "any", "graduation"),
}
"""Kinds of field that hold a measure, so that its unit may stand at the end of the field's name."""

SUMMED: Final = frozenset(
    f"{patient}{part}"
    for patient in ("patient_", "")
    for part in ("weight_st", "weight_lb", "weight_oz", "height_ft", "height_in")
)
"""Fields that are parts of one figure: stones, pounds and ounces, feet and inches."""


class FactNames:
    """Every field of ``given`` by its name, in any capitals; ``statable`` are the facts they may state."""

    def __init__(self, rows: Iterable[Mapping[str, str]]) -> None:
        columns = ("name", "kind", "fact", "unit", "meaning")
        made = [FactName(*(row[column] for column in columns)) for row in rows]
        self._by_name = {row.name.casefold(): row for row in made}
        told = (row for row in made if row.kind not in ("lines", "flag", "note"))
        self.statable: Final = frozenset(fact for row in told for fact in _statable(row) if fact)

    def named(self, name: str) -> FactName | None:
        """Return the row of a field, or None when no such field is known.

        A known name may have a unit at its end (``ordered_dose_mg``), which a bare number then takes.
        """
        known = self._by_name.get(name.casefold())
        shorter = None if known else without_unit(name)
        if shorter is None:
            return known
        row = self._by_name.get(shorter[0].casefold())
        return replace(row, unit=shorter[1]) if row and row.kind in MEASURED else None


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Reads the fields of ``given`` by the rows of the vocabulary."""

    names: FactNames
    figures: Figures

    def read(self, given: Mapping[str, Any], path: str = "given", *, in_line: bool = False) -> Given:
        """Return everything stated; a field that is null states nothing. Raises ``BadInput``.

        ``in_line``: these are the fields of one line of a label, in which there are no lines again.
        """
        found = Given()
        for name, node in given.items():
            row = self.names.named(name)
            here = f"{path}.{name[:60]}"
            if row is None or (in_line and row.kind == "lines"):
                raise BadInput(here, "unknown_field")
            if node is None:
                continue
            self._one_unit(name, row, node, here)
            if row.kind == "lines":
                found.lines.extend(self._lines(node, here))
            else:
                READERS[row.kind](self.figures, row, node, here, found)
        return found

    def _one_unit(self, name: str, row: FactName, node: Any, path: str) -> None:
        """Refuse a figure whose unit is another than the one at the end of its field's name."""
        named = without_unit(name) if row.kind in MEASURED else None
        written = node.get("unit") if isinstance(node, dict) else None
        if named is None or named[0].endswith("_per") or not isinstance(written, str):
            return
        wanted, found = self.figures.units.read(named[1]), self.figures.units.read(written)
        if wanted and found and (wanted.unit, wanted.factor) != (found.unit, found.factor):
            raise BadInput(f"{path}.unit", "unit_not_of_its_name", wanted_unit=named[1], unit=written[:40])

    def _lines(self, node: Any, path: str) -> Iterator[LabelLine]:
        """Yield the lines of a multi-strength powder label: a diluent and the concentration it gives."""
        if not isinstance(node, list):
            wrong_type(path, "list")
        if not 1 <= len(node) <= MOST_LINES:
            raise BadInput(path, "list_too_long" if node else "empty_list", most=MOST_LINES)
        for at, line in enumerate(node):
            here = f"{path}[{at}]"
            if not isinstance(line, dict):
                wrong_type(here, "table")
            facts = {one.fact: one.value for one in self.read(line, here, in_line=True).said}
            for fact, instead, name in _LINE:
                if fact not in facts and instead not in facts:
                    raise BadInput(f"{here}.{name}", "missing")
            strength = facts.get("final_concentration") or facts["stock_strength"]
            yield LabelLine(facts["diluent_added"], strength)


def _statable(row: FactName) -> Iterator[str]:
    """Yield the facts one field may state, by the shapes of its units."""
    yield row.fact
    for template in FAMILIES.get(row.kind, {}).values():
        yield template.format(row.fact).removesuffix("!day")


_LINE: Final = (
    ("diluent_added", "diluent_added", "diluent"),
    ("final_concentration", "stock_strength", "concentration"),
)
_NAMED_RULES: Final = frozenset({"clark", "young", "fried", "surface_share", "surface_by_weight"}) | {
    "on_actual",
    "on_ideal",
    "on_adjusted",
}


def stated(given: Given) -> Stated:
    """Return what was read as facts: parts added up, a second statement of a fact kept for comparison."""
    measures: dict[str, Measure] = {}
    again: list[tuple[str, Measure]] = []
    for fact, value in _summed(given.said):
        if fact in measures:
            again.append((fact, value))
        measures.setdefault(fact, value)
    divided = measures.pop("divided", None)
    called = {"divided": "doses_per_day"}
    if divided is not None:
        if measures.setdefault("doses_per_day", divided) is not divided:
            again.append(("doses_per_day", divided))
        if divided.value > 1 and not given.per_dose:
            measures["divided_into"] = divided
    for limit in ("max_dose", "max_day"):
        if limit in measures and {f"{limit}_per_weight", f"{limit}_per_surface"} & measures.keys():
            called[limit] = f"{limit}_at_most"
            measures[called[limit]] = measures.pop(limit)
    words = {**given.words, **{word: "named" for word in given.words.values() if word in _NAMED_RULES}}
    allowed = ALLOWED_DIFFERENCE if given.allowed_error is None else given.allowed_error
    twice = tuple((called.get(fact, fact), value) for fact, value in again)
    return Stated(measures, words, tuple(given.lines), allowed, twice)


def _summed(said: list[Said]) -> Iterator[tuple[str, Measure]]:
    """Yield each statement of a fact; the parts of one figure come as their sum."""
    sums: dict[str, Measure] = {}
    for one in said:
        if one.path.rpartition(".")[2] not in SUMMED:
            yield one.fact, one.value
        else:
            sums[one.fact] = sums[one.fact] + one.value if one.fact in sums else one.value
    yield from sums.items()
