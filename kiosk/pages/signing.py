"""Signing on: a badge, then its PIN, checked off the interface thread; and signing off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.people import Person
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.state import Stage
from kiosk.pages import idle
from kiosk.pages.keeping_place import recorded
from kiosk.pages.view import Sitting

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def badge(driver: Driver, code: str) -> None:
    """Somebody held up a badge: ask for its PIN, unless they are at the counter already."""
    sitting = driver.sitting
    if sitting.busy:
        return
    who = driver.people.by_badge(code)
    if sitting.locked:
        sitting.badge, sitting.badge_of, sitting.pin = code, who, ""
        sitting.cards, sitting.sound = (), "accepted"
        return
    if who is not None and sitting.person is not None and who.id == sitting.person.id and not wanted(driver):
        sitting.heard = driver.words.say("heard.own_badge")
        return
    if sitting.person is not None and not wanted(driver):
        driver.refuse(Refusal("somebody_is_signed_on", {"name": sitting.person.name}))
        return
    sitting.badge, sitting.badge_of, sitting.pin = code, who, ""
    sitting.cards, sitting.sound = (), "accepted"


def wanted(driver: Driver) -> bool:
    """Whether the page asks for a further person: a checker, a witness, whose turn it is."""
    return driver.here() in (Stage.CHECK, Stage.REST, Stage.DISCARD) or driver.sitting.showing == "stopping"


def press(driver: Driver, name: str) -> None:
    """Take a key of the PIN pad."""
    sitting = driver.sitting
    if sitting.busy:
        return
    if name == "back":
        sitting.badge, sitting.pin = "", ""
    elif name == "erase":
        sitting.pin = sitting.pin[:-1]
    elif name.startswith("digit:") and len(sitting.pin) < 12:
        sitting.pin += name.removeprefix("digit:")
    elif name == "commit" and len(sitting.pin) >= 4:
        _check(driver)


def _check(driver: Driver) -> None:
    """Check badge and PIN in the background; the pad is dead meanwhile."""
    sitting, now = driver.sitting, driver.desk.now()
    code, pin = sitting.badge, sitting.pin
    sitting.busy, sitting.pin = True, ""

    def answered(answer: Person | Refusal) -> None:
        sitting.busy = False
        if isinstance(answer, Refusal):
            driver.refuse(answer)
        else:
            sitting.badge = ""
            _came(driver, answer)
        driver.changed()

    driver.background(lambda: recorded(lambda: driver.people.sign_on(code, pin, now)), answered)


def _came(driver: Driver, person: Person) -> None:
    """Somebody is proved to be who they are: they came to prepare, to check or to witness."""
    sitting = driver.sitting
    sitting.cards, sitting.sound = (), "accepted"
    if sitting.locked and sitting.person is not None:
        if person.id == sitting.person.id:
            idle.unlock(driver)
            return
        sitting = driver.sitting = Sitting()
    if sitting.person is None:
        sitting.person = person
        open_one = driver.desk.unfinished_of(person.id)
        sitting.preparation = open_one.id if open_one else ""
        if open_one is not None:
            driver.desk.set_apart(open_one.id)
    elif driver.here() is Stage.CHECK and driver.sitting.showing != "stopping":
        _came_to_check(driver, person)
    else:
        _came_to_witness(driver, person)


def _came_to_check(driver: Driver, person: Person) -> None:
    """The second person begins, or the one whose turn it is comes back; or a witness has seen it."""
    from kiosk.core.preparation.checking import turn
    from kiosk.core.preparation.two_people import owed_form

    state = driver.state()
    assert state is not None
    fresh_eyes(driver.sitting)
    if turn(state) == person.id:
        driver.sitting.guest = person
        return
    seen = owed_form(state) is CheckForm.WITNESS
    driver.act(a.ComeToWitness(person.id) if seen else a.ComeToCheck(person.id))
    now = driver.state()
    if now is not None and now.checker == person.id:
        driver.sitting.guest = person


def _came_to_witness(driver: Driver, person: Person) -> None:
    """A witness stands by; the rule about who may is decided when the waste is booked."""
    driver.sitting.guest = person


def fresh_eyes(sitting: Sitting) -> None:
    """Forget everything on the screen before another person looks at it."""
    sitting.fresh_eyes()


def sign_off(driver: Driver) -> None:
    """Leave the counter: nothing of the sitting stays on the screen."""
    person = driver.sitting.person
    driver.sitting = Sitting()
    if person is not None:
        idle.sign_off(driver, person, "asked")
