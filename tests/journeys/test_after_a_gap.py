"""A syringe that was left: nobody gets a label for it on trust, whichever way they try."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.feeds.own_codes import ORDER, make_own
from kiosk.hardware.clock import SetClock
from kiosk.pages.driver import Driver
from kiosk.pages.live import live
from kiosk.store.opening import Store
from kiosk.walkthrough.journeys import choose, draw_up, set_plunger, sign_on, symbol, take_up, type_figure
from kiosk.wiring.home import Home
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand


class Counter:
    """A counter whose power can be cut."""

    def __init__(self, home: Home) -> None:
        self.home, self.clock = home, SetClock(NOW)
        self.store: Store
        self.driver: Driver
        self.hand: DriverHand
        self.power_on()

    def power_on(self) -> None:
        self.store, self.driver = opened(self.home, self.clock)
        self.hand = DriverHand(self.driver, self.clock, self.home.labels)

    def power_cut(self) -> None:
        self.store.close()
        self.power_on()
        sign_on(self.hand, the_cast(), "preparer")

    def to_the_label(self) -> None:
        """Prepare the ampoule dose as far as its label."""
        hand = self.hand
        sign_on(hand, the_cast(), "preparer")
        take_up(hand, "O01")
        hand.press("take-up")
        hand.scan(symbol(container("C002")))
        type_figure(hand, "1")
        hand.press("commit")
        hand.press("go-on")
        for page in ("syringe", "draw-up-device", "needle"):
            choose(hand, page)
        draw_up(hand)
        self.read_plunger()
        hand.wait("label")

    def read_plunger(self) -> None:
        set_plunger(self.hand, 20)
        self.hand.press("commit")


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    made = Counter(fresh(tmp_path))
    yield made
    made.store.close()


def test_after_a_power_cut_nothing_but_coming_back_or_giving_up_is_possible(counter: Counter) -> None:
    counter.to_the_label()
    counter.power_cut()
    assert counter.hand.wait("resume")
    assert live(counter.hand.page()) == {"resume", "stop"}
    counter.hand.press("stop")
    counter.hand.press("back")
    counter.hand.wait("resume")
    counter.hand.press("resume")
    counter.hand.wait("verify")


def test_a_label_printed_before_the_gap_is_void_after_it(counter: Counter) -> None:
    counter.to_the_label()
    counter.hand.press("print")
    old = counter.hand.label_code()
    counter.power_cut()
    counter.hand.scan(old)
    counter.hand.wait("resume")
    counter.hand.press("resume")
    counter.hand.scan(symbol(container("C002")))
    counter.read_plunger()
    counter.hand.wait("label")
    counter.hand.press("print")
    new = counter.hand.label_code()
    assert new != old
    counter.hand.pass_time(2)
    counter.hand.scan(old)
    assert "another syringe" in counter.hand.wait("scan-back").findings[0].what
    counter.hand.scan(new)
    counter.hand.wait("rest")


def test_a_lot_recalled_meanwhile_is_refused_when_it_is_shown_again(counter: Counter) -> None:
    counter.to_the_label()
    counter.store.recall_lot(container("C002").lot, "K01", "maker's recall", counter.clock.now())
    counter.power_cut()
    counter.hand.press("resume")
    counter.hand.scan(symbol(container("C002")))
    assert "recalled" in counter.hand.wait("verify").findings[0].what


def test_a_print_that_fails_is_told_and_can_be_tried_again(counter: Counter) -> None:
    counter.to_the_label()
    shutil.rmtree(counter.home.labels)
    for _ in range(12):
        counter.hand.press("print")
        assert "did not come out" in counter.hand.wait("label").findings[0].what
    counter.home.labels.mkdir()
    counter.hand.press("print")
    counter.hand.scan(counter.hand.label_code())
    counter.hand.wait("rest")


def test_the_slip_of_an_order_under_way_or_done_opens_no_second_syringe(counter: Counter) -> None:
    counter.to_the_label()
    counter.hand.press("print")
    counter.hand.scan(counter.hand.label_code())
    hand = counter.hand
    hand.press(next(name for name in live(hand.page()) if name.startswith("rest:")))
    hand.press("finish")
    hand.scan(make_own(ORDER, "O01"))
    hand.wait("order")
    hand.press("take-up")
    assert "not due" in hand.wait("order").findings[-1].what or "not due" in hand.page().findings[0].what
