"""What somebody with the database file, and no key, could do to it."""

from __future__ import annotations

import re
import sqlite3
from hashlib import sha256

_PREV = re.compile(r'^\{"prev":"[0-9a-f]{64}"')


def rechain(raw: sqlite3.Connection, first: int) -> None:
    """Make every entry from ``first`` on hash and link again, as anybody can who knows the form."""
    row = raw.execute("SELECT hash FROM ledger WHERE seq < ? ORDER BY seq DESC LIMIT 1", (first,)).fetchone()
    prev = row[0] if row else "0" * 64
    for seq, text in raw.execute(
        "SELECT seq, entry FROM ledger WHERE seq >= ? ORDER BY seq", (first,)
    ).fetchall():
        linked = _PREV.sub(f'{{"prev":"{prev}"', text)
        prev = sha256(linked.encode()).hexdigest()
        raw.execute("UPDATE ledger SET entry = ?, hash = ? WHERE seq = ?", (linked, prev, seq))
