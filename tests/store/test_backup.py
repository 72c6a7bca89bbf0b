"""Copies that prove themselves, and the room on the disk."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.flow.ports import RecordTrouble
from kiosk.store.backup import back_up
from kiosk.store.reserve import RESERVE_BYTES, Reserve
from kiosk.store.verify import verify
from tests.store import samples as s


def test_a_copy_made_while_work_goes_on_is_whole_and_one_file(tmp_path: Path) -> None:
    target = tmp_path / "copies" / "night.db"
    target.parent.mkdir()
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
        assert back_up(store.database.path, target) == len(s.whole())
        store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
        assert [path.name for path in target.parent.iterdir()] == ["night.db"]
        assert back_up(store.database.path, target) == len(s.whole()) + 1
        assert verify(target, store.keys).whole


def test_a_record_that_does_not_hold_is_not_copied_over_a_good_copy(tmp_path: Path) -> None:
    target = tmp_path / "night.db"
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
        back_up(store.database.path, target)
        good = target.read_bytes()
        store.database.raw.execute("DROP TRIGGER ledger_no_change")
        store.database.raw.execute("UPDATE ledger SET hash = '' WHERE seq = 5")
        with pytest.raises(RecordTrouble, match="does not hold at entry 5") as caught:
            back_up(store.database.path, target)
        assert caught.value.code == "damaged"
    assert target.read_bytes() == good
    assert not target.with_name("night.db.new").exists()


def test_no_record_and_no_place_are_trouble(tmp_path: Path) -> None:
    with pytest.raises(RecordTrouble):
        back_up(tmp_path / "none.db", tmp_path / "copy.db")
    with s.a_store(tmp_path) as store, pytest.raises(RecordTrouble):
        back_up(store.database.path, tmp_path / "no" / "copy.db")


def test_the_reserve_is_set_aside_given_up_once_and_filled_again(tmp_path: Path) -> None:
    reserve = Reserve(tmp_path / "counter.db")
    assert not reserve.whole
    assert reserve.fill()
    assert reserve.path.stat().st_size == RESERVE_BYTES
    assert reserve.path.stat().st_blocks * 512 >= RESERVE_BYTES
    assert reserve.give_up()
    assert not reserve.give_up()
    assert reserve.room_for_new_work()
    assert reserve.whole


def test_no_place_for_a_reserve_is_no_room_for_new_work(tmp_path: Path) -> None:
    reserve = Reserve(tmp_path / "no" / "counter.db")
    assert not reserve.fill()
    assert not reserve.room_for_new_work()


def test_a_copy_can_be_opened_by_sqlite_alone(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened(), e.Discarded(s.PREPARER, "x")], s.NOW, "k1")
        back_up(store.database.path, tmp_path / "copy.db")
    raw = sqlite3.connect(f"file:{tmp_path / 'copy.db'}?mode=ro&immutable=1", uri=True)
    assert raw.execute("SELECT kind FROM ledger").fetchall() == [("Opened",), ("Discarded",)]
    raw.close()
