"""The quick proof: every entry hashes to its hash and names the hash of the one before.

One pass over the stored text, nothing parsed: a million entries take a second or two.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

from kiosk.store import prepared
from kiosk.store.entry import FIRST_PREV, PREV

_BATCH: Final = 1000


@dataclass(frozen=True, slots=True)
class Walk:
    """How far the chain holds from ``first``: ``good`` entries, the last of them hashing to ``hash``."""

    first: int
    good: int
    hash: str
    whole: bool

    @property
    def next(self) -> int:
        """The place of the first entry that does not hold, or of the one to be written next."""
        return self.first + self.good


def walk(connection: sqlite3.Connection, first: int = 1, prev: str = FIRST_PREV) -> Walk:
    """Follow the chain from entry ``first``, whose predecessor hashes to ``prev``."""
    cursor = connection.cursor()
    cursor.row_factory = None
    cursor.execute(prepared.CHAIN_FROM, {"first": first})
    good = 0
    while rows := cursor.fetchmany(_BATCH):
        held = _followed(rows, prev)
        good += held
        prev = rows[held - 1][1] if held else prev
        if held < len(rows):
            return Walk(first, good, prev, whole=False)
    return Walk(first, good, prev, whole=_numbered(connection, first, good))


def _followed(rows: list[tuple[str, str]], prev: str) -> int:
    """Return how many of these texts and hashes hold in a row: the one loop that must be quick."""
    hashed = sha256
    for text, claimed in rows:
        if text[9:73] != prev or hashed(text.encode()).hexdigest() != claimed:  # 9:73 is ``entry.PREV``
            return next(place for place, row in enumerate(rows) if row[0] is text)
        prev = claimed
    return len(rows)


def walk_tail(connection: sqlite3.Connection, count: int) -> Walk:
    """Follow the last ``count`` entries; the first of them is taken at its word for what came before."""
    last = connection.execute(prepared.LAST_PLACE).fetchone()[0] or 0
    first = max(1, last - count + 1)
    row = connection.execute(prepared.CHAIN_FROM, {"first": first}).fetchone()
    return walk(connection, first, row[0][PREV] if row and first > 1 else FIRST_PREV)


def _numbered(connection: sqlite3.Connection, first: int, good: int) -> bool:
    """Say whether so many entries from ``first`` on take their places without a gap."""
    lowest = connection.execute(prepared.SEQS_FROM, {"first": first}).fetchone()
    highest = connection.execute(prepared.LAST_PLACE).fetchone()
    return good == 0 or (lowest[0] == first and highest[0] == first + good - 1)
