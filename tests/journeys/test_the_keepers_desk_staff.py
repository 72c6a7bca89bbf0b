"""The keeper's desk, people: driver, desk and SQLite are real, PINs are really hashed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.catalogue.people import Role
from kiosk.core.preparation.house_events import (
    BadgeEnded,
    BadgeIssued,
    PinChanged,
    Released,
    StaffChanged,
)
from kiosk.hardware.clock import SetClock
from tests.counter import NOW
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import (
    CHECKER,
    KEEPER,
    PREPARER,
    Counter,
    at_desk,
    badge,
    house,
    letters,
    presses,
    rows,
    said,
    sign_on,
    typed,
)


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    yield Counter(home, store, DriverHand(driver, clock, home.labels))
    store.close()


def test_nobody_but_a_keeper_finds_the_desk(counter: Counter) -> None:
    hand = counter.hand
    sign_on(hand, PREPARER)
    assert [key.name for key in hand.page().keys] == ["own-pin"]
    hand.driver.press("keepers-desk")  # no key of this page
    hand.wait("due")


def test_a_changed_role_counts_at_once_and_is_on_record(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    presses(hand, [f"person:{CHECKER}", "roles", "role:second checker", "trainee", "keep"])
    assert hand.wait("keeping-member").help.startswith("In training")
    assert rows(hand)["Roles and training"] == "prepare, witness"
    known = hand.driver.desk.rules.people[CHECKER]
    assert known.roles == {Role.PREPARER, Role.WITNESS}
    assert known.trainee
    last = house(counter.store, StaffChanged)[-1]
    assert (last.by, last.person, last.what, last.trainee) == (KEEPER, CHECKER, "changed", True)
    assert last.roles == ("preparer", "witness")


def test_a_person_without_any_role_cannot_be_kept(counter: Counter) -> None:
    at_desk(counter.hand, "staff")
    presses(counter.hand, ["person:W01", "roles", "role:witness"])
    assert not next(key for key in counter.hand.page().keys if key.name == "keep").enabled


def test_a_new_pin_is_typed_twice_the_same_and_replaces_the_old(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    presses(hand, [f"person:{PREPARER}", "pin"])
    typed(hand, "2580")
    hand.wait("keeping-pin-again")
    typed(hand, "2581")
    assert said(hand) == ["The two PINs are not the same."]
    hand.wait("keeping-pin-new")
    typed(hand, "2580")
    typed(hand, "2580")
    hand.wait("keeping-member")
    assert house(counter.store, PinChanged)[-1].person == PREPARER
    presses(hand, ["sign-off"])
    sign_on(hand, PREPARER)  # the PIN of the demo's list
    assert said(hand) == ["Badge and PIN do not fit together."]
    hand.pass_time(2)
    typed(hand, "2580")
    hand.wait("due")


@pytest.mark.parametrize("pin", ["1111", "1234", "8765"])
def test_a_pin_that_is_guessed_first_is_refused(counter: Counter, pin: str) -> None:
    at_desk(counter.hand, "staff")
    presses(counter.hand, [f"person:{PREPARER}", "pin"])
    typed(counter.hand, pin)
    typed(counter.hand, pin)
    assert said(counter.hand) == ["This PIN is too easy to guess."]


def test_a_lost_badge_ends_at_once_and_never_comes_back(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    presses(hand, [f"person:{PREPARER}", "badge", "no-badge"])
    assert house(counter.store, BadgeEnded)[-1].why == "lost"
    presses(hand, ["badge"])
    hand.scan(badge("N01"))  # found again: it stays ended
    assert said(hand) == ["This badge was given out before."]
    hand.scan(badge("N01B"))
    hand.wait("keeping-member")
    assert house(counter.store, BadgeIssued)[-1].person == PREPARER
    presses(hand, ["sign-off"])
    sign_on(hand, PREPARER)
    assert said(hand) == ["Badge and PIN do not fit together."]
    hand.press("back")
    sign_on(hand, PREPARER, code=badge("N01B"))
    hand.wait("due")


def test_a_locked_badge_is_seen_and_released(counter: Counter) -> None:
    hand = counter.hand
    hand.scan(badge("N01"))
    for wait in (2, 3, 5, 9, 17):  # each wait doubles: 1, 2, 4, 8 s
        typed(hand, "9999")
        hand.pass_time(wait)
    assert said(hand) == ["This badge is locked."]
    hand.press("back")
    at_desk(hand, "staff")
    marks = {choice.key.label: choice.badge for choice in hand.page().control.choices}  # type: ignore[union-attr]
    assert [name for name, mark in marks.items() if mark == "badge locked"] == ["Nell Quickthorn"]
    presses(hand, [f"person:{PREPARER}", "release"])
    assert "Release the badge" not in rows(hand)
    assert house(counter.store, Released) == [Released(KEEPER, PREPARER)]
    presses(hand, ["sign-off"])
    sign_on(hand, PREPARER)
    hand.wait("due")


def test_somebody_is_taken_on_by_scan_and_letters_and_signs_on(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    hand.press("take-on")
    hand.scan(badge("N01"))
    assert said(hand) == ["This badge was given out before."]
    hand.scan(badge("ZOE1"))
    presses(hand, ["letter:Z", "letter:o"])  # a capital begins a name; the next key is small
    letters(hand, "ë O'Hara\n")
    hand.wait("keeping-initials")
    hand.press("commit")
    presses(hand, ["role:preparer", "trainee", "keep"])
    typed(hand, "2580")
    typed(hand, "2580")
    hand.wait("keeping-staff")
    assert rows(hand)["Zoë O'Hara"] == "prepare"
    came = house(counter.store, StaffChanged)[-1]
    assert (came.by, came.person, came.what, came.trainee) == (KEEPER, "ZO1", "came", True)
    presses(hand, ["sign-off"])
    sign_on(hand, "", "2580", badge("ZOE1"))
    assert hand.wait("due").foot.signed_on == "Zoë O'Hara"  # type: ignore[union-attr]


def test_a_badge_is_typed_where_it_cannot_be_scanned_and_its_check_character_counts(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    presses(hand, ["take-on", "type-badge"])
    letters(hand, badge("ZOE1")[:-1] + "*\n")
    assert said(hand)
    for _ in range(20):
        hand.driver.type("\b")
    letters(hand, badge("ZOE1").lower() + "\n")
    hand.wait("keeping-name")


def test_the_last_keeper_stays_one(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    presses(hand, ["person:K02", "roles", "role:keeper", "keep", "back"])
    presses(hand, [f"person:{KEEPER}", "roles", "role:keeper", "keep"])
    assert said(hand) == ["This is the only keeper."]


def test_who_no_longer_works_here_is_off_the_list_and_stays_readable(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    presses(hand, [f"person:{KEEPER}", "left", "leave"])
    assert said(hand) == ["You cannot take yourself off the list."]
    presses(hand, ["back", "back", f"person:{PREPARER}", "left"])
    page = hand.wait("keeping-leaving")
    assert [key.name for key in page.keys] == ["back"]  # the way back stands elsewhere than the act
    hand.press("leave")
    assert "Nell Quickthorn" not in rows(hand)
    gone = counter.store.people.person(PREPARER)
    assert gone is not None
    assert gone.name == "Nell Quickthorn"
    presses(hand, ["sign-off"])
    sign_on(hand, PREPARER)
    assert said(hand) == ["Badge and PIN do not fit together."]


def test_anybody_changes_their_own_pin(counter: Counter) -> None:
    hand = counter.hand
    sign_on(hand, PREPARER)
    hand.press("own-pin")
    for pin in ("4813", "2580", "2580"):
        typed(hand, pin)
    hand.wait("due")
    assert house(counter.store, PinChanged)[-1].by == PREPARER
    hand.press("sign-off")
    sign_on(hand, PREPARER, "2580")
    hand.wait("due")


def test_a_wrong_old_pin_is_refused_and_counted(counter: Counter) -> None:
    hand = counter.hand
    sign_on(hand, PREPARER)
    hand.press("own-pin")
    for pin in ("9999", "2580", "2580"):
        typed(hand, pin)
    assert said(hand) == ["Badge and PIN do not fit together."]
    hand.wait("keeping-pin-old")
