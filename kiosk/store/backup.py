"""A copy of the whole database while work goes on, proved before it is called one.

The copy holds everything but the keys, which are backed up apart: whoever has both can read badges' owners
and forge entries. Identifiers erased later stay in older copies; the site's retention covers those.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from kiosk.flow.ports import RecordTrouble
from kiosk.store.chain import walk
from kiosk.store.connection import read_only, trouble_of
from kiosk.store.durable import sync


def back_up(database: Path, target: Path) -> int:
    """Copy the database to ``target``, durably and whole, and return how many entries the copy holds.

    An older file of that name is replaced only once the new copy has proved its chain. Raises
    ``RecordTrouble``.
    """
    return _copied(database, target, prove=True)


def copy_as_it_is(database: Path, target: Path) -> None:
    """Copy a database of any version, durably, asking nothing of it. Raises ``RecordTrouble``."""
    _copied(database, target, prove=False)


def _copied(database: Path, target: Path, prove: bool) -> int:
    """Make the copy under another name, prove it if asked, then put it in place."""
    fresh = target.with_name(f"{target.name}.new")
    try:
        fresh.unlink(missing_ok=True)
        with closing(read_only(database)) as source, closing(sqlite3.connect(fresh)) as copy:
            source.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
            entries = _proved(copy, fresh) if prove else 0
        _settle(fresh, target)
    except sqlite3.Error as error:
        raise trouble_of(error) from error
    except OSError as error:
        raise RecordTrouble("other", f"the copy cannot be written: {error}") from error
    return entries


def _proved(copy: sqlite3.Connection, fresh: Path) -> int:
    """Return how many entries a copy holds; one whose chain does not hold is thrown away."""
    chain = walk(copy)
    if not chain.whole:
        fresh.unlink()
        raise RecordTrouble("damaged", f"the record does not hold at entry {chain.next}")
    return chain.good


def _settle(fresh: Path, target: Path) -> None:
    """Make the copy durable under its name."""
    sync(fresh)
    fresh.replace(target)
    sync(target.parent)
