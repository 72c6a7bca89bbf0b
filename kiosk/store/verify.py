"""Can the record be trusted? The first entry that breaks, and how.

``verify`` reads everything on a connection of its own and changes nothing. ``check_end`` is the short form
for start-up: the guards, the last entries, the head against its note.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.store import codec, prepared, seals
from kiosk.store.agreement import disagreements
from kiosk.store.chain import walk, walk_tail
from kiosk.store.connection import read_only
from kiosk.store.diagnosis import Break, How, diagnose
from kiosk.store.entry import FIRST_PREV, mark_of
from kiosk.store.head import Noted, read_note
from kiosk.store.keys import Keys
from kiosk.store.lists_agreement import list_breaks
from kiosk.store.progress import Progress
from kiosk.store.staff_agreement import staff_breaks
from kiosk.store.stock_agreement import stock_breaks
from kiosk.store.tries import tries_breaks

TAIL: Final = 1000


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a verification found. ``sealed`` is the last entry a kept seal vouches for."""

    entries: int
    sealed: int
    breaks: tuple[Break, ...]

    @property
    def whole(self) -> bool:
        """Nothing is wrong."""
        return not self.breaks


def verify(
    path: Path,
    keys: Keys,
    more_seals: Sequence[seals.Seal | Refusal] = (),
    told: Callable[[int, int], bool] | None = None,
) -> Verdict:
    """Verify everything: file, guards, chain, marks, note, seals, identities, projections.

    ``more_seals`` are seals from elsewhere, a slip scanned for instance. Raises nothing for a bad record:
    that is the answer. ``told`` hears how many of how many steps are done (two an entry) and answers whether
    to go on; raises ``Stopped`` once it says no.
    """
    noted = read_note(keys.folder)
    kept = [*seals.kept_seals(keys), *more_seals]
    entries, breaks = 0, list[Break]()
    try:
        with closing(read_only(path)) as connection:
            connection.execute("BEGIN")
            entries = connection.execute(prepared.COUNT_FROM, {"first": 1}).fetchone()[0]
            for broken in _breaks(connection, keys, noted, kept, Progress(told, 2 * entries)):
                breaks.append(broken)  # one by one: a damaged page further on must not lose them
            if not breaks:
                breaks += _row_breaks(connection, keys)
                breaks += disagreements(path, Progress(told, 2 * entries, entries))
    except sqlite3.DatabaseError as error:
        breaks.append(Break(0, How.DAMAGED, str(error)))
    sealed = max((seal.seq for seal in kept if isinstance(seal, seals.Seal)), default=0)
    return Verdict(entries, sealed, tuple(breaks))


def _breaks(
    connection: sqlite3.Connection,
    keys: Keys,
    noted: Noted | None,
    kept: Sequence[seals.Seal | Refusal],
    progress: Progress,
) -> Iterator[Break]:
    """Yield what is wrong with the file, the chain and what vouches for it, before anything is believed."""
    yield from _chain_breaks(connection, keys, noted, progress)
    yield from _note_breaks(connection, keys, noted)
    yield from _seal_breaks(connection, kept)
    yield from _guard_breaks(connection)
    yield from _file_breaks(connection)


def check_end(connection: sqlite3.Connection, keys: Keys, noted: Noted | None) -> Break | None:
    """Return what is wrong with the guards, the last entries or the head, or None. Takes milliseconds."""
    for broken in _guard_breaks(connection):
        return broken
    tail = walk_tail(connection, TAIL)
    if not tail.whole:
        return diagnose(connection, keys, tail, noted)
    head = connection.execute(prepared.HEAD).fetchone()
    if head is not None and mark_of(keys.counter, head[1]) != head[2]:
        return Break(head[0], How.REWRITTEN, "the last entry does not carry the counter's mark")
    return next(_note_breaks(connection, keys, noted), None)


def _chain_breaks(
    connection: sqlite3.Connection, keys: Keys, noted: Noted | None, progress: Progress
) -> Iterator[Break]:
    """Yield the first break of the chain or, if it holds, the first mark that is not the counter's."""
    chain = walk(connection)
    if not chain.whole:
        yield diagnose(connection, keys, chain, noted)
        return
    for seq, _, claimed, mark in connection.execute(prepared.ENTRIES_FROM, {"first": 1}):
        progress.done(seq)
        if mark_of(keys.counter, claimed) != mark:
            yield Break(seq, How.REWRITTEN, "this entry does not carry the counter's mark")
            return


def _note_breaks(connection: sqlite3.Connection, keys: Keys, noted: Noted | None) -> Iterator[Break]:
    """Yield what the note of the head contradicts."""
    last = connection.execute(prepared.LAST_PLACE).fetchone()[0] or 0
    if noted is None or mark_of(keys.counter, noted.hash) != noted.mark:
        if last:
            yield Break(last, How.NO_NOTE, "the note of where the record ended is missing or spoilt")
    elif noted.seq > last:
        yield Break(last + 1, How.TRUNCATED, f"the record once reached entry {noted.seq}")
    elif noted.hash != _hash_at(connection, noted.seq):
        yield Break(noted.seq, How.REWRITTEN, "this entry is not the one that was noted")


def _seal_breaks(connection: sqlite3.Connection, kept: Sequence[seals.Seal | Refusal]) -> Iterator[Break]:
    """Yield what the seals contradict."""
    last = connection.execute(prepared.LAST_PLACE).fetchone()[0] or 0
    accepted = _accepted(connection)
    for seal in kept:
        if isinstance(seal, Refusal):
            yield Break(0, How.BAD_SEAL, seal.code)
        elif any(seal.seq > seq and seal.at <= at for seq, at in accepted):
            continue
        elif seal.seq > last:
            yield Break(last + 1, How.TRUNCATED, f"a seal of {seal.at:%Y-%m-%d} reaches entry {seal.seq}")
        elif _hash_at(connection, seal.seq) != seal.hash:
            yield Break(seal.seq, How.REWRITTEN, f"a seal of {seal.at:%Y-%m-%d} says otherwise")


def _accepted(connection: sqlite3.Connection) -> list[tuple[int, datetime]]:
    """Return where, and when, a keeper took a shortened record as it stood; a spoilt entry says nothing."""
    found = list[tuple[int, datetime]]()
    for seq, at in connection.execute(prepared.ACCEPTANCES):
        with suppress(TypeError, ValueError):
            moment = datetime.fromisoformat(at)
            if isinstance(seq, int) and moment.utcoffset() is not None:
                found.append((seq, moment))
    return found


def _hash_at(connection: sqlite3.Connection, seq: int) -> str:
    """Return the hash of one entry; empty when there is none. Before the first stands ``FIRST_PREV``."""
    if seq == 0:
        return FIRST_PREV
    row = connection.execute(prepared.HASH_AT, {"seq": seq}).fetchone()
    return row[0] if row else ""


def _guard_breaks(connection: sqlite3.Connection) -> Iterator[Break]:
    """Yield the first table, index or trigger that is not as it was made."""
    there = {row[0] for row in connection.execute(prepared.MADE) if row[0]}
    expected = set(prepared.SCHEMA)
    for statement in sorted(expected - there):
        yield Break(0, How.GUARD, "gone or changed: " + " ".join(statement.split()[:4]))
        return
    for statement in sorted(there - expected):
        yield Break(0, How.GUARD, "not ours: " + " ".join(statement.split()[:4]))
        return


def _file_breaks(connection: sqlite3.Connection) -> Iterator[Break]:
    """Yield the first thing SQLite itself finds wrong with the file."""
    said = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if said != "ok":
        yield Break(0, How.DAMAGED, said)


def _row_breaks(connection: sqlite3.Connection, keys: Keys) -> Iterator[Break]:
    """Yield what rows beside a sound ledger do not fit: staff, tries, lists, stock, loose references."""
    yield from _readable("staff", staff_breaks(connection, keys))
    yield from _readable("tries", tries_breaks(connection, keys))
    yield from _readable("lists", list_breaks(connection))
    yield from _readable("containers", stock_breaks(connection))
    row = connection.execute("PRAGMA foreign_key_check").fetchone()
    if row is not None:
        yield Break(0, How.DISAGREES, f"{row[0]}: a row refers to nothing in {row[2]}")


def _readable(name: str, breaks: Iterator[Break]) -> Iterator[Break]:
    """Yield some breaks; a row that cannot even be read is one, and ends them."""
    try:
        yield from breaks
    except (codec.Unreadable, KeyError, TypeError, ValueError, ArithmeticError) as trouble:
        yield Break(0, How.DAMAGED, f"{name}: a row cannot be read: {trouble}")
