"""The record room: find a syringe again, prove the record, seal it, look at the checks."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Refusal
from kiosk.flow.keeping import Asked, Found
from kiosk.flow.scans import ProductScan, Scan, SealScan, SyringeScan
from kiosk.pages.keeping_forgetting import find_patient, look_due
from kiosk.pages.keeping_found import look, open_one
from kiosk.pages.keeping_house import House
from kiosk.pages.keeping_letters import Case, Letters
from kiosk.pages.keeping_place import Place, back_key, go, work
from kiosk.pages.keeping_verify import checks, seal, verify
from kiosk.pages.parts import Choice, Choices, Ground, Key, Lines, Page, Statement

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

WAYS: Final = (
    *("by-patient", "by-drug", "by-lot", "by-person", "by-day"),
    *("verify", "seal", "checks", "house", "erase", "due-to-go"),
)


class Record(Place):
    """What is wanted of the record? A syringe's label, a container or a seal may be scanned at once."""

    def page(self, driver: Driver) -> Page:
        """Return a key for each way in."""
        say = driver.words.say
        keys = tuple(Key(way, say(f"keeping.record.{way}")) for way in WAYS)
        return Page(
            "keeping-record",
            Ground.BENCH,
            say("keeping.record.question"),
            say("keeping.record.help"),
            Statement((), keys),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Go the way that was chosen."""
        acts: dict[str, Callable[[], None]] = {
            "by-patient": lambda: go(driver, Letters("by-patient", _of_patient)),
            "by-lot": lambda: go(driver, Letters("by-lot", _of_lot, Case.CAPITALS)),
            "by-drug": lambda: go(driver, OneOf("by-drug", _drugs, _of_drug)),
            "by-person": lambda: go(driver, OneOf("by-person", people_to_choose, _of_person)),
            "by-day": lambda: go(driver, OneOf("by-day", _days, _of_day)),
            "verify": lambda: verify(driver),
            "seal": lambda: seal(driver),
            "checks": lambda: checks(driver),
            "house": lambda: go(driver, House()),
            "erase": lambda: go(driver, Letters("erase-whom", find_patient)),
            "due-to-go": lambda: look_due(driver),
        }
        if verb in acts:
            acts[verb]()

    def scan(self, driver: Driver, found: Scan) -> None:
        """Find a syringe by its label, or all that a lot went into; hold the record against a seal."""
        match found:
            case SyringeScan(code):
                _of_code(driver, code)
            case ProductScan(lot=lot) if lot:
                _of_lot(driver, lot)
            case SealScan(text):
                verify(driver, text)
            case _:
                driver.refuse(Refusal("scan_not_wanted_here"))


class OneOf(Place):
    """A list to choose what to look for: drugs, people or days. ``key`` names its words."""

    def __init__(
        self,
        key: str,
        rows: Callable[[Driver], tuple[tuple[str, str, str], ...]],
        then: Callable[[Driver, str], None],
    ) -> None:
        self._key, self._rows, self._then = key, rows, then

    def page(self, driver: Driver) -> Page:
        """Return the list: what it is called, and how many syringes where that is known."""
        say, rows = driver.words.say, self._rows(driver)
        choices = tuple(Choice(Key(f"one:{id}", text, hint)) for id, text, hint in rows)
        return Page(
            f"keeping-{self._key}",
            Ground.BENCH,
            say(f"keeping.{self._key}.question"),
            say(f"keeping.{self._key}.help"),
            Choices(choices) if choices else Lines((), say("keeping.found.nothing")),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Look for the one that was touched."""
        if verb == "one":
            self._then(driver, what)


def _drugs(driver: Driver) -> tuple[tuple[str, str, str], ...]:
    office = driver.offices.record
    named = sorted((office.drug_name(drug), drug) for drug in office.drugs())
    return tuple((drug, name, "") for name, drug in named)


def people_to_choose(driver: Driver) -> tuple[tuple[str, str, str], ...]:
    """Return everybody who works here, by name, as rows to choose from."""
    return tuple((person.id, person.name, "") for person in driver.people.everybody())


def _days(driver: Driver) -> tuple[tuple[str, str, str], ...]:
    words = driver.words
    return tuple(
        (day.isoformat(), words.day(day), words.say("keeping.by-day.count", count=count))
        for day, count in driver.offices.record.days(driver.desk.now())
    )


def _of_patient(driver: Driver, text: str) -> None:
    look(driver, Asked(patient=text), text)


def _of_lot(driver: Driver, lot: str) -> None:
    look(driver, Asked(lot=lot), driver.words.say("keeping.found.lot", lot=lot))


def _of_drug(driver: Driver, drug: str) -> None:
    look(driver, Asked(drug=drug), driver.offices.record.drug_name(drug))


def _of_person(driver: Driver, person_id: str) -> None:
    person = driver.people.person(person_id)
    look(driver, Asked(person=person_id), person.name if person else person_id)


def _of_day(driver: Driver, text: str) -> None:
    day = date.fromisoformat(text)
    since = datetime.combine(day, time(), driver.desk.now().tzinfo)
    look(driver, Asked(since=since, until=since + timedelta(days=1)), driver.words.day(day))


def _of_code(driver: Driver, code: str) -> None:
    """Show the syringe whose label was scanned."""
    office = driver.offices.record

    def found() -> Found | Refusal:
        return office.by_code(code) or Refusal("no_such_syringe", {"syringe": code})

    work(driver, found, lambda one: open_one(driver, one))
