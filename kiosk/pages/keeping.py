"""The keeper's desk: a page with a key to each of its rooms, and the way keys and scans take to them.

To add a room, put a line into ``ROOMS``: its name (words under ``keeping.room``) and its first place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.people import Role
from kiosk.flow.scans import Scan
from kiosk.pages import signing
from kiosk.pages.keeping_drugs import Drugs
from kiosk.pages.keeping_place import Place, back, clear, framed, go
from kiosk.pages.keeping_policy import Policies
from kiosk.pages.keeping_record import Record
from kiosk.pages.keeping_staff import Everybody
from kiosk.pages.keeping_stock import Stock
from kiosk.pages.parts import Ground, Key, Page, Statement

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


@dataclass(frozen=True, slots=True)
class Room:
    """A room of the keeper's desk: its name and what makes its first place."""

    name: str
    enter: Callable[[], Place]


ROOMS: Final = (
    Room("staff", Everybody),
    Room("stock", Stock),
    Room("drugs", Drugs),
    Room("record", Record),
    Room("policies", Policies),
)


class Desk(Place):
    """Which room?"""

    def page(self, driver: Driver) -> Page:
        """Return a key for each room, and the way back to the doses due."""
        say = driver.words.say
        rooms = tuple(
            Key(f"room:{room.name}", say(f"keeping.room.{room.name}"), say(f"keeping.room.{room.name}_hint"))
            for room in ROOMS
        )
        return Page(
            "keepers-desk",
            Ground.BENCH,
            say("keeping.desk.question"),
            say("keeping.desk.help"),
            Statement((), rooms),
            keys=(Key("back", say("key.back_to_list")), *_closing(driver)),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Enter a room, or close the counter."""
        room = next((room for room in ROOMS if room.name == what), None)
        if verb == "room" and room is not None:
            go(driver, room.enter())
        elif verb == "close-counter" and driver.closable:
            signing.sign_off(driver)
            driver.over = True


def _closing(driver: Driver) -> tuple[Key, ...]:
    """Return the key that closes the counter, where this desk may."""
    return (Key("close-counter", driver.words.say("key.close_counter")),) if driver.closable else ()


def is_keeper(driver: Driver) -> bool:
    """Say whether the person signed on keeps this counter."""
    person = driver.sitting.person
    return person is not None and Role.KEEPER in person.roles


def open_desk(driver: Driver) -> None:
    """Leave the doses due for the keeper's desk; anybody but a keeper stays where they are."""
    if is_keeper(driver):
        go(driver, Desk())


def page(driver: Driver) -> Page:
    """Return the page of the place that is on."""
    return framed(driver, driver.sitting.keeping[-1].page(driver))


def press(driver: Driver, name: str) -> None:
    """Take a key: back and signing off mean the same everywhere, the rest is the place's own."""
    if driver.sitting.busy:
        if name == "stop-work":
            driver.sitting.keeping[-1].stop(driver)
        return
    verb, _, what = name.partition(":")
    if verb == "back":
        back(driver)
    elif verb == "sign-off":
        signing.sign_off(driver)
    else:
        driver.sitting.keeping[-1].press(driver, verb, what)


def scan(driver: Driver, found: Scan) -> None:
    """Take a scan to the place that is on."""
    if not driver.sitting.busy:
        driver.sitting.cards = ()
        driver.sitting.keeping[-1].scan(driver, found)


def typed(driver: Driver, text: str) -> None:
    """Take what a real keyboard typed: letters where letters are wanted, else digits."""
    keys = {"\b": "erase", "\n": "commit"}
    letters = driver.sitting.keeping[-1].takes_letters
    for character in text:
        plain = f"letter:{character}" if letters else f"digit:{character}" if character.isdigit() else ""
        if (name := keys.get(character, plain)) and driver.sitting.keeping:
            press(driver, name)


def hide(driver: Driver) -> None:
    """The screen was left: forget half-typed secrets."""
    clear(driver)
    for place in driver.sitting.keeping:
        place.hide()
