"""The drug list as one file: a row for each drug with the day from which it counts, and rows for its limits.

A drug's first row says what it is and may hold its first limit. Each further limit is a row that repeats the
id and leaves the drug's other columns empty.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Final

from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.drug_sense import limits_nonsense
from kiosk.core.findings import Fact, Refusal
from kiosk.core.units import Measure
from kiosk.feeds.cells import KNOWN, BadCell, Cells, wrong_columns
from kiosk.feeds.drug_rows import DRUGS, ROUTES, read_bounds, read_drug
from kiosk.feeds.sheets import Sheet, SheetRow, open_sheet, write_csv
from kiosk.feeds.written import write_measure, write_number, write_strength

KIND: Final = "drug list"
FROM: Final = "effective_from"
BOUNDS: Final = ("per", "low", "high", "unit", "routes", "min_age_days", "max_age_days")
DRUG_LIST: Final = (*DRUGS, FROM, *BOUNDS, "limit_source", "limit_known")
_OF_THE_DRUG: Final = (*(column for column in DRUGS if column != "id"), FROM)


@dataclass(frozen=True, slots=True)
class Listed:
    """One drug of the file, whole: from which day, and the line of its first row."""

    drug: Drug
    effective: date
    line: int


@dataclass(slots=True)
class _Reading:
    """What was read so far: drugs by id, and the ids whose first row could not be taken."""

    found: dict[str, Listed] = field(default_factory=dict)
    spoilt: set[str] = field(default_factory=set)
    troubles: list[Refusal] = field(default_factory=list)


def is_drug_list(sheet: Sheet) -> bool:
    """Say whether a file means to be a drug list: it says from when what is measured how counts."""
    return {FROM, "measured_in"} <= set(sheet.columns)


def read_drug_list(path: Path, present: Collection[str]) -> tuple[tuple[Listed, ...], tuple[Refusal, ...]]:
    """Return the drugs of a CSV or XLSX file and every trouble in it; where there is one, take nothing.

    ``present`` are the ids of the drugs that are listed already: a neighbour may be one of them or of the
    file.
    """
    sheet = open_sheet(path)
    if isinstance(sheet, Refusal):
        return (), (sheet,)
    if wrong := wrong_columns(sheet, DRUG_LIST):
        return (), wrong
    reading = _Reading(troubles=list(sheet.troubles))
    for row in sheet.rows:
        _take(reading, row, sheet.name)
    for one in reading.found.values():
        for nonsense in limits_nonsense(one.drug):
            facts = {"column": nonsense.column, **nonsense.why.facts}
            reading.troubles.append(_told(sheet.name, one.line, nonsense.why.code, facts))
        for other in sorted(one.drug.looks_like - {*present, *reading.found, *reading.spoilt}):
            strange: dict[str, Fact] = {"column": "looks_like", "cell": other}
            reading.troubles.append(_told(sheet.name, one.line, "cell_names_nothing", strange))
    if not sheet.rows and not reading.troubles:
        reading.troubles.append(Refusal("list_empty", {"file": sheet.name}))
    return tuple(reading.found.values()), tuple(sorted(reading.troubles, key=_line))


def _take(reading: _Reading, row: SheetRow, file: str) -> None:
    """Read one row: a drug, or a further limit of one."""
    cells, name = Cells(row.cells), row.cells["id"]
    try:
        if name in reading.found:
            before = reading.found[name]
            reading.found[name] = replace(before, drug=_with_limit(before.drug, _further(cells, before)))
        elif name not in reading.spoilt:
            drug = read_drug(cells)
            effective = cells.day(FROM)
            more = read_bounds(cells, drug, "limit_source", "limit_known") if _has_limit(row) else None
            reading.found[name] = Listed(_with_limit(drug, more), effective, row.line)
    except BadCell as bad:
        reading.troubles.append(_told(file, row.line, bad.code, {"column": bad.column, **bad.facts}))
        if name not in reading.found:
            reading.spoilt.add(name)


def _further(cells: Cells, before: Listed) -> DoseLimit:
    """Return a further limit; a row that says again what the drug is may say something else, so none does."""
    for column in _OF_THE_DRUG:
        if cells.maybe(column):
            cells.bad(column, "drug_said_twice", first=before.line)
    return read_bounds(cells, before.drug, "limit_source", "limit_known")


def _has_limit(row: SheetRow) -> bool:
    """Say whether a row holds anything of a limit."""
    return any(row.cells[column] for column in (*BOUNDS, "limit_source", "limit_known"))


def _with_limit(drug: Drug, limit: DoseLimit | None) -> Drug:
    """Return a drug with one more limit."""
    return drug if limit is None else replace(drug, limits=(*drug.limits, limit))


def _told(file: str, line: int, code: str, facts: dict[str, Fact]) -> Refusal:
    """Return a trouble with where it stands."""
    return Refusal(code, {"file": file, "line": line, **facts})


def _line(trouble: Refusal) -> int:
    """Return the line a trouble is about; 0 for the file as a whole."""
    line = trouble.facts.get("line", 0)
    return line if isinstance(line, int) else 0


def write_drug_list(entries: Iterable[tuple[Drug, date]]) -> str:
    """Return entries, each with the day from which it counts, as CSV text that reads back as the same."""
    return write_csv(DRUG_LIST, (row for drug, effective in entries for row in _rows(drug, effective)))


def _rows(drug: Drug, effective: date) -> Iterator[dict[str, str]]:
    """Yield the rows of one drug."""
    empty = dict.fromkeys(DRUG_LIST, "")
    first, *more = [_bounds(limit) for limit in drug.limits] or [{}]
    yield empty | _drug(drug) | {FROM: effective.isoformat()} | first
    yield from (empty | {"id": drug.id} | limit for limit in more)


def _drug(drug: Drug) -> dict[str, str]:
    """Return the cells of a drug."""
    said = {name: _written(getattr(drug, name)) for name in DRUGS if name != "known"}
    return said | {
        "strengths": "; ".join(map(write_strength, drug.strengths)),
        "known": _known(drug.source),
    }


def _bounds(limit: DoseLimit) -> dict[str, str]:
    """Return the cells of a limit."""
    bound = limit.high or limit.low
    assert bound is not None
    return {
        "per": limit.per,
        "low": "" if limit.low is None else write_number(limit.low.to(bound.unit).value),
        "high": "" if limit.high is None else write_number(limit.high.value),
        "unit": bound.unit,
        "routes": "; ".join(route for route in ROUTES if route in limit.routes),
        "min_age_days": _written(limit.min_age_days),
        "max_age_days": _written(limit.max_age_days),
        "limit_source": limit.source,
        "limit_known": _known(limit.source),
    }


def _written(value: object) -> str:
    """Return one plain value of a drug as a cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Measure):
        return write_measure(value)
    if isinstance(value, Decimal):
        return write_number(value)
    if isinstance(value, frozenset):
        return "; ".join(sorted(value))
    return str(value)


def _known(source: str) -> str:
    """Return how a figure is known, as its source says."""
    return next((known for known in KNOWN[1:] if known in source), KNOWN[0])
