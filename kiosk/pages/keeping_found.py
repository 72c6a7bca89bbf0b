"""Syringes found in the record: a list of them, and one of them line by line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kiosk.flow.keeping import Asked, Found
from kiosk.flow.ports import Recorded
from kiosk.pages.keeping_place import Place, back_key, go, heard, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Lines, Page
from kiosk.pages.record_words import teller

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

AT_ONCE = 30


def look(driver: Driver, asked: Asked, heading: str) -> None:
    """Search the record and show what was found."""
    office = driver.offices.record
    work(driver, lambda: tuple(office.search(asked)), lambda found: go(driver, FoundList(found, heading)))


def open_one(driver: Driver, one: Found) -> None:
    """Read the entries of one syringe and show them."""
    office = driver.offices.record
    work(
        driver,
        lambda: tuple(office.entries(one.preparation)),
        lambda entries: go(driver, OneSyringe(one, entries)),
    )


class FoundList(Place):
    """What was found, latest first."""

    def __init__(self, found: Sequence[Found], heading: str) -> None:
        self._found, self._heading = tuple(found), heading
        self._shown = AT_ONCE

    def page(self, driver: Driver) -> Page:
        """Return a row for each syringe."""
        say = driver.words.say
        rows = tuple(_row(driver, n, one) for n, one in enumerate(self._found[: self._shown]))
        more = Key("more", say("keeping.staff.more")) if len(self._found) > self._shown else None
        export = (Key("export", say("keeping.found.export")),) if rows else ()
        return Page(
            "keeping-found",
            Ground.BENCH,
            say("keeping.found.question", what=self._heading),
            say("keeping.found.help", count=len(self._found)),
            Choices(rows, more) if rows else Lines((), say("keeping.found.nothing")),
            keys=(back_key(driver), *export),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Open one, show more, or export all that was found."""
        if verb == "more":
            self._shown += AT_ONCE
        elif verb == "one" and what.isdecimal() and int(what) < len(self._found):
            open_one(driver, self._found[int(what)])
        elif verb == "export":
            office, now = driver.offices.record, driver.desk.now()
            work(driver, lambda: office.export(self._found, now), lambda name: exported(driver, name))


def exported(driver: Driver, name: str) -> None:
    """Say where something was put."""
    heard(driver, "keeping.found.exported", name=name)


def _row(driver: Driver, number: int, one: Found) -> Choice:
    """Return the row of one syringe: when and what, for whom, by whom, how it ended."""
    words, zone = driver.words, driver.desk.now().tzinfo
    begun = words.write(one.opened_at.astimezone(zone))
    people = ", ".join(_name(driver, person) for person in (one.preparer, one.checker) if person)
    return Choice(
        Key(f"one:{number}", f"{begun}  {driver.offices.record.drug_name(one.drug)}", one.patient),
        (words.say("keeping.found.by", people=people),),
        badge=words.say(f"keeping.found.{one.outcome or 'open'}"),
    )


def _name(driver: Driver, person_id: str) -> str:
    """Return a person's name."""
    person = driver.people.person(person_id)
    return person.name if person else person_id


class OneSyringe(Place):
    """One syringe, entry by entry, as the record has it."""

    def __init__(self, found: Found, entries: tuple[Recorded, ...]) -> None:
        self._found, self._entries = found, entries

    def page(self, driver: Driver) -> Page:
        """Return every entry as a sentence with its time."""
        say, found = driver.words.say, self._found
        tells = teller(
            driver.words, driver.desk.rules, driver.people, self._entries, driver.desk.now().tzinfo
        )
        return Page(
            "keeping-syringe",
            Ground.BENCH,
            say("keeping.syringe.question", drug=driver.offices.record.drug_name(found.drug)),
            say("keeping.syringe.help", patient=found.patient, code=found.code, lots=found.lots),
            Lines(tuple(tells.line(one.at, one.event) for one in self._entries)),
            keys=(back_key(driver), Key("sheet", say("keeping.syringe.sheet"))),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Put the one-page record into the outbox."""
        if verb == "sheet":
            office, id = driver.offices.record, self._found.preparation
            work(driver, lambda: office.sheet(id), lambda name: exported(driver, name))
