"""A keeper at the drug list of a real demo counter, by the driver alone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.feeds.own_codes import ORDER, make_own
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Lines
from kiosk.store.opening import Store
from kiosk.wiring.home import Home
from tests.counter import NOW, ward
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import at_desk, presses, sign_on, typed

DRUG = next(drug for drug in ward().drugs if drug.id == "prochlorperazine")
DAY = timedelta(days=1)
Counter = tuple[Home, Store, DriverHand]


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    home.inbox.mkdir()
    at_desk(hand, "drugs")
    yield home, store, hand
    store.close()


def in_force(store: Store, days: int = 0, drug: Drug = DRUG) -> int:
    found = store.drugs.listed(drug, NOW + days * DAY)
    return found.number if isinstance(found, EntryVersion) else 0


def lines(hand: DriverHand) -> dict[str, str]:
    control = hand.page().control
    assert isinstance(control, Lines)
    return {line.at: line.text for line in control.lines}


def lower_the_most_in_a_dose(hand: DriverHand, figure: str = "6", day: str = "today") -> None:
    """Change by touch how much prochlorperazine may be given in one dose."""
    presses(hand, ["drug:prochlorperazine", "change", "limit:0"])
    typed(hand, figure)
    hand.wait("keeping-drug-draft")
    presses(hand, ["propose", f"from:{day}"])
    hand.wait("keeping-drug")


def second_keeper(hand: DriverHand, person: str = "K02") -> None:
    """Show a badge and type its PIN where the second keeper is asked for."""
    hand.wait("keeping-drug-second")
    one = next(one for one in ward().staff if one.person.id == person)
    hand.pass_time(2)
    hand.scan(one.badge)
    typed(hand, one.pin)


def begin_the_order(hand: DriverHand, person: str = "N01") -> None:
    """Leave the desk, sign on as a nurse and try to take up O01."""
    hand.press("sign-off")
    sign_on(hand, person)
    hand.scan(make_own(ORDER, "O01"))
