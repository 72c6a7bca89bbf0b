"""What happened to a chain that does not hold: read slowly from the first entry that fails."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from kiosk.store import prepared
from kiosk.store.chain import Walk
from kiosk.store.entry import PREV, hash_of, mark_of
from kiosk.store.head import Noted
from kiosk.store.keys import Keys


class How(StrEnum):
    """What is wrong. Words for each are under ``record.<how>``."""

    CHANGED = "changed"
    REMOVED = "removed"
    INSERTED = "inserted"
    REORDERED = "reordered"
    TRUNCATED = "truncated"
    REWRITTEN = "rewritten"
    NO_NOTE = "no_note"
    BAD_SEAL = "bad_seal"
    GUARD = "guard"
    DAMAGED = "damaged"
    DISAGREES = "disagrees"
    POLICY = "policy"


@dataclass(frozen=True, slots=True)
class Break:
    """The first place that does not hold. ``seq`` 0 means the file as a whole."""

    seq: int
    how: How
    detail: str


@dataclass(frozen=True, slots=True)
class _Row:
    """One stored row and what its text says of itself. ``genuine``: the counter's own, as written."""

    seq: int
    says: int
    prev: str
    hashed: bool
    genuine: bool


_SEQ: Final = re.compile(r'\{"prev":"[0-9a-f]{64}","seq":(\d+),')


def diagnose(connection: sqlite3.Connection, keys: Keys, chain: Walk, noted: Noted | None) -> Break:
    """Return what happened at the first entry after the part of the chain that holds."""
    first = _first_out_of_place(connection, chain)
    rows = _rows(connection, keys, first)
    row = next(rows, None)
    if row is None:
        return Break(first, How.REMOVED, "nothing stands in this place")
    if row.genuine:
        return _misplaced(row, first, rows)
    if any(later.genuine and later.says == first for later in rows) or _ended_before(noted, first):
        return Break(first, How.INSERTED, "this entry was not written by this counter")
    return Break(first, How.CHANGED, "this entry is not as it was written")


def _first_out_of_place(connection: sqlite3.Connection, chain: Walk) -> int:
    """Return the first place that does not hold; a chain that hashes well may still be numbered badly."""
    places = connection.execute(prepared.SEQS_FROM, {"first": chain.first})
    for wanted, (seq,) in zip(range(chain.first, chain.next), places, strict=False):
        if seq != wanted:
            return wanted
    return chain.next


def _rows(connection: sqlite3.Connection, keys: Keys, first: int) -> Iterator[_Row]:
    """Yield the rows from a place on."""
    for seq, text, claimed, mark in connection.execute(prepared.ENTRIES_FROM, {"first": first}):
        own, said = hash_of(text), _SEQ.match(text)
        genuine = mark_of(keys.counter, own) == mark
        yield _Row(seq, int(said[1]) if said else 0, text[PREV], own == claimed, genuine)


def _misplaced(row: _Row, first: int, later: Iterator[_Row]) -> Break:
    """Return what brought a genuine entry to where it stands now."""
    if row.says == first == row.seq and not row.hashed:
        return Break(first, How.CHANGED, "its hash is not as it was written")
    if row.says == first == row.seq:
        return Break(first - 1, How.CHANGED, "the next entry was written after another one")
    if row.says < first:
        return Break(first, How.INSERTED, f"entry {row.says} stands here a second time")
    if any(other.genuine and other.says == first for other in later):
        return Break(first, How.REORDERED, f"entry {row.says} stands in this place")
    return Break(first, How.REMOVED, f"entry {row.says} follows on entry {first - 1}")


def _ended_before(noted: Noted | None, place: int) -> bool:
    """Say whether the record never reached a place, going by its note."""
    return noted is not None and noted.seq < place
