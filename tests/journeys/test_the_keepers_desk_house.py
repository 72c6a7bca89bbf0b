"""The keeper's desk, entries of no syringe: the latest, of a person, a day or a kind, told in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Lines
from tests.counter import NOW
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import Counter, at_desk, presses, sign_on

DAY_S = 86_400


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    sign_on(hand, "N01")
    hand.press("sign-off")
    hand.pass_time(DAY_S)
    at_desk(hand, "record")
    hand.press("house")
    hand.wait("keeping-house")
    yield Counter(home, store, hand)
    store.close()


def lines(hand: DriverHand) -> list[tuple[str, str]]:
    control = hand.page().control
    assert isinstance(control, Lines)
    return [(line.text, line.detail.split(",")[0]) for line in control.lines]


def test_the_latest_stand_first_each_with_its_day_and_entry(counter: Counter) -> None:
    counter.hand.press("latest")
    found = lines(counter.hand)
    assert found[:3] == [
        ("Agnes Millwheel signed on.", "17 Mar 2026"),
        ("Nell Quickthorn signed off: as asked.", "16 Mar 2026"),
        ("Nell Quickthorn signed on.", "16 Mar 2026"),
    ]
    assert len(found) == len(counter.store.ledger.house_events())
    assert not [text for text, _ in found if "{" in text or "_" in text]


def test_of_one_person_what_they_did_and_what_was_done_to_them(counter: Counter) -> None:
    presses(counter.hand, ["house-by-person", "one:N01"])
    texts = [text for text, _ in lines(counter.hand)]
    assert texts[:2] == ["Nell Quickthorn signed off: as asked.", "Nell Quickthorn signed on."]
    assert "Agnes Millwheel changed the PIN of Nell Quickthorn." in texts
    assert all("Nell Quickthorn" in text for text in texts)


def test_of_one_day(counter: Counter) -> None:
    counter.hand.press("house-by-day")
    presses(counter.hand, ["one:2026-03-17"])
    assert lines(counter.hand) == [("Agnes Millwheel signed on.", "17 Mar 2026")]
    assert counter.hand.page().question == "Beside the syringes: 17 Mar 2026"


@pytest.mark.parametrize(
    ("kind", "begins"),
    [("sign-ons", "Agnes Millwheel signed on."), ("policy", "The policies in force were noted.")],
)
def test_of_one_kind(counter: Counter, kind: str, begins: str) -> None:
    counter.hand.press(f"kind:{kind}")
    assert lines(counter.hand)[0][0] == begins


def test_a_kind_that_never_was_says_so(counter: Counter) -> None:
    counter.hand.press("kind:record")
    control = counter.hand.page().control
    assert isinstance(control, Lines)
    assert (control.lines, control.empty) == ((), "Nothing was found.")
