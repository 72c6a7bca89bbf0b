"""Forgetting at the keeper's desk: one patient who is to be erased, or all that was kept long enough.

Each takes two steps: what will go is shown whole, then it is said once more in another place of the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final, TypeAlias

from kiosk.flow.keeping_forgetting import DueToGo, Forgotten, KnownPatient
from kiosk.pages.keeping_asking import OneOf
from kiosk.pages.keeping_place import Place, back, back_key, back_to, go, heard, keeper, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Line, Lines, Page, Statement, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

Then: TypeAlias = Callable[["Driver"], None]
REASONS: Final = ("patient_asked", "entered_by_mistake", "law_asks", "moved_away")
AT_ONCE: Final = 30


def find_patient(driver: Driver, text: str) -> None:
    """Look for a patient by number or part of the name."""
    office = driver.offices.forgetting
    work(driver, lambda: tuple(office.patients(text)), lambda found: go(driver, PatientsFound(found)))


class PatientsFound(Place):
    """The patients whom the counter names and who fit what was typed."""

    def __init__(self, found: Sequence[KnownPatient]) -> None:
        self._found = {one.id: one for one in found}

    def page(self, driver: Driver) -> Page:
        """Return a row for each."""
        say = driver.words.say
        rows = tuple(_row(driver, one) for one in tuple(self._found.values())[:AT_ONCE])
        return Page(
            "keeping-erase-found",
            Ground.BENCH,
            say("keeping.erase-found.question"),
            say("keeping.erase-found.help"),
            Choices(rows) if rows else Lines((), say("keeping.erase-found.nothing")),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Ask why the one who was touched is to be erased."""
        if verb == "patient" and what in self._found:
            one = self._found[what]
            reasons = [(reason.replace("_", " "), f"told.reason.{reason}") for reason in REASONS]
            go(driver, OneOf("erase-why", reasons, lambda on, why: go(on, Erasing(one, why)), name=one.name))


def _row(driver: Driver, one: KnownPatient) -> Choice:
    """Return a patient's row: two identifiers, and what the record holds of them."""
    words = driver.words
    last = one.last.astimezone(driver.desk.now().tzinfo).date()
    facts = words.say("keeping.erase-found.row", born=one.born, syringes=one.syringes, last=last)
    return Choice(Key(f"patient:{one.id}", one.name, one.number), (facts,))


class Erasing(Place):
    """What will go and what stays; the key that goes on to the last word."""

    def __init__(self, patient: KnownPatient, reason: str) -> None:
        self._patient, self._reason = patient, reason

    def page(self, driver: Driver) -> Page:
        """Return what erasing means for this patient."""
        say, one = driver.words.say, self._patient
        lines = (
            say("keeping.erasing.who", name=one.name, number=one.number, syringes=one.syringes),
            say("forgetting.what_goes"),
            say("forgetting.what_stays"),
            say("forgetting.backups"),
        )
        grave = Key("erase", say("keeping.erasing.erase"), weight=Weight.GRAVE)
        return Page(
            "keeping-erasing",
            Ground.BENCH,
            say("keeping.erasing.question", name=one.name),
            say("keeping.erasing.help"),
            Statement(lines, ()),
            keys=(grave, back_key(driver)),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Go on to the last word."""
        if verb == "erase":
            go(driver, LastWord("erase-last", self._erase, name=self._patient.name))

    def _erase(self, driver: Driver) -> None:
        """Erase the patient and go back to the record room."""
        office, by, now, one = driver.offices.forgetting, keeper(driver), driver.desk.now(), self._patient

        def erased(done: Forgotten) -> None:
            _to_the_record(driver)
            heard(driver, "keeping.done.erased", papers=done.papers)

        work(driver, lambda: office.erase(by, one.id, self._reason, now), erased)


class LastWord(Place):
    """Said once more, in another place of the screen. ``key`` names its words; ``then`` does it."""

    def __init__(self, key: str, then: Then, **facts: str | int) -> None:
        self._key, self._then, self._facts = key, then, facts

    def page(self, driver: Driver) -> Page:
        """Return what cannot be taken back, and the key that does it."""
        say, key = driver.words.say, f"keeping.{self._key}"
        return Page(
            f"keeping-{self._key}",
            Ground.TROUBLE,
            say(f"{key}.question", **self._facts),
            say(f"{key}.help", **self._facts),
            Statement((), (Key("do-it", say(f"{key}.do")),)),
            keys=(Key("back", say(f"{key}.keep"), weight=Weight.PRIMARY),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Do it."""
        if verb == "do-it":
            self._then(driver)


def look_due(driver: Driver) -> None:
    """Look at what was kept long enough by the site's policy."""
    office, now = driver.offices.forgetting, driver.desk.now()
    work(driver, lambda: office.due(now), lambda due: go(driver, Due(due)))


class Due(Place):
    """What was kept long enough: patients, tries and papers, each named or counted. Nothing has gone yet."""

    def __init__(self, due: DueToGo) -> None:
        self._due = due

    def page(self, driver: Driver) -> Page:
        """Return what is due, and the key that goes on."""
        say, due = driver.words.say, self._due
        grave = Key("let-go", say("keeping.due.let_go"), weight=Weight.GRAVE, enabled=not due.nothing)
        return Page(
            "keeping-due",
            Ground.BENCH,
            say("keeping.due.question"),
            say("forgetting.due", patients=len(due.patients), tries=due.tries, papers=len(due.papers)),
            Lines(tuple(self._lines(driver)), say("keeping.due.nothing")),
            keys=(grave, back_key(driver)),
        )

    def _lines(self, driver: Driver) -> list[Line]:
        """Return a line for each patient and paper, and how long the record itself is kept."""
        words, due = driver.words, self._due
        lines = [
            Line(
                words.day(one.last.date()),
                one.name,
                words.say("keeping.due.patient", number=one.number, born=one.born),
            )
            for one in due.patients
        ]
        lines += [Line("", name, words.say("keeping.due.paper")) for name in due.papers]
        if due.tries:
            lines.append(Line("", words.say("keeping.due.tries", count=due.tries)))
        if due.record_until is not None:
            lines.append(Line("", words.say("forgetting.record_until", day=due.record_until)))
        return lines

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Go on to the last word."""
        if verb == "let-go" and not self._due.nothing:
            go(driver, LastWord("due-last", self._let_go, patients=len(self._due.patients)))

    def _let_go(self, driver: Driver) -> None:
        """Let it go and go back to the record room."""
        office, by, now, due = driver.offices.forgetting, keeper(driver), driver.desk.now(), self._due

        def gone(done: DueToGo) -> None:
            _to_the_record(driver)
            heard(driver, "keeping.done.gone", patients=len(done.patients), papers=len(done.papers))

        work(driver, lambda: office.let_go(by, due, now), gone)


def _to_the_record(driver: Driver) -> None:
    """Go back to the record room, which led here."""
    from kiosk.pages.keeping_record import Record

    room = next((place for place in driver.sitting.keeping if isinstance(place, Record)), None)
    if room is not None:
        back_to(driver, room)
    else:
        back(driver)
