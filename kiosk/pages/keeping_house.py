"""The house's entries at the keeper's desk: those of no syringe, by person, by day, by kind, latest first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Final

from kiosk.flow.keeping_house import GROUPS, HouseAsked, HouseEntry
from kiosk.pages.keeping_place import Place, back_key, go, work
from kiosk.pages.parts import Ground, Key, Line, Lines, Page, Statement
from kiosk.pages.record_words import teller_of

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

WAYS: Final = ("latest", "house-by-person", "house-by-day")


class House(Place):
    """Which entries?"""

    def page(self, driver: Driver) -> Page:
        """Return a key for each way in and each kind."""
        say = driver.words.say
        names = (*WAYS, *(f"kind:{name}" for name in GROUPS))
        keys = tuple(Key(name, _begun(say(f"keeping.house.{name.removeprefix('kind:')}"))) for name in names)
        return Page(
            "keeping-house",
            Ground.BENCH,
            say("keeping.house.question"),
            say("keeping.house.help"),
            Statement((), keys),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Go the way that was chosen."""
        from kiosk.pages.keeping_record import OneOf, people_to_choose

        if verb == "latest":
            look(driver, HouseAsked(), driver.words.say("keeping.house.latest"))
        elif verb == "house-by-person":
            go(driver, OneOf("house-by-person", people_to_choose, _of_person))
        elif verb == "house-by-day":
            go(driver, OneOf("house-by-day", _days, _of_day))
        elif verb == "kind" and what in GROUPS:
            look(driver, HouseAsked(kinds=GROUPS[what]), driver.words.say(f"keeping.house.{what}"))


def _begun(text: str) -> str:
    """Return words as a key begins: with a capital."""
    return text[:1].upper() + text[1:]


def _days(driver: Driver) -> tuple[tuple[str, str, str], ...]:
    words = driver.words
    return tuple(
        (day.isoformat(), words.day(day), words.say("keeping.house-by-day.count", count=count))
        for day, count in driver.offices.record.house_days(driver.desk.now())
    )


def _of_person(driver: Driver, person_id: str) -> None:
    person = driver.people.person(person_id)
    look(driver, HouseAsked(person=person_id), person.name if person else person_id)


def _of_day(driver: Driver, text: str) -> None:
    day = date.fromisoformat(text)
    since = datetime.combine(day, time(), driver.desk.now().tzinfo)
    look(driver, HouseAsked(since=since, until=since + timedelta(days=1)), driver.words.day(day))


def look(driver: Driver, asked: HouseAsked, heading: str) -> None:
    """Search the entries and show what was found."""
    office = driver.offices.record
    work(driver, lambda: tuple(office.house(asked)), lambda found: go(driver, HouseList(found, heading)))


class HouseList(Place):
    """What was found, latest first, each as a sentence with its day and time."""

    def __init__(self, found: Sequence[HouseEntry], heading: str) -> None:
        self._found, self._heading = tuple(found), heading

    def page(self, driver: Driver) -> Page:
        """Return a line for each entry."""
        words = driver.words
        tells, zone = teller_of(driver, [one.event for one in self._found]), driver.desk.now().tzinfo
        lines = tuple(
            Line(
                words.time(one.at.astimezone(zone)),
                tells.sentence(one.event),
                words.say("keeping.house-list.entry", day=one.at.astimezone(zone).date(), entry=one.seq),
            )
            for one in self._found
        )
        return Page(
            "keeping-house-list",
            Ground.BENCH,
            words.say("keeping.house-list.question", what=self._heading),
            words.say("keeping.house-list.help", count=len(self._found)),
            Lines(lines, words.say("keeping.found.nothing")),
            keys=(back_key(driver),),
        )
