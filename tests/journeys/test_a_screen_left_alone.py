"""A screen left alone hides its figures and keeps the work for whoever left it; others begin their own."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import ClockWentBack, SignedOff
from kiosk.core.preparation.state import Stage
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Ground, Page
from kiosk.pages.patience import BETWEEN_TRIES
from kiosk.store.opening import Store
from kiosk.walkthrough.journeys import choose, draw_up, set_plunger, take_up, type_figure
from tests.counter import NOW
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import CHECKER, PREPARER, at_desk, badge, house, presses, said, sign_on

CAST = the_cast()
IDLE_S, LONG_S = 180, 900  # resources/tables/sign_on.csv: common practice, no source


class Counter:
    """One open demo counter."""

    def __init__(self, store: Store, hand: DriverHand, database: Path) -> None:
        self.store, self.hand, self.database = store, hand, database


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    yield Counter(store, DriverHand(driver, clock, home.labels), home.database)
    store.close()


def left_alone(hand: DriverHand, seconds: int = IDLE_S) -> None:
    hand.pass_time(seconds)
    hand.driver.tick()


def to_volume(hand: DriverHand) -> None:
    """Up to a committed figure's place: 20 units of insulin for Tobias Wrenfield."""
    sign_on(hand, PREPARER)
    take_up(hand, CAST.given["insulin_order"])
    hand.press("take-up")
    hand.scan(CAST.code["insulin"])
    hand.wait("volume")


def to_reading(hand: DriverHand) -> None:
    """Up to a filled syringe without a label."""
    to_volume(hand)
    type_figure(hand, CAST.given["insulin_figure"])
    presses(hand, ["commit", "go-on"])
    choose(hand, "syringe")
    choose(hand, "needle")
    draw_up(hand)
    hand.wait("reading")


def to_check(hand: DriverHand) -> None:
    """Up to a second person who has begun."""
    to_reading(hand)
    set_plunger(hand, int(CAST.given["insulin_half_lines"]))
    hand.press("commit")
    sign_on(hand, CHECKER)
    hand.wait("check-container")
    hand.scan(CAST.code["insulin"])
    hand.wait("check-figure")


def still(page: Page) -> Page:
    """A page without its clock, to be compared at another moment."""
    assert page.foot is not None
    return replace(page, foot=replace(page.foot, clock=""), sound="")


def whole_text(page: Page) -> str:
    return repr(page)


def test_figures_go_at_once_and_only_the_name_stays(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    type_figure(hand, "20")
    left_alone(hand, IDLE_S - 1)
    hand.wait("volume")
    left_alone(hand, 1)
    page = hand.wait("locked")
    assert page.ground is Ground.DOOR
    assert page.slip is None
    assert page.stages == ()
    assert page.in_hand is None
    for secret in ("Tobias", "Wrenfield", "20", "insulin", "units"):
        assert secret not in whole_text(replace(page, foot=None)), secret
    assert page.foot is not None
    assert page.foot.signed_on == "Nell Quickthorn"
    assert house(counter.store, SignedOff) == [SignedOff(PREPARER, "idle")]


def test_every_touch_scan_or_stroke_counts_as_being_there(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    for there in (lambda: hand.press("digit:2"), lambda: hand.scan("PB1N0XX"), lambda: hand.driver.type("0")):
        hand.pass_time(IDLE_S - 1)
        there()
        hand.driver.tick()
    hand.wait("volume")


def test_the_same_person_goes_on_exactly_where_they_were(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    type_figure(hand, "20")
    before = hand.page()
    left_alone(hand)
    sign_on(hand, PREPARER)
    assert still(hand.page()) == still(before)
    hand.press("commit")
    hand.wait("working")


def test_a_wrong_pin_opens_nothing(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    left_alone(hand)
    sign_on(hand, PREPARER, "9999")
    hand.wait("pin")
    assert said(hand) == ["Badge and PIN do not fit together."]
    hand.press("back")
    assert hand.wait("locked").slip is None


def test_nothing_but_a_badge_does_anything_on_a_locked_screen(counter: Counter) -> None:
    hand = counter.hand
    to_reading(hand)
    left_alone(hand)
    entries = len(counter.store.ledger.events(hand.driver.sitting.preparation))
    for name in ("commit", "plunger:1", "stop", "discard:dropped", "back", "sign-off", "digit:2"):
        hand.driver.press(name)
    hand.driver.type("mm:12")
    hand.driver.type("20\n")
    hand.scan(CAST.code["insulin"])
    assert said(hand) == ["The screen is locked."]
    assert len(counter.store.ledger.events(hand.driver.sitting.preparation)) == entries
    assert hand.driver.sitting.plunger is None


def test_somebody_else_begins_their_own_and_the_first_ones_syringe_waits(counter: Counter) -> None:
    hand = counter.hand
    to_reading(hand)
    mine = hand.driver.sitting.preparation
    left_alone(hand)
    sign_on(hand, "N03")
    assert hand.wait("due").foot.signed_on == "Marta Applebough"  # type: ignore[union-attr]
    presses(hand, ["sign-off"])
    sign_on(hand, PREPARER)
    page = hand.wait("resume")
    assert "Tobias Wrenfield" in page.question
    hand.press("resume")
    assert hand.driver.sitting.preparation == mine
    assert hand.wait("verify")
    assert hand.driver.here() is Stage.VERIFY  # filled and unlabelled: never labelled on trust


def test_called_away_locks_at_once_and_says_so_on_record(counter: Counter) -> None:
    hand = counter.hand
    to_reading(hand)
    before = hand.page()
    presses(hand, ["stop", "leave-for-now"])
    hand.wait("locked")
    assert house(counter.store, SignedOff) == [SignedOff(PREPARER, "handed over")]
    sign_on(hand, PREPARER)
    assert still(hand.page()) == still(before)


def test_after_too_long_a_filled_syringe_is_verified_again(counter: Counter) -> None:
    hand = counter.hand
    to_reading(hand)
    presses(hand, ["stop", "leave-for-now"])
    left_alone(hand, LONG_S)
    sign_on(hand, PREPARER)
    hand.wait("resume")
    hand.press("resume")
    hand.wait("verify")
    events = [entry.event for entry in counter.store.ledger.events(hand.driver.sitting.preparation)]
    assert isinstance(events[-1], e.Resumed)


def test_a_checkers_half_given_reading_goes_with_the_checker(counter: Counter) -> None:
    hand = counter.hand
    to_check(hand)
    type_figure(hand, "17")
    left_alone(hand)
    hand.wait("locked")
    assert house(counter.store, SignedOff) == [SignedOff(CHECKER, "idle"), SignedOff(PREPARER, "idle")]
    sign_on(hand, PREPARER)
    page = hand.wait("call-back")
    assert "17" not in whole_text(replace(page, slip=None))
    sign_on(hand, CHECKER)
    assert hand.wait("check-figure").control.typed == ""  # type: ignore[union-attr]


def test_signing_off_is_on_record(counter: Counter) -> None:
    hand = counter.hand
    sign_on(hand, PREPARER)
    hand.press("sign-off")
    assert house(counter.store, SignedOff) == [SignedOff(PREPARER, "asked")]


def test_a_checker_who_leaves_has_signed_off(counter: Counter) -> None:
    hand = counter.hand
    to_check(hand)
    hand.press("leave-check")
    hand.wait("call-back")
    assert house(counter.store, SignedOff) == [SignedOff(CHECKER, "asked")]


def test_a_badge_left_on_the_pad_is_put_away(counter: Counter) -> None:
    hand = counter.hand
    hand.scan(badge("N01"))
    presses(hand, ["digit:4", "digit:8"])
    left_alone(hand)
    hand.wait("door")
    assert hand.driver.sitting.pin == ""


def test_a_half_typed_new_pin_is_forgotten(counter: Counter) -> None:
    hand = counter.hand
    sign_on(hand, PREPARER)
    presses(hand, ["own-pin", "digit:4", "digit:8"])
    left_alone(hand)
    sign_on(hand, PREPARER)
    assert hand.wait("keeping-pin-old").control.filled == 0  # type: ignore[union-attr]


def test_the_keepers_desk_is_hidden_and_kept_too(counter: Counter) -> None:
    hand = counter.hand
    at_desk(hand, "staff")
    hand.press(f"person:{PREPARER}")
    left_alone(hand)
    assert "Quickthorn" not in whole_text(hand.wait("locked"))
    sign_on(hand, "K01")
    hand.wait("keeping-member")


def soon_after(hand: DriverHand) -> None:
    """Let as much time pass as the screen leaves a record alone that could not be written."""
    hand.pass_time(int(BETWEEN_TRIES.total_seconds()))
    hand.driver.tick()


def test_the_screen_locks_though_the_record_cannot_be_written_and_says_it_later(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    with closing(sqlite3.connect(counter.database, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        left_alone(hand)
        hand.wait("locked")
        assert house(counter.store, SignedOff) == []
        other.execute("ROLLBACK")
    soon_after(hand)
    assert house(counter.store, SignedOff) == [SignedOff(PREPARER, "idle")]


def test_a_clock_that_goes_back_locks_nobody_out_and_nobody_in(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    hand.driver.tick()
    left_alone(hand, -3600)
    hand.wait("volume")
    left_alone(hand)
    hand.wait("locked")


def test_a_clock_put_back_hides_no_gap(counter: Counter) -> None:
    """Left for an hour, the hands put back by an hour meanwhile: by them alone no time has passed."""
    hand = counter.hand
    to_reading(hand)
    left_alone(hand)
    hand.pass_time(3600)
    hand.clock.set_hands(timedelta(hours=-1))
    sign_on(hand, PREPARER)
    hand.wait("resume")
    hand.press("resume")
    hand.wait("verify")


def test_a_clock_put_forward_is_doubted_too(counter: Counter) -> None:
    hand = counter.hand
    to_reading(hand)
    left_alone(hand)
    hand.clock.set_hands(timedelta(hours=1))
    sign_on(hand, PREPARER)
    hand.wait("resume")


def test_hands_put_back_by_less_than_a_gap_hide_no_idleness(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    hand.driver.tick()
    hand.pass_time(IDLE_S)
    hand.clock.set_hands(timedelta(seconds=-IDLE_S))
    hand.driver.tick()
    hand.wait("locked")


def went_back(counter: Counter) -> list[ClockWentBack]:
    return house(counter.store, ClockWentBack)


def test_a_clock_that_goes_back_is_seen_at_the_next_tick_and_recorded_once(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    hand.driver.tick()
    hand.pass_time(60)
    hand.driver.tick()
    assert went_back(counter) == []
    before = hand.clock.now()
    hand.clock.set_hands(timedelta(minutes=-10))
    hand.driver.tick()
    assert went_back(counter) == [ClockWentBack(before, hand.clock.now())]
    assert said(hand)[0].startswith("The clock went back: it said 16 Mar 2026, 08:01")
    hand.driver.tick()
    type_figure(hand, CAST.given["insulin_figure"])
    hand.press("commit")  # further entries are earlier than the last one, and say nothing more of it
    assert len(went_back(counter)) == 1


def test_a_step_back_that_no_entry_shows_is_recorded_all_the_same(counter: Counter) -> None:
    """An hour after the last entry the hands go back by half an hour: still later than that entry."""
    hand = counter.hand
    hand.driver.tick()
    hand.pass_time(3600)
    hand.driver.tick()
    hand.clock.set_hands(timedelta(minutes=-30))
    hand.driver.tick()
    assert [one.was - one.now for one in went_back(counter)] == [timedelta(minutes=30)]


def test_a_network_clock_put_right_by_a_second_is_no_news(counter: Counter) -> None:
    hand = counter.hand
    hand.driver.tick()
    hand.clock.set_hands(timedelta(seconds=-1))
    hand.driver.tick()
    assert went_back(counter) == []


def test_a_clock_that_went_back_while_the_record_could_not_be_written_is_told_later(counter: Counter) -> None:
    hand = counter.hand
    hand.driver.tick()
    with closing(sqlite3.connect(counter.database, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        hand.clock.set_hands(timedelta(minutes=-10))
        hand.driver.tick()
        other.execute("ROLLBACK")
    assert went_back(counter) == []
    soon_after(hand)
    assert len(went_back(counter)) == 1


def test_a_counter_opened_on_a_clock_behind_its_record_says_so_at_the_door(tmp_path: Path) -> None:
    home = fresh(tmp_path)
    clock = SetClock(NOW - timedelta(days=1))
    store, driver = opened(home, clock)
    (card,) = driver.page().findings
    assert card.what.startswith("The clock went back: it said 16 Mar 2026, 08:00")
    assert len(house(store, ClockWentBack)) == 1
    store.close()
