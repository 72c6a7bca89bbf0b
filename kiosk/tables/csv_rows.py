"""Reads a table of figures: text stays text until a reader asks for a Decimal or a Measure.

A table is a UTF-8 CSV file with a header. Every table has the columns ``source`` (title, edition,
table) and ``known`` (how the figure is known); a row without them is refused, and so are a ragged
row, a duplicate key, a number written as a float, and an unknown unit. Every refusal names the file
and the line.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

from kiosk.core.units import BASE_UNITS, Measure
from kiosk.tables.resources import resource

KNOWN = frozenset({"seen", "from memory", "common practice"})
_PLAIN = re.compile(r"-?\d+(\.\d+)?")


class BadTable(ValueError):
    """A table that ships with the kiosk, or a site's own, cannot be trusted; the text says where."""


class Row(dict[str, str]):
    """One row by column name, stripped. ``where`` is ``file.csv:line`` for messages."""

    def __init__(self, cells: dict[str, str], where: str) -> None:
        super().__init__(cells)
        self.where = where

    def refused(self, why: str) -> BadTable:
        """Return the trouble with this row, ready to raise."""
        return BadTable(f"{self.where}: {why}")

    def text(self, column: str) -> str:
        """Return a cell that must not be empty."""
        if not self.get(column):
            raise self.refused(f"{column} is empty")
        return self[column]

    def decimal(self, column: str) -> Decimal:
        """Return a plain decimal number such as ``0.05``; exponents, infinities, commas are refused."""
        text = self.text(column)
        if not _PLAIN.fullmatch(text):
            raise self.refused(f"{column} is not a plain decimal number: {text!r}")
        return Decimal(text)

    def decimal_or_none(self, column: str) -> Decimal | None:
        """Return a plain decimal number, or None where the cell is empty."""
        return self.decimal(column) if self.get(column) else None

    def whole(self, column: str) -> int:
        """Return a whole number."""
        number = self.decimal(column)
        if number != int(number):
            raise self.refused(f"{column} is not a whole number: {self[column]!r}")
        return int(number)

    def measure(self, column: str, unit: str = "") -> Measure:
        """Return the cell as a measure in ``unit``, or in the unit that the ``unit`` column names."""
        code = unit or self.text("unit")
        if any(part not in BASE_UNITS and part != "1" for part in code.split("/")):
            raise self.refused(f"unknown unit {code!r}")
        return Measure.of(self.decimal(column), code)

    def measure_or_none(self, column: str, unit: str = "") -> Measure | None:
        """Return the cell as a measure, or None where it is empty."""
        return self.measure(column, unit) if self.get(column) else None


def rows(name: str, key: Sequence[str] = ()) -> list[Row]:
    """Read ``resources/tables/<name>.csv``; see ``read``."""
    return read(resource("tables", f"{name}.csv"), key)


Door = Callable[[str, Sequence[str]], list[Row]]
"""What a loader reads tables through: ``rows``, or ``with_site`` where a site has figures of its own."""


def with_site(folder: Path) -> Door:
    """Return a door that lays a site's own rows, from CSV files in ``folder``, over the shipped ones.

    A row with the key of a shipped one takes its place, any other is added at the end. What was seen in a
    published source stays: a site may replace only what is known from memory or practice, or choose.
    """

    def laid_over(name: str, key: Sequence[str]) -> list[Row]:
        shipped, own = rows(name, key), folder / f"{name}.csv"
        return _laid_over(shipped, read(own, key), key) if own.is_file() else shipped

    return laid_over


def _laid_over(shipped: Sequence[Row], own: Sequence[Row], key: Sequence[str]) -> list[Row]:
    """Return the shipped rows with a site's own in their places, and its new ones after them."""
    theirs = {_key(row, key): row for row in own}
    merged = []
    for row in shipped:
        instead = theirs.pop(_key(row, key), row)
        changed = {column for column in row if row[column] != instead.get(column)}
        if row["known"] == "seen" and changed - {"chosen", "source", "known"}:
            raise instead.refused(f"what was seen in a published source stays as it is ({row.where})")
        merged.append(instead)
    return [*merged, *theirs.values()]


def _columns(row: Row, key: Sequence[str]) -> tuple[str, ...]:
    """Return the columns that make a row the one it is."""
    if key:
        return tuple(key)
    return ("id",) if "id" in row else tuple(c for c in row if c not in ("source", "known"))


def _key(row: Row, key: Sequence[str]) -> tuple[str, ...]:
    """Return what makes a row the one it is."""
    return tuple(row[column] for column in _columns(row, key))


def read(path: Path, key: Sequence[str] = ()) -> list[Row]:
    """Read one table. Raises ``BadTable``.

    ``key`` names the columns that together must be unique; by default ``id`` where there is such a
    column, else the whole row but for its source.
    """
    if not path.is_file():
        raise BadTable(f"{path.name}: no such table")
    try:
        found = list(_sourced(path))
    except (csv.Error, UnicodeDecodeError) as trouble:
        raise BadTable(f"{path.name}: {trouble}") from trouble
    _refuse_duplicates(found, key)
    return found


def _sourced(path: Path) -> Iterator[Row]:
    """Yield the rows below the header, refusing ragged and unsourced ones."""
    with path.open(encoding="utf-8", newline="") as handle:
        lines = csv.reader(handle, strict=True)
        header = _header(path.name, next(lines, []))
        for cells in lines:
            where = f"{path.name}:{lines.line_num}"
            if len(cells) != len(header):
                raise BadTable(f"{where}: {len(cells)} cells under {len(header)} columns")
            yield _checked(Row(dict(zip(header, (cell.strip() for cell in cells), strict=True)), where))


def _header(name: str, header: list[str]) -> list[str]:
    """Return the column names, or refuse a table without ``source`` and ``known``."""
    for column in ("source", "known"):
        if column not in header:
            raise BadTable(f"{name}:1: no column {column!r}")
    if len(set(header)) != len(header):
        raise BadTable(f"{name}:1: a column name stands twice")
    return header


def _checked(row: Row) -> Row:
    """Return the row, or refuse it for want of a source or of how it is known."""
    row.text("source")
    if row["known"] not in KNOWN:
        raise row.refused(f"known must be one of {sorted(KNOWN)}, not {row['known']!r}")
    return row


def _refuse_duplicates(found: Sequence[Row], key: Sequence[str]) -> None:
    """Raise when two rows share the key."""
    seen: dict[tuple[str, ...], str] = {}
    for row in found:
        value = _key(row, key)
        if value in seen:
            raise row.refused(
                f"the same {', '.join(_columns(row, key))} as in {seen[value]}: {' '.join(value)}"
            )
        seen[value] = row.where


def digest_of_tables(site: Path | None = None) -> dict[str, str]:
    """Return the SHA-256 (hex) of every table by its name, for the ledger to note.

    A site's own files follow as ``site/<name>``.
    """
    folders = {"": resource("tables"), "site/": site}
    return {
        f"{mark}{path.stem}": sha256(path.read_bytes()).hexdigest()
        for mark, folder in folders.items()
        if folder is not None
        for path in sorted(folder.glob("*.csv"))
    }
