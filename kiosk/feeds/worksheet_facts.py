"""From the fields of ``given`` to facts: the vocabulary of ``resources/tables/worksheet_facts.csv``.

Each field name has a kind of value and the fact it states. A unit decides which fact exactly: a dose in
``mg/kg/day`` is a day's dose by weight. Everything is checked here and refused by its path; what comes out
is ``Stated``, ready to be followed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from kiosk.core.dose.follow import ALLOWED_DIFFERENCE, LabelLine, Stated
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given, Said
from kiosk.feeds.worksheet_read import BadInput, wrong_type
from kiosk.feeds.worksheet_readers import READERS
from kiosk.feeds.worksheet_shapes import FAMILIES

MOST_LINES: Final = 12
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
        """Return the row of a field, or None when no such field is known."""
        return self._by_name.get(name.casefold())


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Reads the fields of ``given`` by the rows of the vocabulary."""

    names: FactNames
    figures: Figures

    def read(self, given: Mapping[str, Any], path: str = "given") -> Given:
        """Return everything stated; a field that is null states nothing. Raises ``BadInput``."""
        found = Given()
        for name, node in given.items():
            row = self.names.named(name)
            here = f"{path}.{name[:60]}"
            if row is None:
                raise BadInput(here, "unknown_field")
            if node is None:
                continue
            if row.kind == "lines":
                found.lines.extend(self._lines(node, here))
            else:
                READERS[row.kind](self.figures, row, node, here, found)
        return found

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
            facts = {one.fact: one.value for one in self.read(line, here).said}
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
    if divided is not None:
        measures.setdefault("doses_per_day", divided)
        if divided.value > 1 and not given.per_dose:
            measures["divided_into"] = divided
    for limit in ("max_dose", "max_day"):
        if limit in measures and {f"{limit}_per_weight", f"{limit}_per_surface"} & measures.keys():
            measures[f"{limit}_at_most"] = measures.pop(limit)
    words = {**given.words, **{word: "named" for word in given.words.values() if word in _NAMED_RULES}}
    allowed = ALLOWED_DIFFERENCE if given.allowed_error is None else given.allowed_error
    return Stated(measures, words, tuple(given.lines), allowed, tuple(again))


def _summed(said: list[Said]) -> Iterator[tuple[str, Measure]]:
    """Yield each statement of a fact; the parts of one figure come as their sum."""
    sums: dict[str, Measure] = {}
    for one in said:
        if one.path.rpartition(".")[2] not in SUMMED:
            yield one.fact, one.value
        else:
            sums[one.fact] = sums[one.fact] + one.value if one.fact in sums else one.value
    yield from sums.items()
