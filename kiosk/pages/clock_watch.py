"""A clock that goes back is recorded and seen: due times, expiry and pauses are all judged by its hands.

At every tick the hands are held against a clock that nobody can set. What they have gone back by counts
from where they should stand, not from the last entry, so that a step back between two entries shows too.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Level, Refusal
from kiosk.core.preparation.house_events import ClockWentBack
from kiosk.flow.ports import RecordTrouble
from kiosk.pages.patience import failed, may_try

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

# A machine that keeps time by the network puts its hands right by less: common practice, no source.
SLACK: Final = timedelta(seconds=2)


def look(driver: Driver) -> None:
    """Hold the hands against the clock that nobody sets."""
    now, ran = driver.desk.now(), driver.desk.steady()
    if driver.hands is not None:
        hands, then = driver.hands
        should = hands + (ran - then)
        if now < should - SLACK and not went_back(driver, should, now):
            return
    driver.hands = (now, ran)


def went_back(driver: Driver, was: datetime, now: datetime) -> bool:
    """Record that the clock went back and show it; False while the record cannot be written."""
    if not may_try(driver):
        return False
    try:
        driver.desk.note(ClockWentBack(was, now))
    except RecordTrouble:
        failed(driver)
        return False
    show(driver, was, now)
    return True


def show(driver: Driver, was: datetime, now: datetime) -> None:
    """Show on whatever page is on that the clock went back."""
    facts = {"was": was.astimezone(now.tzinfo), "now": now}
    card = driver.words.refusal(Refusal("clock_went_back", facts, level=Level.NOTE))
    driver.sitting.cards = (card, *driver.sitting.cards)
    driver.sitting.sound = "refused"
