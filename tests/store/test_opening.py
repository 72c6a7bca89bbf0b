"""Opening: new, again, damaged, foreign, locked away; and the troubles of the world by name."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import RecordAccepted, TablesNoted
from kiosk.flow import ports
from kiosk.flow.ports import RecordTrouble
from kiosk.store import connection, prepared
from kiosk.store.opening import Store, accept_record, open_store
from kiosk.store.verify import verify
from tests.store import samples as s


def trouble(folder: Path) -> RecordTrouble:
    with pytest.raises(RecordTrouble) as caught:
        open_store(folder / "counter.db", folder / "keys", s.CHEAP)
    return caught.value


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
    return tmp_path


def meets_the_ports(store: Store) -> tuple[ports.Ledger, ports.People, ports.OrderBook, ports.Shelf]:
    """Checked by mypy: the parts of a store have the shapes the desk asks for."""
    return store.ledger, store.people, store.orders, store.shelf


def test_a_new_store_is_durable_strict_and_full(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        assert len(meets_the_ports(store)) == 4
        said = {
            name: store.database.rows(f"PRAGMA {name}")[0][0]
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
        assert said == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
        tables = store.database.rows("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'")
        loose = {row["name"] for row in tables if not row["strict"] and not row["name"].startswith("sqlite_")}
        assert loose == {"alembic_version"}


def test_keys_are_made_once_and_readable_by_their_owner_alone(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        first = store.keys
    for name in ("counter.key", "badge.key"):
        assert stat.S_IMODE((tmp_path / "keys" / name).stat().st_mode) == 0o600
    with s.a_store(tmp_path) as store:
        assert store.keys == first
    assert first.counter != first.badge
    assert first.counter.hex() not in repr(first)


def test_a_record_without_its_key_or_with_one_others_can_read_is_not_opened(folder: Path) -> None:
    key = folder / "keys" / "counter.key"
    key.chmod(0o644)
    assert trouble(folder).code == "other"
    key.chmod(0o600)
    key.write_text("not a key")
    assert "does not hold a key" in trouble(folder).detail
    key.unlink()
    assert trouble(folder).code == "other"


def test_another_counters_key_does_not_fit(folder: Path) -> None:
    (folder / "keys" / "counter.key").write_text("ab" * 32)
    assert trouble(folder).code == "damaged"


def test_a_file_that_is_no_database_or_not_ours_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "counter.db"
    path.write_bytes(b"these are somebody's notes" * 100)
    assert trouble(tmp_path).code == "damaged"
    assert path.read_bytes() == b"these are somebody's notes" * 100
    path.unlink()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("CREATE TABLE mine (x)")
    assert "not a counter's database" in trouble(tmp_path).detail


def test_a_database_of_a_later_version_is_left_alone(folder: Path) -> None:
    with closing(sqlite3.connect(folder / "counter.db", isolation_level=None)) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
    assert "later than this kiosk" in trouble(folder).detail


@pytest.mark.parametrize(
    "sql",
    [
        "DROP TRIGGER labels_vouched_for",
        "UPDATE ledger SET entry = replace(entry, '3/2 mL', '5/2 mL')",
        "DELETE FROM ledger WHERE seq > 20",
        "DELETE FROM ledger",
    ],
)
def test_a_record_that_cannot_be_trusted_is_not_added_to(folder: Path, sql: str) -> None:
    with closing(sqlite3.connect(folder / "counter.db", isolation_level=None)) as raw:
        guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE name LIKE 'ledger_no_%'").fetchall()
        for name, _ in guards:
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute(sql)
        for _, guard in guards:
            raw.execute(guard)
    assert trouble(folder).code == "damaged"


def test_a_database_thrown_away_is_missed(folder: Path) -> None:
    (folder / "counter.db").unlink()
    assert "once reached entry" in trouble(folder).detail


def test_an_older_copy_put_back_is_gone_on_from_only_when_a_keeper_says_so(folder: Path) -> None:
    old = (folder / "counter.db").read_bytes()
    with s.a_store(folder) as store:
        store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
        store.seal(s.NOW)
    (folder / "counter.db").write_bytes(old)
    assert trouble(folder).code == "damaged"
    accepted = accept_record(folder / "counter.db", folder / "keys", s.KEEPER, "disk died", s.NOW + s.MINUTE)
    assert accepted is not None
    with s.a_store(folder) as store:
        last = len(s.whole())
        assert store.ledger.house_events()[-1].event == RecordAccepted(
            s.KEEPER, last, "truncated", "disk died"
        )
        assert verify(store.database.path, store.keys).whole


def test_a_rewritten_record_is_nothing_a_keeper_can_accept(folder: Path) -> None:
    with closing(sqlite3.connect(folder / "counter.db", isolation_level=None)) as raw:
        raw.execute("DROP TRIGGER ledger_no_change")
        raw.execute("UPDATE ledger SET entry = replace(entry, '3/2 mL', '5/2 mL')")
    with pytest.raises(RecordTrouble):
        accept_record(folder / "counter.db", folder / "keys", s.KEEPER, "please", s.NOW)


def test_nothing_wrong_is_nothing_to_accept(folder: Path) -> None:
    assert accept_record(folder / "counter.db", folder / "keys", s.KEEPER, "", s.NOW) is None


def test_the_tables_in_use_are_noted_when_they_change(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        for digest in ("aa", "aa", "bb", "aa"):
            store.note_tables({"needles": digest}, "0.1.0", s.NOW)
        noted = [one.event for one in store.ledger.house_events()]
        assert noted == [TablesNoted((("needles", digest),), "0.1.0") for digest in ("aa", "bb", "aa")]


def test_a_note_that_lags_behind_after_a_power_cut_is_no_trouble(folder: Path) -> None:
    note = (folder / "keys" / "head").read_bytes()
    with s.a_store(folder) as store:
        store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
    (folder / "keys" / "head").write_bytes(note)
    with s.a_store(folder) as store:
        assert store.ledger.unfinished() == ["prep-2"]


def test_a_locked_database_is_locked_and_nothing_is_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connection, "BUSY_S", 0.05)
    with (
        s.a_store(folder) as store,
        closing(sqlite3.connect(folder / "counter.db", isolation_level=None)) as raw,
    ):
        raw.execute("BEGIN IMMEDIATE")
        with pytest.raises(RecordTrouble) as caught:
            store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
        assert caught.value.code == "locked"
        raw.execute("ROLLBACK")
        store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
        assert store.ledger.unfinished() == ["prep-2"]


def test_a_record_that_may_only_be_read_is_read_only(folder: Path) -> None:
    """As somebody else: the tests may run as root, whom no permission stops."""
    with s.a_store(folder) as store:
        store.database.raw.execute("PRAGMA query_only = ON")
        with pytest.raises(RecordTrouble) as caught:
            store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
        assert caught.value.code == "read_only"
        assert len(store.ledger.events("prep-1")) == len(s.whole())


@pytest.fixture
def cramped(folder: Path) -> Iterator[s.Store]:
    """A store whose file may not grow any further."""
    with s.a_store(folder) as store:
        pages = store.database.rows("PRAGMA page_count")[0][0]
        store.database.raw.execute(f"PRAGMA max_page_count = {pages}")
        yield store


def fill(store: s.Store) -> tuple[int, str]:
    """Write until the record is full; return how many actions were acknowledged, and the trouble."""
    for number in range(10_000):
        event = e.Acknowledged(s.PREPARER, "late", "x" * 3000)
        try:
            store.ledger.append("prep-1", [event], s.NOW, f"fill-{number}")
        except RecordTrouble as full:
            return number, full.code
    return 10_000, "never"


def test_a_full_disk_costs_the_reserve_then_stops_and_loses_nothing(cramped: s.Store) -> None:
    assert cramped.reserve.whole
    written, code = fill(cramped)
    assert code == "disk_full"
    assert not cramped.reserve.whole
    assert len(cramped.ledger.events("prep-1")) == len(s.whole()) + written
    assert verify(cramped.database.path, cramped.keys).whole
    cramped.database.raw.execute("PRAGMA max_page_count = 1000000")
    cramped.ledger.append("prep-1", [e.Acknowledged(s.PREPARER, "late")], s.NOW, f"fill-{written}")
    assert cramped.reserve.room_for_new_work()
    assert cramped.reserve.whole


def test_a_damaged_page_is_trouble_by_name(folder: Path) -> None:
    path = folder / "counter.db"
    held = bytearray(path.read_bytes())
    page = int.from_bytes(held[16:18], "big")
    held[page : 60 * page] = b"\x5a" * (59 * page)
    path.write_bytes(held)
    assert trouble(folder).code == "damaged"


def test_a_folder_that_is_not_there_is_trouble(tmp_path: Path) -> None:
    with pytest.raises(RecordTrouble):
        open_store(tmp_path / "no" / "counter.db", tmp_path / "keys")


def test_opening_loads_no_library_the_first_page_does_not_need() -> None:
    heavy = "{'sqlalchemy', 'alembic', 'argon2', 'pint', 'msgspec', 'PySide6'}"
    code = f"import sys, kiosk.store.opening; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_troubles_close_the_file_again(folder: Path) -> None:
    (folder / "keys" / "counter.key").write_text("ab" * 32)
    trouble(folder)
    open_files = {
        os.readlink(f"/proc/self/fd/{fd}")
        for fd in os.listdir("/proc/self/fd")
        if os.path.exists(f"/proc/self/fd/{fd}")
    }
    assert not any(str(folder / "counter.db") in one for one in open_files)


def test_a_copy_of_the_folder_is_as_good(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    copy = Path(shutil.copytree(folder, tmp_path_factory.mktemp("copy") / "c"))
    with s.a_store(copy) as store:
        assert verify(store.database.path, store.keys).whole
    assert prepared.SCHEMA_VERSION == "0001"


def test_a_counter_that_dies_between_its_first_entry_and_the_note_of_it_goes_on(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        note = (tmp_path / "keys" / "head").read_bytes()
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
    (tmp_path / "keys" / "head").write_bytes(note)
    with s.a_store(tmp_path) as store:
        assert store.ledger.unfinished() == ["prep-1"]
        assert verify(store.database.path, store.keys).whole
