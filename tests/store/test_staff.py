"""The staff list as its keeper keeps it: first keeper, badges, PINs, releases; each act on record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import house_events as h
from kiosk.flow.keeping import NewPerson
from kiosk.store.verify import verify
from tests.store import samples as s

LATER = timedelta(minutes=5)
KAY = NewPerson(s.a_person(s.KEEPER, Role.KEEPER), "PB1KAY", "9731")
INES = NewPerson(s.a_person(), "PB1INES", "2580")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[s.Store]:
    with s.a_store(tmp_path) as store:
        store.staff.set_up(KAY, s.NOW)
        store.staff.enrol(s.KEEPER, INES, s.NOW)
        yield store


def code(answer: Person | Refusal) -> str:
    return answer.code if isinstance(answer, Refusal) else f"person {answer.id}"


def last(store: s.Store, count: int = 1) -> list[h.HouseEvent]:
    """The last house entries, the marks of the rows they tell of taken off."""
    events = [one.event for one in store.ledger.house_events()][-count:]
    return [replace(event, row="") if hasattr(event, "row") else event for event in events]


def test_a_new_counter_knows_nobody_and_no_pin_until_its_first_keeper_sets_it_up(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        assert store.staff.needs_first_keeper()
        assert store.people.everybody() == []
        assert code(store.staff.set_up(INES, s.NOW)) == "first_must_be_keeper"
        assert code(store.staff.set_up(KAY, s.NOW)) == "person p-kay"
        assert not store.staff.needs_first_keeper()
        assert code(store.staff.set_up(KAY, s.NOW)) == "set_up_already_done"
        assert code(store.people.sign_on("PB1KAY", "9731", s.NOW)) == "person p-kay"


def test_a_person_enrolled_can_sign_on_and_it_is_on_record_who_enrolled_them(store: s.Store) -> None:
    came, issued, _ = last(store, 3)
    assert came == h.StaffChanged(s.KEEPER, s.PREPARER, "came", ("preparer", "second checker"), False)
    assert issued == h.BadgeIssued(s.KEEPER, s.PREPARER, store.keys.badge_digest("PB1INES")[:12])
    assert code(store.people.sign_on("PB1INES", "2580", s.NOW)) == "person p-ines"


def test_only_a_keeper_keeps(store: s.Store) -> None:
    wim = NewPerson(s.a_person("p-wim"), "PB1WIM", "2580")
    acts = [
        store.staff.enrol(s.PREPARER, wim, s.NOW),
        store.staff.change(s.PREPARER, INES.person, s.NOW),
        store.staff.leave("p-nobody", s.PREPARER, s.NOW),
        store.staff.new_pin(s.PREPARER, s.KEEPER, "2580", s.NOW),
        store.staff.new_badge(s.PREPARER, s.KEEPER, "PB1X", s.NOW),
        store.staff.release(s.PREPARER, s.PREPARER, s.NOW),
    ]
    assert {code(answer) for answer in acts} == {"keeper_only"}
    assert store.people.person("p-wim") is None


def test_a_locked_badge_is_released_by_a_keeper(store: s.Store) -> None:
    for n in range(5):
        store.people.sign_on("PB1INES", "0000", s.NOW + n * LATER)
    assert [one.person for one in store.staff.locked()] == [s.PREPARER]
    assert code(store.staff.release(s.KEEPER, s.PREPARER, s.NOW)) == "person p-ines"
    assert last(store) == [h.Released(s.KEEPER, s.PREPARER)]
    assert store.staff.locked() == []
    assert code(store.people.sign_on("PB1INES", "2580", s.NOW + 9 * LATER)) == "person p-ines"


def test_a_lost_badge_is_dead_at_once_and_for_ever(store: s.Store) -> None:
    assert code(store.staff.new_badge(s.KEEPER, s.PREPARER, "", s.NOW)) == "person p-ines"
    assert code(store.people.sign_on("PB1INES", "2580", s.NOW)) == "sign_on_refused"
    assert code(store.staff.new_badge(s.KEEPER, s.PREPARER, "PB1INES", s.NOW)) == "badge_taken"
    assert code(store.staff.new_badge(s.KEEPER, s.PREPARER, "PB1NEW", s.NOW)) == "person p-ines"
    assert code(store.people.sign_on("PB1NEW", "2580", s.NOW + LATER)) == "person p-ines"
    assert code(store.people.sign_on("PB1INES", "2580", s.NOW + 2 * LATER)) == "sign_on_refused"


def test_a_pin_is_changed_by_its_owner_who_knows_the_old_one(store: s.Store) -> None:
    change = store.staff.change_pin
    assert code(change(s.PREPARER, "2580", "1357", s.NOW)) == "person p-ines"
    assert last(store) == [h.PinChanged(s.PREPARER, s.PREPARER)]
    assert code(store.people.sign_on("PB1INES", "2580", s.NOW + LATER)) == "sign_on_refused"
    assert code(store.people.sign_on("PB1INES", "1357", s.NOW + 2 * LATER)) == "person p-ines"
    assert code(change(s.PREPARER, "1357", "1357", s.NOW)) == "pin_same"
    assert code(change(s.PREPARER, "1357", "1111", s.NOW)) == "pin_too_simple"
    assert code(change("p-nobody", "1357", "2468", s.NOW)) == "no_badge"


def test_guessing_the_old_pin_locks_like_signing_on(store: s.Store) -> None:
    said = [code(store.staff.change_pin(s.PREPARER, "0000", "1357", s.NOW + n * LATER)) for n in range(5)]
    assert said == ["sign_on_refused"] * 4 + ["sign_on_locked"]
    assert code(store.people.sign_on("PB1INES", "2580", s.NOW + 9 * LATER)) == "sign_on_locked"


def test_a_forgotten_pin_is_set_anew_beside_the_keeper(store: s.Store) -> None:
    assert code(store.staff.new_pin(s.KEEPER, s.PREPARER, "8642", s.NOW)) == "person p-ines"
    assert code(store.people.sign_on("PB1INES", "8642", s.NOW)) == "person p-ines"
    assert last(store, 2)[0] == h.PinChanged(s.KEEPER, s.PREPARER)


def test_who_leaves_can_sign_on_no_more_but_stays_readable(store: s.Store) -> None:
    assert code(store.staff.leave(s.KEEPER, s.PREPARER, s.NOW)) == "person p-ines"
    assert code(store.people.sign_on("PB1INES", "2580", s.NOW)) == "sign_on_refused"
    assert [one.id for one in store.people.everybody()] == [s.KEEPER]
    assert store.people.person(s.PREPARER) == INES.person
    assert code(store.staff.leave(s.KEEPER, s.PREPARER, s.NOW)) == "unknown_person"


def test_the_last_keeper_can_neither_leave_nor_stop_being_one(store: s.Store) -> None:
    assert code(store.staff.leave(s.KEEPER, s.KEEPER, s.NOW)) == "last_keeper"
    assert code(store.staff.change(s.KEEPER, s.a_person(s.KEEPER), s.NOW)) == "last_keeper"
    second = NewPerson(s.a_person("p-two", Role.KEEPER), "PB1TWO", "8642")
    store.staff.enrol(s.KEEPER, second, s.NOW)
    assert code(store.staff.change(s.KEEPER, s.a_person(s.KEEPER), s.NOW)) == "person p-kay"


def test_roles_and_training_are_changed_on_record(store: s.Store) -> None:
    trainee = Person(s.PREPARER, "Ines Newname", "IN", frozenset({Role.PREPARER}), trainee=True)
    assert store.staff.change(s.KEEPER, trainee, s.NOW) == trainee
    assert store.people.person(s.PREPARER) == trainee
    assert last(store) == [h.StaffChanged(s.KEEPER, s.PREPARER, "changed", ("preparer",), True)]


def test_two_people_cannot_have_one_badge(store: s.Store) -> None:
    wim = NewPerson(s.a_person("p-wim"), "PB1INES", "2580")
    assert code(store.staff.enrol(s.KEEPER, wim, s.NOW)) == "badge_taken"
    assert store.people.person("p-wim") is None
    bare = NewPerson(s.a_person("p-wim"), "", "2580")
    assert code(store.staff.enrol(s.KEEPER, bare, s.NOW)) == "no_badge"


def test_a_staff_row_put_back_taken_away_or_slipped_in_is_told(store: s.Store) -> None:
    """Each row is the counter's own and carries its mark: only the record knows which was the last."""
    raw = store.database.raw
    old = {name: raw.execute(f"SELECT * FROM {name}").fetchall() for name in ("people", "badges", "pins")}
    store.staff.change_pin(s.PREPARER, "2580", "1357", s.NOW)
    store.staff.new_badge(s.KEEPER, s.PREPARER, "PB1NEW", s.NOW)
    store.staff.change(s.KEEPER, s.a_person(s.PREPARER, Role.PREPARER), s.NOW)
    assert verify(store.database.path, store.keys).whole
    raw.execute("PRAGMA foreign_keys = OFF")
    for name, rows in old.items():
        now = raw.execute(f"SELECT * FROM {name}").fetchall()
        for held in (rows, now[:-1]):
            raw.execute(f"DELETE FROM {name}")
            raw.executemany(f"INSERT INTO {name} VALUES ({', '.join('?' * len(now[0]))})", map(tuple, held))
            breaks = verify(store.database.path, store.keys).breaks
            assert name in [one.detail.split(":")[0] for one in breaks]
        raw.execute(f"DELETE FROM {name}")
        raw.executemany(f"INSERT INTO {name} VALUES ({', '.join('?' * len(now[0]))})", map(tuple, now))
    assert verify(store.database.path, store.keys).whole
