"""Wrong tries at a badge cannot be wiped, lowered or put back by SQL without being refused or told."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.flow.keeping import NewPerson
from kiosk.flow.ports import RecordTrouble
from kiosk.store.opening import Store
from kiosk.store.verify import verify
from tests.store import samples as s
from tests.store.test_lists_agreement import by_another_hand

BADGE, PIN = "PB1INES", "2580"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A keeper and a nurse; the nurse's badge was tried wrongly three times."""
    with s.a_store(tmp_path) as store:
        store.staff.set_up(NewPerson(s.a_person(s.KEEPER, Role.KEEPER), "PB1KAY", "9731"), s.NOW)
        store.staff.enrol(s.KEEPER, NewPerson(s.a_person(), BADGE, PIN), s.NOW)
        for n in range(3):
            store.people.sign_on(BADGE, "0000", s.NOW + n * s.MINUTE)
        yield store


def told(store: Store) -> list[str]:
    return [one.detail for one in verify(store.database.path, store.keys).breaks]


def lock(store: Store) -> None:
    for n in range(3, 5):
        store.people.sign_on(BADGE, "0000", s.NOW + n * s.MINUTE)


def test_the_count_agrees_with_the_record_whatever_people_do(store: Store) -> None:
    assert told(store) == []
    assert isinstance(store.people.sign_on(BADGE, PIN, s.NOW + 10 * s.MINUTE), Person)
    assert told(store) == []
    lock(store)
    for n in range(5, 9):
        store.people.sign_on(BADGE, "0000", s.NOW + n * 60 * s.MINUTE)
    assert told(store) == []
    store.staff.release(s.KEEPER, s.PREPARER, s.NOW + 999 * s.MINUTE)
    assert isinstance(store.people.sign_on(BADGE, PIN, s.NOW + 1000 * s.MINUTE), Person)
    store.people.sign_on(BADGE, "0000", s.NOW + 1001 * s.MINUTE)
    store.staff.new_badge(s.KEEPER, s.PREPARER, "PB1NEXT", s.NOW + 1002 * s.MINUTE)
    store.people.sign_on("PB1NOBODY", "0000", s.NOW + 1003 * s.MINUTE)
    assert told(store) == []


def test_a_try_counted_and_never_judged_for_a_kill_came_between_is_no_tampering(store: Store) -> None:
    store.people._count(store.keys.badge_digest(BADGE), s.NOW + 10 * s.MINUTE)
    store.people._count(store.keys.badge_digest("PB1NEW"), s.NOW)
    assert told(store) == []


def test_wrong_tries_cannot_be_wiped(store: Store) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="until somebody is let in"):
        store.database.raw.execute("DELETE FROM tries")


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE tries SET failures = 0",
        "UPDATE tries SET failures = 1",
        "UPDATE tries SET last_at = '2020-01-01T00:00:00.000000+00:00'",
        "UPDATE tries SET mark = ''",
    ],
)
def test_a_count_changed_by_sql_is_told_and_not_believed_at_the_next_try(store: Store, sql: str) -> None:
    store.database.raw.execute(sql)
    assert told(store) == ["tries: a row is not as this counter last wrote it"]
    with pytest.raises(RecordTrouble, match="another hand"):
        store.people.sign_on(BADGE, "1111", s.NOW + 10 * s.MINUTE)


def test_a_badge_unlocked_by_sql_stays_shut(store: Store) -> None:
    lock(store)
    assert store.people.sign_on(BADGE, PIN, s.NOW + 99 * s.MINUTE) == Refusal("sign_on_locked")
    store.database.raw.execute("UPDATE tries SET locked_at = NULL")
    with pytest.raises(RecordTrouble):
        store.people.sign_on(BADGE, PIN, s.NOW + 99 * s.MINUTE)
    assert told(store) != []


def test_tries_deleted_with_the_guards_off_are_told(store: Store) -> None:
    by_another_hand(store, "DELETE FROM tries")
    assert told(store)[0].startswith("tries: the record counts 3 of badge")


def test_an_older_row_of_our_own_put_back_is_told(store: Store) -> None:
    """It carries our mark, so only the record knows better."""
    digest = store.keys.badge_digest(BADGE)
    old = dict(store.database.rows("SELECT * FROM tries")[0])
    lock(store)
    values = ", ".join(f"{name} = {value!r}" for name, value in old.items() if value is not None)
    by_another_hand(store, f"UPDATE tries SET {values}, locked_at = NULL WHERE digest = '{digest}'")
    assert told(store)[0].startswith("tries: the record counts 5 of badge")


def test_a_wrong_try_judged_after_a_good_one_begins_the_count_again(store: Store) -> None:
    """Two tries at once: the wrong one is counted first and judged last."""
    digest, later = store.keys.badge_digest(BADGE), s.NOW + 10 * s.MINUTE
    counted = store.people._count(digest, later)
    assert not isinstance(counted, Refusal)
    assert isinstance(store.people.sign_on(BADGE, PIN, later + 10 * s.MINUTE), Person)
    assert store.people._refuse(counted, later + 10 * s.MINUTE) == Refusal("sign_on_refused")
    assert store.database.rows("SELECT failures FROM tries WHERE failures > 0")[0]["failures"] == 1
    assert told(store) == []
