"""Containers held up at a real demo counter: what is refused, what must be meant, what passes.

Driver, desk and SQLite are real; the ward is the demo ward; codes are those on its packs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.core.dose.order import FixedDose
from kiosk.core.label.code import Kind, printed_code
from kiosk.core.units import Measure
from kiosk.feeds.own_codes import ORDER, make_own
from kiosk.feeds.pack_code import code_of, pack_code
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Choices
from kiosk.store.opening import Store
from kiosk.walkthrough.journeys import sign_on, take_up
from tests.counter import NOW, container, ward
from tests.journeys import keeper
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


def in_hand(hand: DriverHand) -> tuple[str, ...]:
    held = hand.page().in_hand
    assert held is not None
    return (held.heading, held.title, *held.lines)


def test_what_to_take_first_and_where_it_is_stands_on_the_page_before_anything_is_scanned(
    hand: DriverHand,
) -> None:
    at_the_shelf(hand, "O01")
    first = container("C002")  # expires in 65 days, C001 in 240: demo_db/stock.csv
    assert in_hand(hand)[:2] == ("Take this one first", first.product.label_name)
    assert first.lot in in_hand(hand)[2]
    assert in_hand(hand)[3] == f"Drawer {first.drawer}"


def test_a_look_alike_kept_here_is_said_before_the_container_is_taken(hand: DriverHand) -> None:
    at_the_shelf(hand, "O01")
    assert told(hand) == ["prochlorPERazine is easily mistaken for chlorproMAZINE, which is also kept here."]
    hand.scan(code_of(container("C002")))  # a scanner has read the name: no more is asked
    hand.wait("volume")
    assert told(hand) == []


def test_chosen_by_hand_a_drug_with_a_look_alike_here_must_be_meant(hand: DriverHand) -> None:
    at_the_shelf(hand, "O01")
    hand.press("by-hand")
    hand.press("choose:C002")
    assert hand.page().id == "stock"
    assert [card.level for card in hand.page().findings] == ["caution"]
    assert told(hand) == ["prochlorPERazine is easily mistaken for chlorproMAZINE, which is also kept here."]
    hand.press("by-hand")
    hand.press("choose:C002")
    hand.wait("volume")


def test_by_hand_what_is_to_be_taken_first_stands_first_and_says_so(hand: DriverHand) -> None:
    at_the_shelf(hand, "O02")
    hand.press("by-hand")
    control = hand.page().control
    assert isinstance(control, Choices)
    assert [(c.key.name, c.badge) for c in control.choices][:1] == [("choose:C053", "take first")]
    assert {c.badge for c in control.choices[1:]} == {""}


def test_one_that_expires_later_is_taken_and_the_sooner_one_named(hand: DriverHand) -> None:
    at_the_shelf(hand, "O01")
    hand.scan(code_of(container("C001")))
    hand.wait("volume")
    sooner = container("C002")
    assert [card.level for card in hand.page().findings] == ["note"]
    assert sooner.lot in told(hand)[0]


def test_the_same_lot_is_what_to_take_next(hand: DriverHand) -> None:
    at_the_shelf(hand, "O27")  # 6.6 mg from ampoules of 3.3 mg in 1 mL
    hand.scan(code_of(container("C025")))
    assert in_hand(hand)[0] == "Take this one next"
    assert container("C025").lot in in_hand(hand)[2]


def test_a_vial_in_hand_at_another_counter_is_kept_for_it(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    here, driver = opened(home, clock)
    there, other = opened(home, clock)
    first, second = DriverHand(driver, clock, home.labels), DriverHand(other, clock, home.labels)
    at_the_shelf(first, "O02")
    first.scan(printed_code(Kind.CONTAINER, "C053"))
    first.wait("volume")
    order_comes(there, "insulin_soluble")
    keeper.sign_on(second, "N03")
    second.scan(make_own(ORDER, "S1"))
    assert told(second) == []
    second.wait("order")
    second.press("take-up")
    second.wait("stock")
    assert "TWS1003" not in " ".join(in_hand(second))
    second.pass_time(2)
    second.scan(printed_code(Kind.CONTAINER, "C053"))
    assert second.page().id == "stock"
    assert told(second) == [f"Somebody else is preparing from this {container('C053').product.label_name}."]
    here.close()
    there.close()


def order_comes(store: Store, drug_id: str) -> None:
    """A second order for 20 units under the skin, for another patient."""
    like = next(one for one in ward().orders if one.id == "O02")
    whom = next(one for one in ward().patients if one.id == "P01")
    assert like.drug.id == drug_id
    made = replace(like, id="S1", patient=whom, dose=FixedDose(Measure.of(20, "units")))
    with store.importing("K01", NOW) as lists:
        lists.orders([made])
