"""Reads the cells of one row strictly: each reader returns a value or ends the row with a named trouble.

``BadCell`` never leaves the feeds room: ``each`` turns it into a refusal with file, line and column.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Final, NoReturn, TypeVar

from kiosk.core.findings import Fact, Refusal
from kiosk.core.units import Measure
from kiosk.feeds import written, written_time
from kiosk.feeds.gtin import gtin14
from kiosk.feeds.sheets import Sheet, SheetRow

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)

KNOWN: Final = ("seen", "from memory", "common practice", "invented")
YES_NO: Final = {"yes": True, "no": False}


class BadCell(Exception):
    """One cell cannot be taken; ``code`` and ``facts`` say why."""

    def __init__(self, column: str, code: str, **facts: Fact) -> None:
        super().__init__(f"{column}: {code}")
        self.column = column
        self.code = code
        self.facts = facts


@dataclass(frozen=True, slots=True)
class Cells:
    """One row to read. With ``now``, days and moments may be counted from it; else they are written out."""

    row: Mapping[str, str]
    now: datetime | None = None

    def text(self, column: str) -> str:
        """Return a cell that must not be empty."""
        return self.row[column] or self.bad(column, "cell_empty")

    def maybe(self, column: str) -> str:
        """Return a cell that may be empty."""
        return self.row[column]

    def yes(self, column: str) -> bool:
        """Return whether the cell says ``yes``; empty is no."""
        return YES_NO[self.one_of(column, tuple(YES_NO))] if self.row[column] else False

    def one_of(self, column: str, allowed: Collection[str]) -> str:
        """Return a cell that must be one of a few words."""
        text = self.text(column)
        return text if text in allowed else self.bad(column, "cell_not_a_choice", allowed=tuple(allowed))

    def choice(self, column: str, kind: type[E]) -> E:
        """Return a cell as a member of a closed set of words."""
        try:
            return kind(self.text(column))
        except ValueError:
            self.bad(column, "cell_not_a_choice", allowed=tuple(member.value for member in kind))

    def many(self, column: str, allowed: Collection[str] | None = None) -> tuple[str, ...]:
        """Return the words of a cell, parted by ``;``, none twice; empty gives none."""
        parts = tuple(part.strip() for part in self.row[column].split(";")) if self.row[column] else ()
        if "" in parts or len(set(parts)) != len(parts):
            self.bad(column, "cell_list_bad")
        if allowed is not None and not set(parts) <= set(allowed):
            self.bad(column, "cell_not_a_choice", allowed=tuple(allowed))
        return parts

    def number(self, column: str) -> Decimal:
        """Return a plain decimal number."""
        found = written.number(self.text(column))
        return self.bad(column, "cell_not_a_number") if found is None else found

    def whole(self, column: str) -> int:
        """Return a whole number."""
        found = self.number(column)
        return int(found) if found == int(found) else self.bad(column, "cell_not_whole")

    def measure(self, column: str, like: str = "") -> Measure:
        """Return a measure, of the kind of the unit ``like`` where one is given."""
        found = written.measure(self.text(column))
        if found is None:
            return self.bad(column, "cell_not_a_measure")
        return found if not like or found.is_like(like) else self.bad(column, "cell_other_kind", wanted=like)

    def day(self, column: str) -> date:
        """Return a calendar day."""
        found = written_time.day(self.text(column), self.now)
        return self.bad(column, "cell_not_a_day") if found is None else found

    def moment(self, column: str) -> datetime:
        """Return an aware moment."""
        found = written_time.moment(self.text(column), self.now)
        return self.bad(column, "cell_not_a_moment") if found is None else found

    def gtin(self, column: str) -> str:
        """Return a trade item number as 14 digits, its check digit proved."""
        return gtin14(self.text(column)) or self.bad(column, "cell_not_a_gtin")

    def known(self, column: str, table: Mapping[str, T]) -> T:
        """Return the row of another list that this cell names."""
        name = self.text(column)
        return table[name] if name in table else self.bad(column, "cell_names_nothing")

    def if_any(self, column: str, read: Callable[[str], T]) -> T | None:
        """Return what ``read`` makes of the column, or None where the cell is empty."""
        return read(column) if self.row[column] else None

    def bad(self, column: str, code: str, **facts: Fact) -> NoReturn:
        """End the row: ``code`` and ``facts`` say what is wrong with the cell of ``column``."""
        raise BadCell(column, code, **{"cell": self.row[column], **facts})


def source(cells: Cells, said: str = "source", how: str = "known") -> str:
    """Return where a figure comes from, with how it is known where it was not read at the source."""
    known = cells.one_of(how, KNOWN)
    text = cells.text(said)
    return text if known == "seen" or known in text else f"{text} ({known})"


def each(
    sheet: Sheet, read: Callable[[Cells], T], now: datetime | None
) -> tuple[tuple[tuple[SheetRow, T], ...], tuple[Refusal, ...]]:
    """Read every row; return the rows with their values, and a refusal for each row that cannot be taken."""
    good: list[tuple[SheetRow, T]] = []
    bad: list[Refusal] = list(sheet.troubles)
    for row in sheet.rows:
        try:
            good.append((row, read(Cells(row.cells, now))))
        except BadCell as trouble:
            facts = {"file": sheet.name, "line": row.line, "column": trouble.column, **trouble.facts}
            bad.append(Refusal(trouble.code, facts))
    return tuple(good), tuple(bad)


def wrong_columns(sheet: Sheet, wanted: Iterable[str]) -> tuple[Refusal, ...]:
    """Return a refusal when columns are missing or unknown; nothing when they are as wanted, in any order."""
    missing = tuple(column for column in wanted if column not in sheet.columns)
    unknown = tuple(column for column in sheet.columns if column not in tuple(wanted))
    if not missing and not unknown:
        return ()
    return (Refusal("list_columns_wrong", {"file": sheet.name, "missing": missing, "unknown": unknown}),)


def doubles(sheet: Sheet, rows: Iterable[SheetRow], key: str) -> tuple[Refusal, ...]:
    """Return a refusal for each row whose key already stood in an earlier one."""
    first: dict[str, int] = {}
    found = []
    for row in rows:
        name = row.cells[key]
        if name in first:
            facts: dict[str, Fact] = {"file": sheet.name, "line": row.line, "column": key, "cell": name}
            found.append(Refusal("row_twice", {**facts, "first": first[name]}))
        first.setdefault(name, row.line)
    return tuple(found)
