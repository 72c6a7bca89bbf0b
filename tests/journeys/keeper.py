"""What a keeper and others do at a real demo counter, by the driver alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from kiosk.core.label.code import check_character
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Choices, Lines
from kiosk.store.opening import Store
from kiosk.walkthrough.journeys import insulin_with_second_person, wrong_strength_refused
from kiosk.wiring.home import Home
from tests.counter import NOW, ward
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand

E = TypeVar("E", bound=HouseEvent)
KEEPER, PREPARER, CHECKER = "K01", "N01", "N02"


@dataclass
class Counter:
    """An open demo counter: what it keeps, and the hand at it."""

    home: Home
    store: Store
    hand: DriverHand


def two_on_record(folder: Path) -> Home:
    """Return a demo counter, closed again, with an insulin syringe done and a wrong strength given up."""
    clock, home = SetClock(NOW), fresh(folder)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    for journey in (insulin_with_second_person, wrong_strength_refused):
        journey(hand, the_cast())
        hand.press("sign-off")
    store.close()
    return home


def badge(name: str) -> str:
    """A badge code of that name, its check character by ISO/IEC 7064 MOD 37,36 as on any badge."""
    return f"PB1{name}{check_character(f'PB1{name}')}"


def typed(hand: DriverHand, digits: str, commit: str = "commit") -> None:
    """Type digits on the pad that is on, and commit."""
    for digit in digits:
        hand.press(f"digit:{digit}")
    hand.press(commit)


def sign_on(hand: DriverHand, person: str, pin: str = "", code: str = "") -> None:
    """Scan a person's badge and type a PIN: those of the demo's staff list unless others are given."""
    one = next((one for one in ward().staff if one.person.id == person), None)
    hand.pass_time(2)  # the scanner gives the same badge again within a second no meaning
    hand.scan(code or (one.badge if one else ""))
    hand.wait("pin")
    typed(hand, pin or (one.pin if one else ""))


def at_desk(hand: DriverHand, room: str, keeper: str = KEEPER) -> None:
    """Sign on as a keeper and enter a room of the desk."""
    sign_on(hand, keeper)
    hand.wait("due")
    hand.press("keepers-desk")
    hand.wait("keepers-desk")
    hand.press(f"room:{room}")


def said(hand: DriverHand) -> list[str]:
    """What the cards on the page say."""
    return [card.what for card in hand.page().findings]


def rows(hand: DriverHand) -> dict[str, str]:
    """The rows of the list that is on: label to hint, or the lines to read to their details."""
    control = hand.page().control
    if isinstance(control, Choices):
        return {choice.key.label: choice.key.hint for choice in control.choices}
    assert isinstance(control, Lines)
    return {line.text: line.detail for line in control.lines}


def house(store: Store, kind: type[E]) -> list[E]:
    """The entries of one kind that belong to no syringe, oldest first."""
    return [entry.event for entry in store.ledger.house_events() if isinstance(entry.event, kind)]


def letters(hand: DriverHand, text: str) -> None:
    """Type on a real keyboard."""
    for letter in text:
        hand.driver.type(letter)


def presses(hand: DriverHand, names: Iterable[str]) -> None:
    """Press keys one after another."""
    for name in names:
        hand.press(name)
