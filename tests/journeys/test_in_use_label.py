"""The in-use label of a vial as a stage of the work: printed, or told, printed again, or written by hand.

The counter is the real one. The printer fails because its folder is really gone; it never answers because
the counter is stopped while it prints.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.core.label.code import Kind, ReadCode, read_code
from kiosk.core.preparation import events as e
from kiosk.core.preparation.in_use_events import InUseLabelAsked, InUseLabelSaid
from kiosk.hardware.clock import SetClock
from kiosk.pages.live import keys_of
from kiosk.pages.parts import Statement
from kiosk.store.opening import Store
from kiosk.store.verify import verify
from kiosk.walkthrough.journeys import choose, draw_up, insulin_with_second_person, symbol, take_up
from kiosk.wiring.home import Home
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand, read_label
from tests.journeys.keeper import sign_on, typed


class Stopped(Exception):
    """The hand has come to the page it was to stop at."""


class Insisting(DriverHand):
    """Holds the sealed vial up again, as the caution asks; stops at the page it is told to stop at."""

    stop_at = ""
    folder_goes_at = ""

    def scan(self, text: str) -> None:
        super().scan(text)
        if self.page().id == "stock" and self.page().findings:
            self.pass_time(2)
            super().scan(text)

    def press(self, name: str) -> None:
        if name.startswith("rest:") and self.folder_goes_at == "rest":
            self.labels.rename(self.labels.with_name("labels-away"))
        super().press(name)

    def wait(self, page: str):  # type: ignore[no-untyped-def]
        now = self.page()
        if now.id == self.stop_at:
            raise Stopped
        return super().wait(page)


Counter = tuple[Store, Insisting, Home]


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    yield store, Insisting(driver, clock, home.labels), home
    assert verify(store.database.path, store.keys).whole
    store.close()


def to_the_label(hand: Insisting, page: str = "in-use-label") -> None:
    """Insulin out of a vial just opened, up to its label, with the printer's folder gone when it is asked."""
    cast = the_cast()
    cast = replace(cast, code={**cast.code, "insulin": symbol(container("C054"))})
    hand.stop_at = page
    with pytest.raises(Stopped):
        insulin_with_second_person(hand, cast)
    hand.stop_at = ""


def told(store: Store, *kinds: type) -> list[object]:
    """The entries of these kinds of the one syringe there is, oldest first."""
    rows = store.database.rows("SELECT DISTINCT preparation FROM lots_used")
    found = [entry.event for row in rows for entry in store.ledger.events(row["preparation"])]
    return [event for event in found if isinstance(event, kinds)]


def text_of(hand: Insisting) -> str:
    control = hand.page().control
    assert isinstance(control, Statement)
    return " | ".join(control.lines)


def key(hand: Insisting, begins: str) -> str:
    return next(k.name for k in keys_of(hand.page()) if k.name.startswith(begins))


def test_a_failed_print_is_told_and_the_vial_is_not_done_with(counter: Counter) -> None:
    _, hand, _ = counter
    hand.folder_goes_at = "rest"
    to_the_label(hand)
    page = hand.wait("in-use-label")
    assert [card.what for card in page.findings] == ["The in-use label of lot TWS1009 did not come out."]
    assert "finish" not in {k.name for k in keys_of(page)}
    # opened some minutes after 08:00 by this counter's clock, an hour ahead of UTC; the maker gives 28 days:
    # 13 April at the same time of day
    opened_at = hand.clock.now()
    assert f"Discard after 13 Apr 2026 {opened_at:%H:%M}" in text_of(hand)
    assert f"Opened 16 Mar 2026 {opened_at:%H:%M}" in text_of(hand)
    assert "9.8 mL left" in text_of(hand)
    assert "NQ" in text_of(hand)


def test_it_is_printed_again_once_the_printer_is_back(counter: Counter) -> None:
    store, hand, home = counter
    hand.folder_goes_at = "rest"
    to_the_label(hand)
    hand.press(key(hand, "in-use-again"))
    hand.wait("in-use-label")  # still gone
    home.folder.joinpath("labels-away").rename(home.labels)
    hand.press(key(hand, "in-use-again"))
    assert hand.wait("sharps").heard == "In-use label printed: stick it on the vial of lot TWS1009."
    (label,) = home.labels.glob("in-use-*.pdf")
    code = read_code(read_label(label))
    assert isinstance(code, ReadCode)
    assert code.kind is Kind.CONTAINER
    hand.press("finish")
    happened = told(store, InUseLabelAsked, e.InUseLabelEnded)
    assert [one.copy for one in happened if isinstance(one, InUseLabelAsked)] == [1, 2, 3]
    assert [one.outcome for one in happened if isinstance(one, e.InUseLabelEnded)] == [
        "failed",
        "failed",
        "printed",
    ]


def test_written_by_hand_it_is_confirmed_and_on_record(counter: Counter) -> None:
    store, hand, _ = counter
    hand.folder_goes_at = "rest"
    to_the_label(hand)
    hand.press(key(hand, "in-use-said:by hand"))
    hand.wait("sharps")
    assert told(store, InUseLabelSaid) == [InUseLabelSaid("N01", "C054", "by hand")]
    hand.press("finish")
    hand.wait("due")


def test_the_counter_stopped_while_it_printed_asks_and_never_repeats(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = Insisting(driver, clock, home.labels)
    to_the_label(hand, "rest")
    driver.background = lambda job, then: None  # the power goes before the printer answers
    hand.press(key(hand, "rest:kept"))
    hand.wait("in-use-printing")
    store.close()

    store, driver = opened(home, clock)
    hand = Insisting(driver, clock, home.labels)
    sign_on(hand, "N01")
    hand.press("resume")
    page = hand.wait("in-use-unknown")
    assert page.question == "Did the in-use label come out?"
    hand.press(key(hand, "in-use-said:no paper"))
    hand.wait("in-use-label")
    hand.press(key(hand, "in-use-again"))
    hand.wait("sharps")
    assert len(list(home.labels.glob("in-use-*.pdf"))) == 1
    store.close()


def test_a_label_spoilt_on_sticking_is_printed_once_more_with_a_reason(counter: Counter) -> None:
    store, hand, home = counter
    to_the_label(hand, "sharps")
    hand.press("in-use-spoilt")
    hand.wait("in-use-copy")
    hand.press("in-use-copy:spoiled")
    hand.wait("sharps")
    assert len(list(home.labels.glob("in-use-*.pdf"))) == 2
    asked = told(store, InUseLabelAsked)
    assert [(one.copy, one.reason) for one in asked if isinstance(one, InUseLabelAsked)] == [
        (1, ""),
        (2, "spoiled"),
    ]


def test_a_syringe_given_up_leaves_its_vial_only_with_a_label(counter: Counter) -> None:
    store, hand, home = counter
    sign_on(hand, "N01")
    take_up(hand, "O02")
    hand.press("take-up")
    hand.pass_time(2)
    hand.scan(symbol(container("C054")))
    hand.wait("volume")
    typed(hand, "20")
    hand.press("go-on")
    choose(hand, "syringe")
    choose(hand, "needle")
    draw_up(hand)
    hand.wait("reading")
    home.labels.rename(home.labels.with_name("labels-away"))
    hand.press("stop")
    hand.press("discard:dropped")
    hand.wait("in-use-label")
    home.labels.with_name("labels-away").rename(home.labels)
    hand.press(key(hand, "in-use-again"))
    hand.wait("due")
    (vial,) = [c for c in store.shelf.containers_of("insulin_soluble", NOW) if c.id.startswith("V")]
    assert vial.left is not None
    assert str(vial.left.to("mL").decimal) == "9.8"
