"""The site's policies as the record has them, each entry proved before it is believed.

No table holds them, so that none can be edited: who wants another policy in force must write an entry, and
an entry needs the counter's key.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import cast

from kiosk.core.preparation.house_events import HouseEvent, PolicyChanged, PolicyNoted
from kiosk.core.preparation.policies import Book, fold_policies
from kiosk.flow.ports import RecordTrouble
from kiosk.store import codec, prepared
from kiosk.store.connection import Row
from kiosk.store.entry import event_of, hash_of, mark_of, read_entry
from kiosk.store.keys import Keys
from kiosk.store.opening import Store


def policies(store: Store) -> Book:
    """Return every policy on record. Raises ``RecordTrouble``: ``damaged`` for one not of our writing."""
    return fold_policies(_proved(store.database.rows(prepared.POLICY_ENTRIES), store.keys))


def policies_kept(connection: sqlite3.Connection, keys: Keys) -> Book:
    """Return the same from a connection of one's own. Raises ``RecordTrouble`` as ``policies`` does."""
    cursor = connection.cursor()
    cursor.row_factory = sqlite3.Row
    return fold_policies(_proved(cursor.execute(prepared.POLICY_ENTRIES).fetchall(), keys))


def _proved(rows: Iterable[Row], keys: Keys) -> Iterator[tuple[datetime, HouseEvent]]:
    """Yield the entries of these rows; each must hash to its hash and carry the counter's mark."""
    for row in rows:
        if hash_of(row["entry"]) != row["hash"] or mark_of(keys.counter, row["hash"]) != row["mark"]:
            raise RecordTrouble("damaged", f"entry {row['seq']}: a policy that this counter did not set")
        try:
            entry = read_entry(row["entry"])
            yield entry.at, cast(PolicyNoted | PolicyChanged, event_of(entry.kind, entry.raw))
        except codec.Unreadable as trouble:
            raise RecordTrouble("damaged", f"entry {row['seq']}: {trouble}") from trouble
