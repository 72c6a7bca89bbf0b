"""The slips a counter sees most, each held up to the real counter and refused with its reason."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.preparation.events import Refused
from kiosk.hardware.clock import SetClock
from kiosk.pages.driver import Driver
from kiosk.pages.parts import StepCard
from kiosk.store.opening import Store
from kiosk.walkthrough.journeys import choose, sign_on, symbol, take_up, type_figure
from tests.counter import NOW, container, ward
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand


class Bench:
    """A counter at which an order is begun."""

    def __init__(self, store: Store, driver: Driver, hand: DriverHand) -> None:
        self.store, self.driver, self.hand = store, driver, hand

    def begin(self, order: str) -> None:
        sign_on(self.hand, the_cast(), "preparer")
        take_up(self.hand, order)
        self.hand.press("take-up")

    def refused(self, code: str, page: str) -> str:
        """What the screen says of a refusal, which also stands in the record; the page has not moved."""
        assert self.hand.page().id == page
        (card,) = self.hand.page().findings
        assert card.level == "stop"
        assert card.why
        assert card.now
        preparation = self.driver.sitting.preparation
        entries = [entry.event for entry in self.store.ledger.events(preparation)]
        assert [e.code for e in entries if isinstance(e, Refused)][-1:] == [code]
        return card.what


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    yield Bench(store, driver, DriverHand(driver, clock, home.labels))
    store.close()


def pack(device_id: str) -> str:
    """What the scanner sends for the pack of a device."""
    kept = (*ward().syringes, *ward().needles, *ward().draw_up_devices)
    return f"]d201{next(d.gtin for d in kept if d.id == device_id)}"


def test_a_look_alike_drug_is_refused(bench: Bench) -> None:
    bench.begin("O01")
    bench.hand.scan(symbol(container("C003")))
    said = bench.refused("wrong_drug", "stock")
    assert "chlorproMAZINE" in said
    assert "prochlorPERazine" in said


@pytest.mark.parametrize("other", ["C057", "C059", "C060"], ids=["isophane", "lispro", "glargine"])
def test_a_second_insulin_is_refused_because_the_order_does_not_name_it(bench: Bench, other: str) -> None:
    bench.begin("O02")  # human soluble, and nothing else
    bench.hand.scan(symbol(container(other)))
    said = bench.refused("wrong_drug", "stock")
    assert container(other).product.drug.name in said
    assert "insulin human soluble" in said


def test_a_strength_that_is_not_for_this_route_is_refused(bench: Bench) -> None:
    bench.begin("O04")
    bench.hand.scan(symbol(container("C005")))
    assert "10 mL" in bench.refused("wrong_strength_for_route", "stock")


def test_an_expired_lot_is_refused(bench: Bench) -> None:
    gone = next(c for c in ward().containers if c.expiry < NOW.date() and not c.recalled)
    order = next(o for o in ward().orders if o.drug.id == gone.product.drug.id)
    bench.begin(order.id)
    bench.hand.scan(symbol(gone))
    bench.refused("expired", "stock")


def test_insulin_in_a_millilitre_syringe_is_refused(bench: Bench) -> None:
    bench.begin("O02")
    bench.hand.scan(symbol(container("C053")))
    type_figure(bench.hand, "20")
    bench.hand.press("commit")
    bench.hand.press("go-on")
    bench.hand.scan(pack("syringe-1ml-slip"))
    bench.refused("insulin_in_ml_syringe", "syringe")


def at_the_draw_up_device(bench: Bench) -> None:
    """Come as far as choosing what draws up from a glass ampoule."""
    bench.begin("O01")
    bench.hand.scan(symbol(container("C002")))
    type_figure(bench.hand, "1")
    bench.hand.press("commit")
    bench.hand.press("go-on")
    choose(bench.hand, "syringe")


def test_a_glass_ampoule_without_a_filter_is_refused(bench: Bench) -> None:
    at_the_draw_up_device(bench)
    bench.hand.scan(pack("blunt-fill-18g-38mm"))
    bench.refused("glass_without_filter", "draw-up-device")


def test_an_injection_needle_does_not_draw_up_from_glass(bench: Bench) -> None:
    at_the_draw_up_device(bench)
    bench.hand.scan(pack("needle-21g-38mm"))
    bench.refused("not_a_draw_up_device", "draw-up-device")


def test_a_filter_needle_left_on_is_refused_as_the_injecting_needle(bench: Bench) -> None:
    at_the_draw_up_device(bench)
    bench.hand.scan(pack("blunt-filter-18g-38mm"))
    bench.hand.wait("needle")
    bench.hand.pass_time(2)
    bench.hand.scan(pack("blunt-filter-18g-38mm"))
    bench.refused("not_an_injection_needle", "needle")


def test_a_needle_too_short_for_the_muscle_is_refused(bench: Bench) -> None:
    at_the_draw_up_device(bench)
    bench.hand.scan(pack("blunt-filter-18g-38mm"))
    short = min(ward().needles, key=lambda n: n.length.value)
    bench.hand.scan(pack(short.id))
    bench.refused("needle_too_short", "needle")


def test_the_preparer_coming_as_second_person_is_refused(bench: Bench) -> None:
    bench.begin("O02")
    bench.hand.scan(symbol(container("C053")))
    type_figure(bench.hand, "20")
    bench.hand.press("commit")
    bench.hand.press("go-on")
    choose(bench.hand, "syringe")
    choose(bench.hand, "needle")
    while bench.hand.page().id == "draw-up":
        bench.hand.pass_time(60)
        card = bench.hand.page().control
        assert isinstance(card, StepCard)
        bench.hand.press(card.done.name)
    for _ in range(4):
        bench.hand.press("plunger:10")
    bench.hand.press("commit")
    bench.hand.wait("call-second")
    sign_on(bench.hand, the_cast(), "preparer")
    bench.refused("checker_is_preparer", "call-second")


def test_no_syringe_is_begun_when_the_record_has_no_room_for_it(bench: Bench) -> None:
    bench.driver.desk._room = lambda: False
    sign_on(bench.hand, the_cast(), "preparer")
    take_up(bench.hand, "O01")
    bench.hand.press("take-up")
    assert bench.hand.page().id == "order"
    assert "no room" in bench.hand.page().findings[0].what
