"""An empty folder becomes a counter with its first keeper; a record that cannot be opened stays closed."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.core.catalogue.people import Role
from kiosk.core.preparation.house_events import SealMade, SignedOff, StaffChanged, TablesNoted
from kiosk.hardware.clock import SetClock
from kiosk.pages.closed import ClosedCounter
from kiosk.pages.driver import Driver
from kiosk.store.opening import open_store
from kiosk.wiring.home import Home
from kiosk.wiring.ward import policy_trouble, ward_driver
from tests.counter import NOW
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import badge, house, letters, presses, said, sign_on, typed


def opened(home: Home, clock: SetClock) -> DriverHand:
    driver = ward_driver(home, "en", clock)
    assert isinstance(driver, Driver)
    return DriverHand(driver, clock, home.labels)


def set_up(hand: DriverHand) -> None:
    hand.press("begin")
    hand.scan(badge("BOSS"))
    letters(hand, "Ada Fernhollow\n\n")
    typed(hand, "2580")
    typed(hand, "2580")


def test_the_first_keeper_sets_an_empty_counter_up(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), Home(tmp_path / "ward")
    hand = opened(home, clock)
    hand.wait("set-up")
    set_up(hand)
    assert hand.wait("door").heard == "Ada Fernhollow keeps this counter. Sign on with badge and PIN."
    sign_on(hand, "", "2580", badge("BOSS"))
    hand.wait("due")
    presses(hand, ["keepers-desk", "close-counter"])
    assert hand.driver.over

    store = open_store(home.database, home.keys)
    (keeper,) = store.people.everybody()
    assert (keeper.name, keeper.initials, keeper.roles) == ("Ada Fernhollow", "AF", {Role.KEEPER})
    assert [event.what for event in house(store, StaffChanged)] == ["came"]
    assert len(house(store, TablesNoted)) == 1
    assert house(store, SignedOff)[-1].why == "asked"
    store.close()


def test_there_is_no_way_in_before_the_counter_is_set_up(tmp_path: Path) -> None:
    hand = opened(Home(tmp_path), SetClock(NOW))
    hand.scan(badge("N01"))
    hand.wait("set-up")
    for pin in ("0000", "1234", "9999"):  # no PIN opens what has none
        letters(hand, pin + "\n")
    hand.wait("set-up")


def test_the_set_up_can_be_left_for_another_day(tmp_path: Path) -> None:
    hand = opened(Home(tmp_path), SetClock(NOW))
    hand.press("close-counter")
    assert hand.driver.over


def test_the_second_opening_asks_for_no_set_up_and_seals_the_day_before(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), Home(tmp_path)
    set_up(opened(home, clock))
    hand = opened(home, clock)
    hand.wait("door")
    store = open_store(home.database, home.keys)
    assert len(house(store, SealMade)) == 1
    store.close()


def test_a_slip_in_the_set_up_can_be_taken_back(tmp_path: Path) -> None:
    hand = opened(Home(tmp_path), SetClock(NOW))
    hand.press("begin")
    hand.scan("952000000001")
    assert said(hand)
    hand.scan(badge("BOSS"))
    letters(hand, "Ada\n")
    presses(hand, ["back", "back"])
    hand.wait("keeping-first-badge")


def test_a_record_without_its_keys_stays_closed_and_says_so(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), Home(tmp_path)
    set_up(opened(home, clock))
    for key in home.keys.glob("*.key"):
        key.unlink()
    closed = ward_driver(home, "en", clock)
    assert isinstance(closed, ClosedCounter)
    assert closed.page().question == "This counter cannot be opened"
    closed.press("close-counter")
    assert closed.over


@pytest.mark.parametrize(
    ("row", "trouble"),
    [
        ("idle,60,s,lower,our own rule,common practice", ""),
        ("idle,600,s,lower,our own rule,common practice", "sign_on.csv: policy_looser: idle"),
        ("least_digits,3,1,higher,our own rule,common practice", "sign_on.csv: policy_looser: least_digits"),
        ("nap,60,s,lower,our own rule,common practice", "sign_on.csv: policy_unknown_figure: nap"),
    ],
)
def test_a_site_may_be_stricter_and_never_looser(tmp_path: Path, row: str, trouble: str) -> None:
    home = Home(tmp_path)
    home.tables.mkdir()
    (home.tables / "sign_on.csv").write_text(
        f"id,value,unit,stricter,source,known\n{row}\n", encoding="utf-8"
    )
    assert policy_trouble(home.folder) == trouble
