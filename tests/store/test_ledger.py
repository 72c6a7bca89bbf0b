"""The ledger: durable, in order, once; and what comes back is what went in."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation import house_events as h
from kiosk.core.preparation.state import fold
from kiosk.flow.ports import RecordTrouble
from kiosk.store.connection import RuleBroken
from tests.store import samples as s


def test_what_is_written_comes_back_as_it_was_after_reopening(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        s.write(store, "prep-1", s.whole())
    with s.a_store(tmp_path) as store:
        back = store.ledger.events("prep-1")
    assert [one.event for one in back] == s.whole()
    assert [one.seq for one in back] == list(range(1, len(s.whole()) + 1))
    assert back[3].at == s.NOW + 3 * s.MINUTE


def test_replaying_the_ledger_gives_the_state_that_was(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        s.write(store, "prep-1", s.whole())
        back = fold("prep-1", (one.event for one in store.ledger.events("prep-1")))
    assert back == fold("prep-1", s.whole())
    assert back is not None
    assert back.ended == "finished"


def test_the_same_key_again_writes_nothing_and_answers_what_was_written(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        first = store.ledger.append("prep-1", [s.opened(), e.Acknowledged(s.PREPARER, "late")], s.NOW, "k1")
        again = store.ledger.append("prep-1", [s.opened()], s.NOW + s.MINUTE, "k1")
        assert list(again) == list(first)
        assert len(store.ledger.events("prep-1")) == 2


def test_the_events_of_one_action_stand_together_or_not_at_all(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        second_open = s.opened(s.an_order("o-2"), code="A30002")
        with pytest.raises(RuleBroken, match="one open syringe a preparer"):
            store.ledger.append("prep-2", [e.Acknowledged(s.PREPARER, "late"), second_open], s.NOW, "k2")
        assert store.ledger.events("prep-2") == []
        assert store.ledger.unfinished() == ["prep-1"]


def test_an_action_without_events_writes_nothing(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        assert list(store.ledger.append("prep-1", [], s.NOW, "k2")) == []
    with s.a_store(tmp_path) as store:
        assert len(store.ledger.events("prep-1")) == 1


def test_unfinished_syringes_are_told_oldest_first(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        for number, person in enumerate(("p-a", "p-b", "p-c")):
            order = s.an_order(f"o-{number}")
            at = s.NOW - number * s.MINUTE
            store.ledger.append(
                f"prep-{number}", [s.opened(order, by=person, code=f"A{number}")], at, f"k{number}"
            )
        store.ledger.append("prep-1", [e.Discarded("p-b", "dropped")], s.NOW, "k9")
        assert store.ledger.unfinished() == ["prep-2", "prep-0"]
        assert store.ledger.opened_ever() == 3


def test_moments_in_other_zones_are_kept_as_the_same_instant(tmp_path: Path) -> None:
    summer = timezone(timedelta(hours=2))
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], datetime(2026, 7, 1, 5, 0, tzinfo=summer), "k1")
        assert store.ledger.events("prep-1")[0].at == datetime(2026, 7, 1, 3, 0, tzinfo=UTC)


def test_a_clock_that_goes_back_is_recorded_before_the_entry(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        store.ledger.append("prep-1", [e.Resumed(s.PREPARER)], s.NOW - s.MINUTE, "k2")
        assert [one.event for one in store.ledger.house_events()] == [
            h.ClockWentBack(s.NOW, s.NOW - s.MINUTE)
        ]
        assert [one.seq for one in store.ledger.events("prep-1")] == [1, 3]


def test_threads_a_moment_out_of_order_are_no_clock_trouble(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        store.ledger.append("prep-1", [e.Resumed(s.PREPARER)], s.NOW - timedelta(milliseconds=900), "k2")
        assert store.ledger.house_events() == []


def test_a_moment_without_a_zone_is_a_bug_and_writes_nothing(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        with pytest.raises(ValueError, match="without its zone"):
            store.ledger.append("prep-1", [s.opened()], datetime(2026, 3, 15), "k1")  # noqa: DTZ001
        assert store.ledger.events("prep-1") == []


def test_a_refusal_before_any_syringe_is_open_is_kept_under_its_order(tmp_path: Path) -> None:
    refused = e.Refused(s.PREPARER, "TakeUp", "allergy", (("allergy", "gentamicin"),))
    with s.a_store(tmp_path) as store:
        store.ledger.append("order-o-1", [refused], s.NOW, "k1")
        assert [one.event for one in store.ledger.events("order-o-1")] == [refused]


def test_an_entry_of_an_unknown_kind_is_trouble_not_a_guess(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        raw = store.database.raw
        raw.execute("DROP TRIGGER ledger_no_change")
        raw.execute("""UPDATE ledger SET entry = replace(entry, '"kind":"Opened"', '"kind":"Teleported"')""")
        with pytest.raises(RecordTrouble, match="Teleported") as caught:
            store.ledger.events("prep-1")
    assert caught.value.code == "damaged"
