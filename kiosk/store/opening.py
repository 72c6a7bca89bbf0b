"""Opening a counter's store: the file, its keys, its schema, the end of its chain."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from kiosk.store import prepared
from kiosk.store.connection import Database
from kiosk.store.head import HeadFile
from kiosk.store.keys import Keys, make_keys, read_keys
from kiosk.store.ledger import Ledger
from kiosk.store.orders import OrderBook
from kiosk.store.people import People
from kiosk.store.policy import SignOnPolicy
from kiosk.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Store:
    """Everything a counter keeps, open."""

    database: Database
    keys: Keys
    head: HeadFile
    ledger: Ledger
    people: People
    orders: OrderBook
    shelf: Shelf

    def close(self) -> None:
        """Close the file; nothing more can be read or written."""
        self.database.close()
        self.head.close()


def open_store(path: Path, keys: Path, policy: SignOnPolicy | None = None) -> Store:
    """Open the database at ``path``, made if there is none, with the keys in the folder ``keys``.

    Raises ``RecordTrouble``.
    """
    database = Database.open(path)
    if _version(database) is None:
        _create(database)
    found = make_keys(keys) if database.row(prepared.HEAD) is None else read_keys(keys)
    head = HeadFile(keys)
    ledger = Ledger(database, found, head)
    people = People(database, ledger, found, policy or SignOnPolicy())
    return Store(database, found, head, ledger, people, OrderBook(database), Shelf(database))


def _version(database: Database) -> str | None:
    """Return the schema version of the file; None for an empty one."""
    if not database.rows("SELECT 1 FROM sqlite_master LIMIT 1"):
        return None
    row = database.row("SELECT version_num FROM alembic_version")
    return row["version_num"] if row else None


def _create(database: Database) -> None:
    """Make the tables and guards of this version in an empty file."""
    with database.writing() as writing:
        if writing.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchone() is not None:
            return
        for statement in prepared.SCHEMA:
            writing.execute(statement)
        writing.execute(prepared.STAMP, {"version": prepared.SCHEMA_VERSION})
