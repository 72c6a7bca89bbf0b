"""The schema: made fresh, migrated, taken back; declared, prepared and migrated all say the same."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine

from kiosk.core.preparation import events as e
from kiosk.core.preparation.state import fold
from kiosk.flow.ports import RecordTrouble
from kiosk.store import migrate, prepared
from kiosk.store.entry import OLD_NAMES
from kiosk.store.entry import kinds as known
from kiosk.store.prepare import TARGET, create_statements
from kiosk.store.prepare import prepared as prepared_text
from kiosk.store.schema import SCHEMA_VERSION, metadata
from kiosk.store.verify import verify
from tests.store import samples as s

SAVED = Path(__file__).parents[1] / "saved_databases"


def made(path: Path) -> list[str]:
    """Every statement the database was made by, in a settled order."""
    with closing(sqlite3.connect(path)) as raw:
        return sorted(row[0] for row in raw.execute("SELECT sql FROM sqlite_master") if row[0])


def empty(path: Path) -> Path:
    """A database of no version at all."""
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("PRAGMA journal_mode = WAL")
        for statement in prepared.SCHEMA:
            raw.execute(statement)
        raw.execute(prepared.STAMP, {"version": SCHEMA_VERSION})
        raw.commit()
    migrate.downgrade(path, "base")
    return path


def test_the_prepared_text_is_what_the_declarations_say() -> None:
    """Run ``python -m kiosk.store.prepare`` after changing tables, guards or statements."""
    assert TARGET.read_text(encoding="utf-8") == prepared_text()


def test_the_last_version_is_the_one_this_kiosk_opens() -> None:
    assert migrate.versions()[-1] == SCHEMA_VERSION == prepared.SCHEMA_VERSION


def test_taken_back_nothing_is_left_but_the_version_table(tmp_path: Path) -> None:
    assert [sql for sql in made(empty(tmp_path / "a.db")) if "alembic_version" not in sql] == []


def test_migrated_is_the_same_as_fresh_to_the_letter(tmp_path: Path) -> None:
    """Until the first release: ``python -m tests.saved_databases.make --first``; later: a migration."""
    path = empty(tmp_path / "a.db")
    migrate.upgrade(path)
    assert made(path) == sorted(create_statements())


def test_the_migration_tool_sees_no_difference_to_the_declared_tables(tmp_path: Path) -> None:
    with s.a_store(tmp_path):
        pass
    engine = create_engine(f"sqlite:///{tmp_path / 'counter.db'}")
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    engine.dispose()


def test_every_guard_fires_on_a_migrated_database_too(tmp_path: Path) -> None:
    path = empty(tmp_path / "counter.db")
    migrate.upgrade(path)
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
        with pytest.raises(sqlite3.IntegrityError, match="never deleted"):
            store.database.raw.execute("DELETE FROM ledger")
        assert verify(path, store.keys).whole


def test_a_copy_is_made_before_anything_is_changed(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
    copy = migrate.downgrade(tmp_path / "counter.db", "base")
    assert copy.name == "counter.db.before-base"
    with closing(sqlite3.connect(copy)) as raw:
        assert raw.execute("SELECT count(*) FROM ledger").fetchone() == (len(s.whole()),)


def test_a_version_nobody_knows_is_trouble_and_changes_nothing(tmp_path: Path) -> None:
    with s.a_store(tmp_path):
        pass
    before = made(tmp_path / "counter.db")
    with pytest.raises(RecordTrouble, match="9999"):
        migrate.upgrade(tmp_path / "counter.db", "9999")
    assert made(tmp_path / "counter.db") == before


@pytest.mark.parametrize("version", migrate.versions())
def test_a_database_saved_by_each_version_opens_verifies_and_goes_on(tmp_path: Path, version: str) -> None:
    folder = Path(shutil.copytree(SAVED / version, tmp_path / version))
    (folder / "keys").chmod(0o700)
    for key in ("counter.key", "badge.key"):
        (folder / "keys" / key).chmod(0o600)
    with s.a_store(folder) as store:
        assert verify(store.database.path, store.keys).whole
        state = fold("prep-1", (one.event for one in store.ledger.events("prep-1")))
        assert state is not None
        assert (state.ended, state.order.patient.name) == ("finished", "Marja Invented")
        assert store.ledger.unfinished() == ["prep-2"]
        assert store.people.sign_on("PB1INES", "2580", s.NOW) == s.a_person()
        store.ledger.append("prep-2", [e.Discarded("p-two", "found again")], s.NOW, "later")
        assert [order.id for order in store.orders.due(s.NOW)] == ["o-2"]


@pytest.mark.parametrize("version", migrate.versions())
def test_every_kind_of_entry_ever_saved_is_still_known(version: str) -> None:
    with closing(
        sqlite3.connect(f"file:{SAVED / version / 'counter.db'}?mode=ro&immutable=1", uri=True)
    ) as raw:
        kinds = {row[0] for row in raw.execute("SELECT DISTINCT kind FROM ledger")}
    assert kinds == set((SAVED / version / "kinds.txt").read_text().split())
    assert {OLD_NAMES.get(kind, kind) for kind in kinds} <= set(known())
