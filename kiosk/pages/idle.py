"""A screen left alone hides its figures; the work is kept for whoever left it.

Driven by ticks and by a clock that nobody sets. The one who was signed on opens the screen again with badge
and PIN, exactly where it was; after too long a gap what is filled but not labelled is verified again. Anybody
else begins their own work, and the first one's syringe waits for its preparer.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from kiosk.core.catalogue.check_tables import Figure
from kiosk.core.catalogue.people import Person
from kiosk.flow.ports import RecordTrouble
from kiosk.pages import clock_watch
from kiosk.pages.parts import Foot, Ground, Page, ScanWanted
from kiosk.pages.patience import failed, may_try
from kiosk.pages.view import View

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def touch(driver: Driver) -> None:
    """Somebody did something."""
    driver.sitting.touched = driver.desk.steady()


def tick(driver: Driver) -> None:
    """Let time pass: hide what was left alone, and catch up with sign-offs still to be recorded."""
    clock_watch.look(driver)
    tell(driver)
    sitting, now = driver.sitting, driver.desk.steady()
    since = sitting.touched
    if since is None:
        sitting.touched = now
    elif now - since < _lasts(driver.figures.idle) or sitting.busy or sitting.printing:
        return
    elif sitting.badge:
        sitting.badge, sitting.pin, sitting.cards = "", "", ()
    elif sitting.person is not None and not sitting.locked:
        lock(driver, "idle")


def lock(driver: Driver, why: str) -> None:
    """Hide everything at once. What only another pair of eyes may judge is forgotten with its owner."""
    sitting = driver.sitting
    assert sitting.person is not None
    sitting.locked_at = (driver.desk.now(), driver.desk.steady())
    sitting.cards, sitting.heard, sitting.sound = (), "", ""
    if sitting.guest is not None:
        if sitting.guest.id != sitting.person.id:
            sign_off(driver, sitting.guest, why)
        sitting.fresh_eyes()
    for place in sitting.keeping:
        place.hide()
    sign_off(driver, sitting.person, why)


def unlock(driver: Driver) -> None:
    """The one who left is back: on with it, or, after too long a gap, first say that there was one.

    The gap is the longer of what the hands and what the clock that nobody sets say of it: putting the hands
    back hides none.
    """
    sitting = driver.sitting
    assert sitting.locked_at is not None
    hands, ran = sitting.locked_at
    gone, sitting.locked_at = max(driver.desk.now() - hands, driver.desk.steady() - ran), None
    state = driver.state()
    if state is not None and not state.ended and gone >= _lasts(driver.figures.left_alone):
        sitting.fresh_eyes()
        driver.desk.set_apart(state.id)


def sign_off(driver: Driver, person: Person, why: str) -> None:
    """Put on record that a person signed off; if that fails now, it is tried again later."""
    driver.owed.append((person.id, why))
    tell(driver)


def tell(driver: Driver) -> None:
    """Record the sign-offs that are still owed, in their order."""
    while driver.owed and may_try(driver):
        try:
            driver.people.sign_off(*driver.owed[0], driver.desk.now())
        except RecordTrouble:
            failed(driver)
            return
        driver.owed.pop(0)


def locked(view: View) -> Page:
    """The screen of somebody who left: their name, nothing else."""
    words, person = view.words, view.sitting.person
    assert person is not None
    return Page(
        "locked",
        Ground.DOOR,
        words.say("locked.question", name=person.name),
        words.say("locked.help"),
        ScanWanted(words.say("door.badge"), words.say("locked.how", name=person.name)),
        findings=view.sitting.cards,
        foot=Foot(words.say("foot.locked"), person.name, words.time(view.now), view.devices, None),
        heard=view.sitting.heard,
        sound=view.sitting.sound,
    )


def _lasts(figure: Figure) -> timedelta:
    """Return a figure of time as a length of time."""
    return timedelta(seconds=float(figure.value.to("s").value))
