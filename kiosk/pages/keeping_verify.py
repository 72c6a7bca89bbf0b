"""Proving the record while somebody watches, sealing it, and looking at how checks are made."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from kiosk.core.checks.independence import Pair
from kiosk.core.findings import Finding
from kiosk.flow.keeping import Broken, ChecksReport, Sealed, Verified
from kiosk.pages.keeping_place import Place, back, back_key, go, heard, work
from kiosk.pages.parts import Ground, Key, Line, Lines, Page, Statement

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

WEEKS_BACK: Final = 13
NAMED: Final = ("preparer", "checker")


class Reading(Place):
    """The record is being read; how far it has come, and a key to stop."""

    def __init__(self) -> None:
        self._done, self._of = 0, 0
        self._go_on = True

    def told(self, done: int, of: int) -> bool:
        """Hear how far it has come; called from the thread that reads."""
        self._done, self._of = done, of
        return self._go_on

    def page(self, driver: Driver) -> Page:
        """Return how far the reading has come."""
        say = driver.words.say
        share = 100 * self._done // self._of if self._of else 0
        stop = Key("stop-work", say("keeping.verify.stop"), enabled=self._go_on)
        return Page(
            "keeping-verifying",
            Ground.BENCH,
            say("keeping.verify.reading"),
            say("keeping.verify.reading_help"),
            Statement((say("keeping.verify.share", share=share),), (stop,)),
        )

    def stop(self, driver: Driver) -> None:
        """Stop reading at the next chance."""
        self._go_on = False


def verify(driver: Driver, *slips: str) -> None:
    """Read and prove the whole record in the background, against the seals of slips too."""
    reading, office = Reading(), driver.offices.record
    go(driver, reading)
    work(driver, lambda: office.verify(reading.told, slips), lambda found: _verified(driver, found))


def _verified(driver: Driver, found: Verified) -> None:
    """Show what was found, in the place of the reading."""
    back(driver)
    if found.stopped:
        heard(driver, "keeping.verify.stopped")
    else:
        go(driver, Proof(found))


class Proof(Place):
    """What reading the whole record found."""

    def __init__(self, found: Verified) -> None:
        self._found = found

    def page(self, driver: Driver) -> Page:
        """Return that all is well, or each break: where and how."""
        say, found = driver.words.say, self._found
        whole = not found.breaks
        lines = tuple(_break(driver, one) for one in found.breaks)
        sealed = say("keeping.verify.not_sealed")
        if found.sealed:
            sealed = say("keeping.verify.sealed", entry=found.sealed)
        return Page(
            "keeping-verified",
            Ground.BENCH if whole else Ground.TROUBLE,
            say("keeping.verify.whole" if whole else "keeping.verify.broken"),
            say("keeping.verify.whole_help" if whole else "keeping.verify.broken_help"),
            Lines(lines or (Line("", say("keeping.verify.entries", count=found.entries), sealed),)),
            keys=(back_key(driver),),
        )


def _break(driver: Driver, broken: Broken) -> Line:
    """Return one place that does not hold, in words."""
    say = driver.words.say
    at = say("keeping.verify.entry", entry=broken.seq) if broken.seq else ""
    return Line(at, say(f"record.how.{broken.how}"), broken.detail)


def seal(driver: Driver) -> None:
    """Seal the record as it stands, print the slip and export it."""
    office, now = driver.offices.record, driver.desk.now()
    work(driver, lambda: (office.seal(now),), lambda made: go(driver, SealMade(made[0])))


class SealMade(Place):
    """A seal was made: what it seals, and what came of its slip."""

    def __init__(self, sealed: Sealed | None) -> None:
        self._sealed = sealed

    def page(self, driver: Driver) -> Page:
        """Return the seal, or that there is nothing to seal yet."""
        say, sealed = driver.words.say, self._sealed
        lines = self._lines(driver, sealed) if sealed else (say("keeping.seal.nothing"),)
        return Page(
            "keeping-sealed",
            Ground.BENCH,
            say("keeping.seal.question" if sealed else "keeping.seal.none"),
            say("keeping.seal.help"),
            Statement(lines, ()),
            keys=(back_key(driver),),
        )

    def _lines(self, driver: Driver, sealed: Sealed) -> tuple[str, ...]:
        """Return what is sealed, what came of the slip, and where the seal stands as text."""
        say, printed = driver.words.say, sealed.printed
        slip = say("keeping.seal.printed")
        if printed.outcome != "printed":
            slip = say("keeping.seal.not_printed", detail=printed.detail)
        at = sealed.at.astimezone(driver.desk.now().tzinfo)
        return (
            say("keeping.seal.entry", entry=sealed.seq, at=at),
            slip,
            say("keeping.seal.file", file=sealed.file),
        )


def checks(driver: Driver) -> None:
    """Look through the second checks of the last weeks for signs that they were none."""
    office, since = driver.offices.record, driver.desk.now() - timedelta(weeks=WEEKS_BACK)
    work(driver, lambda: office.second_checks(since), lambda found: go(driver, Checks(found)))


class Checks(Place):
    """How checks are made: signs of rubber-stamping, then every pair. Nobody is accused."""

    def __init__(self, report: ChecksReport) -> None:
        self._report = report

    def page(self, driver: Driver) -> Page:
        """Return each sign in words, with names; then who is checked by whom, how often and how fast."""
        say, report = driver.words.say, self._report
        signs = tuple(_sign(driver, finding) for finding in report.signs)
        nothing = (Line("", say("keeping.checks.nothing")),) if report.checks and not signs else ()
        export = Key("export", say("keeping.found.export"), enabled=bool(report.checks))
        return Page(
            "keeping-checks",
            Ground.BENCH,
            say("keeping.checks.question"),
            say("keeping.checks.help", weeks=WEEKS_BACK, count=len(report.checks)),
            Lines(
                (*signs, *nothing, *(_pair(driver, pair) for pair in report.pairs)),
                say("keeping.checks.none"),
            ),
            keys=(back_key(driver), export),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Put the report into the outbox."""
        if verb == "export" and self._report.checks:
            office, now = driver.offices.record, driver.desk.now()
            work(
                driver,
                lambda: office.export_checks(self._report, now),
                lambda name: heard(driver, "keeping.found.exported", name=name),
            )


def _pair(driver: Driver, pair: Pair) -> Line:
    """Return how one preparer is checked by one other."""
    say, names = driver.words.say, [_name(driver, one) for one in (pair.preparer, pair.checker)]
    often = say("keeping.checks.often", times=pair.times, of=pair.of)
    text = say("keeping.checks.pair", preparer=names[0], checker=names[1])
    detail = say("keeping.checks.took", seconds=pair.median_s, differed=pair.differed)
    return Line("", f"{text} {often}", detail)


def _name(driver: Driver, person_id: str) -> str:
    """Return a person's name."""
    person = driver.people.person(person_id)
    return person.name if person is not None else person_id


def _sign(driver: Driver, finding: Finding) -> Line:
    """Return one sign as a line, people by name."""
    facts = dict(finding.facts)
    for name in NAMED:
        person = driver.people.person(str(facts[name])) if name in facts else None
        if person is not None:
            facts[name] = person.name
    card = driver.words.finding(replace(finding, facts=facts))
    return Line(card.level_word, card.what, f"{card.why} {card.now}")
