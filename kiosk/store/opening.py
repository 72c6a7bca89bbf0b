"""Opening a counter's store: its file, keys, schema, and the end of its chain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from kiosk.core.preparation.house_events import (
    LotRecalled,
    RecordAccepted,
    SealMade,
    TablesNoted,
)
from kiosk.flow.ports import RecordTrouble
from kiosk.store import prepared
from kiosk.store.connection import Database
from kiosk.store.diagnosis import Break, How
from kiosk.store.drug_list import DrugList
from kiosk.store.entry import FIRST_PREV, mark_of
from kiosk.store.head import HeadFile, read_note
from kiosk.store.importing import Import
from kiosk.store.keys import Keys, make_keys, read_keys
from kiosk.store.ledger import Ledger
from kiosk.store.orders import OrderBook
from kiosk.store.people import People
from kiosk.store.policy import SignOnPolicy
from kiosk.store.reserve import Reserve
from kiosk.store.seals import Seal, keep_seal, kept_seals, new_seal
from kiosk.store.shelf import Shelf
from kiosk.store.staff import Staff
from kiosk.store.stock_room import StockRoom
from kiosk.store.verify import check_end


@dataclass(frozen=True, slots=True)
class Store:
    """Everything a counter keeps, open."""

    database: Database
    keys: Keys
    head: HeadFile
    reserve: Reserve
    ledger: Ledger
    people: People
    staff: Staff
    orders: OrderBook
    shelf: Shelf
    stock: StockRoom
    drugs: DrugList

    def close(self) -> None:
        """Close the file; nothing more can be read or written."""
        self.database.close()
        self.head.close()

    def note_tables(self, digests: Mapping[str, str], version: str, now: datetime) -> None:
        """Record which figures are in use, unless the last such entry says the same."""
        noted = TablesNoted(tuple(sorted(digests.items())), version)
        last = self.ledger.last_of(TablesNoted)
        if last is None or last.event != noted:
            self.ledger.note([noted], now)

    def seal(self, now: datetime) -> Seal | None:
        """Seal the chain as it stands and keep the seal outside; None while there is nothing to seal."""
        head = self.database.row(prepared.HEAD)
        if head is None:
            return None
        seal = new_seal(self.keys, head["seq"], head["hash"], now)
        keep_seal(self.keys, seal)
        self.ledger.note([SealMade(seal.seq, seal.hash)], now)
        return seal

    def seal_if_due(self, now: datetime) -> Seal | None:
        """Seal the chain unless a seal of this day is kept already."""
        days = {seal.at.date() for seal in kept_seals(self.keys) if isinstance(seal, Seal)}
        return None if now.date() in days else self.seal(now)

    def recall_lot(self, lot: str, by: str, reason: str, now: datetime) -> None:
        """Mark every container of a lot as recalled, and record it. Raises ``RecordTrouble``."""
        self.ledger.note([LotRecalled(by, lot, reason)], now)

    @contextmanager
    def importing(self, by: str, now: datetime, *, dry_run: bool = False) -> Iterator[Import]:
        """Take in lists, all of the block or none of it, and record what each brought.

        With ``dry_run`` everything is tried and counted, then undone.
        """
        with self.ledger.noting(now, dry_run=dry_run) as noted:
            taken = Import(noted.writing, self.keys, self.people.policy, by, now)
            yield taken
            noted.events += taken.entries()


def open_store(path: Path, keys: Path, policy: SignOnPolicy | None = None) -> Store:
    """Open the database at ``path``, made if there is none, with the keys in the folder ``keys``.

    Raises ``RecordTrouble``, with ``damaged`` when the end of the record cannot be trusted.
    """
    database, found = _open(path, keys)
    try:
        noted = read_note(keys)
        with database.looking() as connection:
            broken = check_end(connection, found, noted)
        if broken is not None:
            raise RecordTrouble("damaged", f"entry {broken.seq} {broken.how}: {broken.detail}")
        return _store(database, found, policy or SignOnPolicy())
    except BaseException:
        database.close()
        raise


def accept_record(path: Path, keys: Path, by: str, reason: str, now: datetime) -> Break | None:
    """Go on from a record that is sound in itself but shorter than its note, after a copy was put back.

    Recorded with who and why; seals of the lost part stay and are told of as accepted. Returns what was
    accepted, None where nothing was wrong. Raises ``RecordTrouble`` for any other break.
    """
    database, found = _open(path, keys)
    try:
        noted = read_note(keys)
        with database.looking() as connection:
            broken = check_end(connection, found, noted)
        if broken is None:
            return None
        if broken.how not in (How.TRUNCATED, How.NO_NOTE):
            raise RecordTrouble("damaged", f"entry {broken.seq} {broken.how}: {broken.detail}")
        head = database.row(prepared.HEAD)
        store = _store(database, found, SignOnPolicy())
        accepted = RecordAccepted(by, head["seq"] if head else 0, broken.how.value, reason)
        store.ledger.note([accepted], now)
        store.head.close()
        return broken
    finally:
        database.close()


def _open(path: Path, keys: Path) -> tuple[Database, Keys]:
    """Open the file at this schema version, with its keys; a new file gets new keys."""
    database = Database.open(path)
    try:
        version = _version(database)
        if version is None:
            _create(database)
        elif version != prepared.SCHEMA_VERSION:
            database.close()
            _bring_up(path, version)
            database = Database.open(path)
        fresh = database.row(prepared.HEAD) is None and read_note(keys) is None
        return database, make_keys(keys) if fresh else read_keys(keys)
    except BaseException:
        database.close()
        raise


def _store(database: Database, keys: Keys, policy: SignOnPolicy) -> Store:
    """Put the parts together."""
    head, reserve = HeadFile(keys.folder), Reserve(database.path)
    if read_note(keys.folder) is None and database.row(prepared.HEAD) is None:
        head.begin(FIRST_PREV, mark_of(keys.counter, FIRST_PREV))
    reserve.fill()
    ledger = Ledger(database, keys, head, reserve)
    people = People(database, ledger, keys, policy)
    staff = Staff(database, ledger, people, keys)
    orders, shelf = OrderBook(database), Shelf(database)
    stock = StockRoom(database, ledger, people)
    drugs = DrugList(database, ledger, people, keys)
    return Store(database, keys, head, reserve, ledger, people, staff, orders, shelf, stock, drugs)


def _version(database: Database) -> str | None:
    """Return the schema version of the file; None for an empty one."""
    if not database.rows("SELECT 1 FROM sqlite_master LIMIT 1"):
        return None
    if not database.rows("SELECT 1 FROM sqlite_master WHERE name = 'alembic_version'"):
        raise RecordTrouble("other", "the file is not a counter's database")
    row = database.row("SELECT version_num FROM alembic_version")
    return row["version_num"] if row else ""


def _bring_up(path: Path, version: str) -> None:
    """Migrate an older file; one of a later version is not touched."""
    from kiosk.store import migrate

    if version not in migrate.versions():
        raise RecordTrouble("other", f"the file is of version {version!r}, later than this kiosk")
    migrate.upgrade(path)


def _create(database: Database) -> None:
    """Make the tables and guards of this version in an empty file."""
    with database.writing() as writing:
        if writing.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchone() is not None:
            return
        for statement in prepared.SCHEMA:
            writing.execute(statement)
        writing.execute(prepared.STAMP, {"version": prepared.SCHEMA_VERSION})
