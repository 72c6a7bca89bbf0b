"""Wrong tries at a badge: counted in a row of their own, under the counter's mark, held to the record.

A row is never taken away while it counts anything (a guard of the database refuses it), one written by
another hand is not believed at the next try, and one put back to what it once was says less than the record.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime
from typing import Any

from kiosk.store import prepared
from kiosk.store.connection import Row, Writing
from kiosk.store.diagnosis import Break, How
from kiosk.store.entry import moment_text, read_entry
from kiosk.store.keys import Keys
from kiosk.store.marked_rows import SHOWN_OF_BADGE, believe, is_ours, marked


def read_tries(writing: Writing, keys: Keys, digest: str) -> Row | None:
    """Return the count of a badge that has one. Raises ``RecordTrouble`` for a row another hand wrote."""
    row: Row | None = writing.execute(prepared.TRIES, {"digest": digest}).fetchone()
    if row is None:
        return None
    believe(keys, row)
    return row if row["failures"] else None


def put_tries(writing: Writing, keys: Keys, digest: str, failures: int, now: datetime, locked: bool) -> None:
    """Write the count of a badge."""
    at = moment_text(now)
    values = {"digest": digest, "failures": failures, "last_at": at, "locked_at": at if locked else None}
    writing.execute(prepared.PUT_TRIES, marked(keys, values))


def forget_tries(writing: Writing, keys: Keys, digest: str, now: datetime) -> None:
    """Count from nothing again; a badge that never was tried gets no row."""
    if writing.execute(prepared.TRIES, {"digest": digest}).fetchone() is not None:
        put_tries(writing, keys, digest, 0, now, locked=False)


def tries_breaks(connection: sqlite3.Connection, keys: Keys) -> Iterator[Break]:
    """Yield the first count that is not ours, and the first that says less than the record."""
    cursor = connection.cursor()
    cursor.row_factory = sqlite3.Row
    rows = {row["digest"][:SHOWN_OF_BADGE]: dict(row) for row in cursor.execute(prepared.EVERY_TRIES)}
    if not all(is_ours(keys, row) for row in rows.values()):
        yield Break(0, How.CHANGED, "tries: a row is not as this counter last wrote it")
        return
    told = _Told()
    for (text,) in connection.execute(prepared.TRIES_ENTRIES):
        entry = read_entry(text)
        told.take(entry.kind, entry.raw)
    for badge, (failures, locked) in told.counts.items():
        row = rows.get(badge)
        if row is None or row["failures"] < failures or (locked and row["locked_at"] is None):
            yield Break(0, How.DISAGREES, f"tries: the record counts {failures} of badge {badge}")
            return


class _Told:
    """The wrong tries of each badge in a row, as the entries tell them."""

    def __init__(self) -> None:
        self.counts: dict[str, tuple[int, bool]] = {}
        self._badges: defaultdict[str, list[str]] = defaultdict(list)

    def take(self, kind: str, raw: Any) -> None:
        """Take one more entry on board."""
        if kind == "SignOnRefused":
            before, locked = self.counts.get(raw["badge"], (0, False))
            self.counts[raw["badge"]] = (max(before, raw["failures"]), locked or raw["locked"])
        elif kind == "BadgeIssued":
            self._badges[raw["person"]].append(raw["badge"])
            self._forget(raw["badge"])
        elif kind == "SignedOn":
            self._forget(*self._badges[raw["by"]][-1:])
        elif kind == "Released":
            self._forget(*self._badges[raw["person"]])
        else:
            self._forget(*raw["badges"])

    def _forget(self, *badges: str) -> None:
        for badge in badges:
            self.counts.pop(badge, None)
