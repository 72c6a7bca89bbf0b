"""Signing on: badge and PIN, counted, slowed, locked; and never a hint which part was wrong."""

from __future__ import annotations

import statistics
import threading
import time
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import house_events as h
from kiosk.flow.ports import RecordTrouble
from kiosk.store.people import People
from kiosk.store.pins import pin_fits, pin_hash, pin_trouble
from kiosk.store.policy import RFC_9106_LOW_MEMORY, HashCost, SignOnPolicy
from tests.store import samples as s

BADGE, PIN, WRONG = "PB1INES7", "258014703692", "258014703691"
LATER = timedelta(minutes=5)


def with_staff(store: s.Store) -> People:
    keeper = s.a_person(s.KEEPER, Role.KEEPER)
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.people([(s.a_person(), BADGE, PIN), (keeper, "PB1KAY", "9731")])
    return store.people


def code(answer: Person | Refusal) -> str:
    return answer.code if isinstance(answer, Refusal) else f"person {answer.id}"


def test_badge_and_pin_together_sign_a_person_on_and_it_is_recorded(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        assert people.sign_on(BADGE, PIN, s.NOW) == s.a_person()
        assert store.ledger.house_events()[-1].event == h.SignedOn(s.PREPARER)
        people.sign_off(s.PREPARER, "idle", s.NOW)
        assert store.ledger.house_events()[-1].event == h.SignedOff(s.PREPARER, "idle")


@pytest.mark.parametrize(
    ("badge", "pin"),
    [(BADGE, WRONG), ("PB1NOBODY", PIN), ("", ""), (BADGE, ""), (BADGE, "é\ud800"), ("\ud800", PIN)],
    ids=["wrong PIN", "unknown badge", "nothing", "no PIN", "no number", "broken scan"],
)
def test_whatever_was_wrong_the_answer_is_the_same(tmp_path: Path, badge: str, pin: str) -> None:
    with s.a_store(tmp_path) as store:
        assert with_staff(store).sign_on(badge, pin, s.NOW) == Refusal("sign_on_refused")


def answers(people: People, badge: str) -> list[str]:
    """What five wrong tries and two more are answered, each long after the one before."""
    return [code(people.sign_on(badge, WRONG, s.NOW + n * LATER)) for n in range(7)]


def test_a_badge_locks_at_the_fifth_wrong_pin_whether_somebody_holds_it_or_not(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        known, unknown = answers(people, BADGE), answers(people, "PB1NOBODY")
        assert known == unknown == ["sign_on_refused"] * 4 + ["sign_on_locked"] * 3
        assert code(people.sign_on(BADGE, PIN, s.NOW + 9 * LATER)) == "sign_on_locked"
        refused = [one.event for one in store.ledger.house_events() if isinstance(one.event, h.SignOnRefused)]
        assert [(one.failures, one.locked) for one in refused[:5]] == [(n, n == 5) for n in range(1, 6)]


def test_a_lock_outlives_the_program(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        answers(with_staff(store), BADGE)
    with s.a_store(tmp_path) as store:
        assert code(store.people.sign_on(BADGE, PIN, s.NOW + 30 * LATER)) == "sign_on_locked"


def test_each_wrong_pin_makes_the_next_try_wait_twice_as_long(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        moment = s.NOW
        for wait in (1, 2, 4, 8):
            assert code(people.sign_on(BADGE, WRONG, moment)) == "sign_on_refused"
            early = people.sign_on(BADGE, PIN, moment + timedelta(seconds=wait, milliseconds=-1))
            assert early == Refusal("sign_on_wait", {"seconds": 1})
            moment += timedelta(seconds=wait)


def test_a_try_that_came_too_soon_is_not_counted(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        people.sign_on(BADGE, WRONG, s.NOW)
        for _ in range(10):
            assert code(people.sign_on(BADGE, PIN, s.NOW)) == "sign_on_wait"
        assert code(people.sign_on(BADGE, PIN, s.NOW + LATER)) == "person p-ines"


def test_the_right_pin_wipes_the_slate(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        for n in range(4):
            people.sign_on(BADGE, WRONG, s.NOW + n * LATER)
        assert code(people.sign_on(BADGE, PIN, s.NOW + 5 * LATER)) == "person p-ines"
        assert code(people.sign_on(BADGE, WRONG, s.NOW + 6 * LATER)) == "sign_on_refused"


def test_a_clock_that_went_back_does_not_keep_anybody_waiting(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        people.sign_on(BADGE, WRONG, s.NOW)
        assert code(people.sign_on(BADGE, PIN, s.NOW - timedelta(hours=1))) == "person p-ines"


def test_many_threads_guessing_at_once_get_no_more_tries_than_one(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        said: list[str] = []
        guesses = [
            threading.Thread(
                target=lambda n=n: said.append(code(people.sign_on(BADGE, f"{n:04d}", s.NOW + n * LATER)))
            )
            for n in range(12)
        ]
        for guess in guesses:
            guess.start()
        for guess in guesses:
            guess.join()
        judged = [one for one in store.ledger.house_events() if isinstance(one.event, h.SignOnRefused)]
        assert len(judged) == 5
        assert said.count("sign_on_locked") == 8


def test_a_try_counts_before_it_is_judged_so_that_pulling_the_plug_gains_nothing(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        digest = store.keys.badge_digest(BADGE)
        people._count(digest, s.NOW)
    with s.a_store(tmp_path) as store:
        assert store.database.rows("SELECT failures FROM tries")[0][0] == 1


def test_a_badge_is_looked_up_by_a_digest_that_needs_the_key(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        assert people.by_badge(BADGE) == s.a_person()
        assert people.by_badge("PB1NOBODY") is None
    held = (tmp_path / "counter.db").read_bytes()
    assert BADGE.encode() not in held
    assert PIN.encode() not in held


def test_no_badge_and_no_pin_is_in_the_record(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        people.sign_on(BADGE, WRONG, s.NOW)
        said = "".join(row[0] for row in store.database.rows("SELECT entry FROM ledger"))
        assert BADGE not in said
        assert WRONG not in said


def test_an_unknown_badge_takes_as_long_as_a_wrong_pin(tmp_path: Path) -> None:
    """Medians of processor time; without the dummy hash an unknown badge would take none at all."""
    cost = HashCost(passes=2, kibibytes=2048, lanes=1)
    stored = pin_hash(PIN.encode(), cost)
    pin_fits(WRONG.encode(), None, cost)

    def spent(held: str | None) -> float:
        began = time.thread_time()
        assert not pin_fits(WRONG.encode(), held, cost)
        return time.thread_time() - began

    pairs = [(spent(stored), spent(None)) for _ in range(31)]
    known, unknown = (statistics.median(column) for column in zip(*pairs, strict=True))
    assert 0.6 < unknown / known < 1.7


def test_pins_are_hashed_with_argon2id_at_the_published_cost() -> None:
    """RFC 9106 (2021), section 4, second option: t=3, p=4, m=2^16 KiB, 128-bit salt, 256-bit tag."""
    algorithm, version, cost, salt, tag = pin_hash(PIN.encode(), RFC_9106_LOW_MEMORY).split("$")[1:]
    assert (algorithm, version, cost) == ("argon2id", "v=19", "m=65536,t=3,p=4")
    assert (len(salt), len(tag)) == (22, 43)  # 16 and 32 bytes in base64 without padding


def test_equal_pins_have_different_hashes() -> None:
    assert pin_hash(b"1", s.CHEAP.cost) != pin_hash(b"1", s.CHEAP.cost)


@pytest.mark.parametrize(
    ("pin", "why"),
    [
        ("258", "pin_length"),
        ("2580258025802", "pin_length"),
        ("25a0", "pin_digits_only"),
        ("", "pin_digits_only"),
        ("٢٥٨٠", "pin_digits_only"),
        ("0000", "pin_too_simple"),
        ("1234", "pin_too_simple"),
        ("98765", "pin_too_simple"),
    ],
)
def test_a_pin_that_will_not_do_says_why(pin: str, why: str) -> None:
    trouble = pin_trouble(pin, SignOnPolicy())
    assert trouble is not None
    assert trouble.code == why
    assert pin_trouble("2580", SignOnPolicy()) is None


def test_without_the_key_no_pin_can_be_guessed_from_a_copy_of_the_database(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        with_staff(store)
        stored = store.database.rows("SELECT hash FROM pins WHERE person = 'p-ines'")[0][0]
        assert not pin_fits(PIN.encode(), stored, s.CHEAP.cost)
        assert pin_fits(store.keys.peppered(PIN), stored, s.CHEAP.cost)


@pytest.mark.parametrize(
    "sql",
    [
        """UPDATE people SET roles = '["keeper"]' WHERE id = 'p-ines'""",
        "UPDATE badges SET person = 'p-kay' WHERE person = 'p-ines'",
        "UPDATE pins SET hash = (SELECT hash FROM pins WHERE person = 'p-kay') WHERE person = 'p-ines'",
        "UPDATE people SET mark = '' WHERE id = 'p-ines'",
    ],
)
def test_a_staff_row_written_by_another_hand_signs_nobody_on(tmp_path: Path, sql: str) -> None:
    with s.a_store(tmp_path) as store:
        people = with_staff(store)
        store.database.raw.execute("DROP INDEX one_badge_a_person")
        store.database.raw.execute(sql)
        with pytest.raises(RecordTrouble, match="another hand"):
            people.sign_on(BADGE, PIN, s.NOW)
