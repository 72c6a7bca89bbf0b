"""Do the projections say what the entries say? They are built anew from the ledger and compared."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any, Final

from kiosk.core.preparation.house_events import PatientErased
from kiosk.flow.ports import Overtaken
from kiosk.store import codec, prepared
from kiosk.store.connection import Writing
from kiosk.store.diagnosis import Break, How
from kiosk.store.entry import Entry, event_of, read_entry
from kiosk.store.identities import APART, ORDER, SEEN, concerned, digest, put_together
from kiosk.store.place import Place
from kiosk.store.progress import Progress
from kiosk.store.projections import project

PROJECTIONS: Final = (
    "preparations",
    "roles",
    "vouchers",
    "labels",
    "lots_used",
    "containers",
    "stock_book",
    "handovers",
    "drug_entries",
    "drug_signatures",
    "drug_withdrawals",
)
# Lists, which are held against their own entries: made, so that replaying never writes to the kept file.
_EMPTY: Final = ("products", "orders")


def disagreements(path: Path, progress: Progress | None = None) -> Iterator[Break]:
    """Yield the first entry that cannot be read, then the first row of each table that disagrees."""
    progress = progress or Progress()
    with closing(_scratch(path)) as both:
        erased = set[str]()
        for seq, text, *_ in both.execute(prepared.ENTRIES_FROM, {"first": 1}):
            progress.done(seq)
            try:
                _replay(both, seq, read_entry(text), erased)
            except (codec.Unreadable, KeyError, sqlite3.IntegrityError, Overtaken) as trouble:
                yield Break(seq, How.DAMAGED, f"this entry cannot be followed: {trouble}")
                return
        yield from _differences(both)
        yield from _identity_breaks(both, erased)


def _scratch(path: Path) -> sqlite3.Connection:
    """Return empty projections in memory on a connection that also reads the kept file, all at one moment.

    A table that is not made here is the kept one.
    """
    made = sqlite3.connect(":memory:", isolation_level=None, uri=True)
    made.row_factory = sqlite3.Row
    made.execute("ATTACH DATABASE ? AS kept", (f"{path.resolve().as_uri()}?mode=ro",))
    made.execute("BEGIN")
    for statement in prepared.SCHEMA:
        if statement.startswith(tuple(f"CREATE TABLE {name} " for name in (*PROJECTIONS, *_EMPTY))):
            made.execute(statement)
    return made


def _replay(scratch: sqlite3.Connection, seq: int, entry: Entry, erased: set[str]) -> None:
    """Write the rows of one entry."""
    raw = entry.raw
    patient = raw[ORDER]["patient"][SEEN] if ORDER in raw else ""
    if concerned(raw):
        raw = put_together(raw, lambda ref: None)
    event = event_of(entry.kind, raw)
    if isinstance(event, PatientErased):
        erased.update(event.refs)
    project(Writing(scratch), Place(seq, entry.preparation, entry.at, patient), event)


def _differences(scratch: sqlite3.Connection) -> Iterator[Break]:
    """Yield the first row of each table that only one side has."""
    for name in PROJECTIONS:
        for here, there, what in (("main", "kept", "lacks"), ("kept", "main", "has")):
            sql = f"SELECT * FROM {here}.{name} EXCEPT SELECT * FROM {there}.{name} LIMIT 1"
            row = scratch.execute(sql).fetchone()
            if row is not None:
                yield Break(0, How.DISAGREES, f"{name} {what} {_told(row)}")
                break


def _told(row: Mapping[str, Any]) -> str:
    """Return a row as short text."""
    return ", ".join(f"{name} {row[name]}" for name in row.keys())[:200]  # noqa: SIM118 a Row is no dict


def _identity_breaks(kept: sqlite3.Connection, erased: set[str]) -> Iterator[Break]:
    """Yield the first patient whose identifiers were changed, or erased without a word in the record."""
    for row in kept.execute(prepared.ALL_SEEN):
        seen = dict(zip(("ref", "salt", *APART, "erased_at"), row, strict=True))
        if seen["erased_at"] is not None and seen["ref"] in erased:
            continue
        if seen["erased_at"] is not None or digest(seen["salt"], seen) != seen["ref"]:
            yield Break(0, How.CHANGED, f"the identifiers of patient {seen['ref'][:12]} were changed")
            return
