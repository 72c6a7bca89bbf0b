"""Is the staff list what the record made of it? Every row against the last entry that speaks of it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any, Final

from kiosk.store import prepared
from kiosk.store.diagnosis import Break, How
from kiosk.store.entry import read_entry
from kiosk.store.keys import Keys
from kiosk.store.marked_rows import SHOWN_OF_BADGE, SHOWN_OF_MARK, is_ours
from kiosk.store.staff_rows import TABLES

# Which table and key an entry of each kind speaks of.
_OF: Final = {
    "StaffChanged": ("people", "person"),
    "PinChanged": ("pins", "person"),
    "BadgeIssued": ("badges", "badge"),
    "BadgeEnded": ("badges", "badge"),
}
_KEY: Final = {"people": "id", "pins": "person", "badges": "digest"}


def staff_breaks(connection: sqlite3.Connection, keys: Keys) -> Iterator[Break]:
    """Yield the first row of each table that this counter did not write, or wrote and has since replaced."""
    told = _told(connection)
    for table, sql in TABLES.items():
        rows = [row for row in _rows(connection, sql) if is_ours(keys, row)]
        there = {(table, row[_KEY[table]][: _length(table)]): row["mark"][:SHOWN_OF_MARK] for row in rows}
        wanted = {place: mark for place, mark in told.items() if place[0] == table}
        count = connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
        if count != len(rows) or there != wanted:
            yield Break(0, How.CHANGED, f"{table}: a row is not as this counter last wrote it")


def _length(table: str) -> int | None:
    """Return how much of a table's key its entries show; None for all of it."""
    return SHOWN_OF_BADGE if table == "badges" else None


def _told(connection: sqlite3.Connection) -> dict[tuple[str, str], str]:
    """Return the mark of each row as the last entry about it says."""
    told: dict[tuple[str, str], str] = {}
    for (text,) in connection.execute(prepared.STAFF_ENTRIES):
        entry = read_entry(text)
        table, field = _OF[entry.kind]
        told[(table, entry.raw[field])] = entry.raw["row"]  # entries that hold are ours: they have it
    return told


def _rows(connection: sqlite3.Connection, sql: str) -> Iterator[dict[str, Any]]:
    """Yield the rows of a query by name."""
    found = connection.execute(sql)
    names = [column[0] for column in found.description]
    for row in found:
        yield dict(zip(names, row, strict=True))
