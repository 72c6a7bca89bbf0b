"""A place at the keeper's desk: what it shows and what its keys, scans and letters do.

Places lie on one another in ``Sitting.keeping``: a key goes to the next place, ``back`` to the one before.
Slow work runs in the background; while it does, keys do nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final, Protocol, TypeVar

from kiosk.core.catalogue.people import Person
from kiosk.core.findings import Refusal
from kiosk.flow.ports import RecordTrouble
from kiosk.flow.scans import Scan
from kiosk.pages.parts import Key, Page, Weight
from kiosk.pages.slip import foot

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

T = TypeVar("T")

TROUBLES: Final = {
    "disk_full": "record_disk_full",
    "read_only": "record_read_only",
    "locked": "record_locked",
    "damaged": "record_damaged",
    "gone": "record_gone",
}


class Place(Protocol):
    """One place. ``takes_letters`` says that a real keyboard types letters here, not only digits."""

    takes_letters: bool = False

    def page(self, driver: Driver) -> Page:
        """Return what this place shows, without the frame around it."""
        ...

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a key of this place, named ``verb`` or ``verb:what``."""
        return

    def scan(self, driver: Driver, found: Scan) -> None:
        """Take a scan; most places want none."""
        driver.refuse(Refusal("scan_not_wanted_here"))

    def stop(self, driver: Driver) -> None:
        """Stop the slow work that is under way, where it can be stopped."""
        return

    def hide(self) -> None:
        """Forget what nobody else may see: the screen was left."""
        return


def go(driver: Driver, place: Place) -> None:
    """Go on to a place."""
    clear(driver)
    driver.sitting.keeping.append(place)


def back(driver: Driver, places: int = 1) -> None:
    """Go back so many places; behind the last one the desk is left."""
    clear(driver)
    if places:
        del driver.sitting.keeping[-places:]


def back_to(driver: Driver, place: Place) -> None:
    """Go back to a place that led here."""
    there = driver.sitting.keeping.index(place)
    back(driver, len(driver.sitting.keeping) - there - 1)


def clear(driver: Driver) -> None:
    """Put away what was said and typed."""
    sitting = driver.sitting
    sitting.cards, sitting.typed, sitting.pin = (), "", ""


def heard(driver: Driver, key: str, **facts: str | int) -> None:
    """Say in the foot what came of it."""
    driver.sitting.heard = driver.words.say(key, **facts)
    driver.sitting.sound = "accepted"


def keeper(driver: Driver) -> str:
    """Return who keeps this counter now."""
    assert driver.sitting.person is not None
    return driver.sitting.person.id


def work(driver: Driver, job: Callable[[], T | Refusal], then: Callable[[T], None]) -> None:
    """Do slow work off the interface thread; show its refusal, or go on with its answer.

    An answer that comes when the keeper has left is dropped: what was recorded stays recorded.
    """
    sitting = driver.sitting
    sitting.busy = True

    def answered(answer: T | Refusal) -> None:
        sitting.busy = False
        if driver.sitting is not sitting:
            return
        if isinstance(answer, Refusal):
            driver.refuse(answer)
        else:
            then(answer)
        driver.changed()

    driver.background(lambda: recorded(job), answered)


def recorded(job: Callable[[], T | Refusal]) -> T | Refusal:
    """Return a job's answer, or the refusal that a record which cannot be used amounts to."""
    try:
        return job()
    except RecordTrouble as trouble:
        return Refusal(TROUBLES.get(trouble.code, "record_silent"))


def framed(driver: Driver, page: Page) -> Page:
    """Put foot and findings around a page of the desk."""
    view, sitting = driver.view(), driver.sitting
    return replace(
        page,
        findings=sitting.cards + page.findings,
        foot=foot(view, "keeping"),
        heard=sitting.heard,
        sound=sitting.sound,
    )


def back_key(driver: Driver) -> Key:
    """Return the key that leads back."""
    return Key("back", driver.words.say("key.back"))


def primary(driver: Driver, name: str, words: str, *, enabled: bool = True) -> Key:
    """Return the primary key of a place, labelled by a words key."""
    live = enabled and not driver.sitting.busy
    return Key(name, driver.words.say(words), weight=Weight.PRIMARY, enabled=live)


def done(driver: Driver, person: Person, places: int, said: str) -> None:
    """Something was done for a person: go back, say so, and let the counter know them anew."""
    if places:
        back(driver, places)
    heard(driver, f"keeping.done.{said}", name=person.name)
    know_anew(driver)


def know_anew(driver: Driver) -> None:
    """Let the rules and the sitting know the staff as it now is; names of the past stay readable."""
    now = {person.id: person for person in driver.people.everybody()}
    driver.desk.rules = replace(driver.desk.rules, people={**driver.desk.rules.people, **now})
    me = driver.sitting.person
    driver.sitting.person = now.get(me.id, me) if me is not None else None
