"""From the fields of ``given`` to facts: the vocabulary of ``resources/tables/worksheet_facts.csv``.

Each field name has a kind of value and the fact it states. A unit decides which fact exactly: a dose in
``mg/kg/day`` is a day's dose by weight. Everything is checked here and refused by its path; what comes out
is ``Stated``, ready to be followed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from kiosk.core.dose.follow import ALLOWED_DIFFERENCE, LabelLine, Stated
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given, Said
from kiosk.feeds.worksheet_read import BadInput, wrong_type
from kiosk.feeds.worksheet_readers import READERS

MOST_LINES: Final = 12
SUMMED: Final = frozenset({"patient_weight_lb", "patient_weight_oz", "weight_lb", "weight_oz"}) | {
    "patient_height_ft",
    "patient_height_in",
    "height_ft",
    "height_in",
}
"""Fields that are parts of one figure: pounds and ounces, feet and inches."""


class Vocabulary:
    """Reads the fields of ``given`` by the rows of the vocabulary."""

    def __init__(self, rows: Iterable[Mapping[str, str]], figures: Figures) -> None:
        columns = ("name", "kind", "fact", "unit", "meaning")
        self.names = {row["name"]: FactName(*(row[column] for column in columns)) for row in rows}
        self._folded = {name.casefold(): row for name, row in self.names.items()}
        self.figures = figures

    def read(self, given: Mapping[str, Any], path: str = "given") -> Given:
        """Return everything stated; a field that is null states nothing. Raises ``BadInput``."""
        found = Given()
        for name, node in given.items():
            row = self.names.get(name) or self._folded.get(name.casefold())
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

    def statable(self) -> frozenset[str]:
        """Return the facts that a person may be asked to state."""
        return frozenset(row.fact for row in self.names.values() if row.kind not in ("lines", "flag", "note"))


_LINE: Final = (
    ("diluent_added", "diluent_added", "diluent"),
    ("final_concentration", "stock_strength", "concentration"),
)
_NAMED_RULES: Final = frozenset({"clark", "young", "fried", "surface_share"})


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
