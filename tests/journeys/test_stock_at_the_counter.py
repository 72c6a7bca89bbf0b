"""Containers held up at a real demo counter: what is refused, what must be meant, what passes.

Driver, desk and SQLite are real; the ward is the demo ward; codes are those on its packs.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.label.code import Kind, printed_code
from kiosk.feeds.pack_code import code_of, pack_code
from kiosk.hardware.clock import SetClock
from kiosk.walkthrough.journeys import sign_on, take_up
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[DriverHand]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    yield DriverHand(driver, clock, home.labels)
    store.close()


def at_the_shelf(hand: DriverHand, order: str) -> None:
    sign_on(hand, the_cast(), "preparer")
    take_up(hand, order)
    hand.wait("order")
    hand.press("take-up")
    hand.wait("stock")


def told(hand: DriverHand) -> list[str]:
    return [card.what for card in hand.page().findings]


def test_a_sealed_vial_beside_an_open_one_is_taken_only_when_meant(hand: DriverHand) -> None:
    at_the_shelf(hand, "O02")
    sealed = container("C054")
    hand.scan(code_of(sealed))
    assert any("TWS1003" in text for text in told(hand))
    hand.scan(code_of(sealed))  # the trigger fired twice: that is no answer
    assert hand.page().id == "stock"
    assert any("TWS1003" in text for text in told(hand))
    hand.pass_time(2)
    hand.scan(code_of(sealed))
    hand.wait("volume")


def test_the_open_vial_is_taken_by_its_own_label(hand: DriverHand) -> None:
    at_the_shelf(hand, "O02")
    hand.scan(printed_code(Kind.CONTAINER, "C053"))
    hand.wait("volume")


@pytest.mark.parametrize(
    ("order", "wrong", "says"),
    [
        ("O02", "C055", "500"),  # insulin of another strength
        ("O03", "C063", "1,000"),  # heparin for the vein
        ("O01", "C003", "chlorproMAZINE"),
        ("O28", "C020", "expired"),
    ],
)
def test_the_wrong_container_is_refused_and_named(
    hand: DriverHand, order: str, wrong: str, says: str
) -> None:
    at_the_shelf(hand, order)
    hand.scan(code_of(container(wrong)))
    assert any(says in text for text in told(hand)), told(hand)
    assert hand.page().id == "stock"


def test_a_symbol_with_another_expiry_than_was_received_is_refused(hand: DriverHand) -> None:
    at_the_shelf(hand, "O01")
    pack = container("C002")
    later = pack.expiry.replace(year=pack.expiry.year + 1)
    hand.scan(pack_code(pack.product.gtin, later, pack.lot))
    assert hand.page().id == "stock"
    assert told(hand)
    hand.scan(code_of(pack))
    hand.wait("volume")


def test_a_lot_that_swallowed_what_follows_is_told_as_the_scanners_fault(hand: DriverHand) -> None:
    at_the_shelf(hand, "O01")
    pack = container("C002")
    hand.scan(f"]d201{pack.product.gtin}10{pack.lot}17{pack.expiry:%y%m%d}")
    assert hand.page().id == "stock"
    assert any("swallowed" in text for text in told(hand)), told(hand)


def test_two_ampoules_of_one_lot_are_taken_one_after_the_other(hand: DriverHand) -> None:
    at_the_shelf(hand, "O27")  # 6.6 mg from ampoules of 3.3 mg in 1 mL
    hand.scan(code_of(container("C025")))
    assert hand.page().id == "stock"
    hand.pass_time(2)
    hand.scan(code_of(container("C025")))
    hand.wait("volume")
