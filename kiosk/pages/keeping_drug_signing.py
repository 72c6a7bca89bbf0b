"""Signing versions of the drug list: read what would change, then sign; the second keeper by badge and PIN.

The second keeper reads the change again on a page of their own, after proving who they are. Nothing is signed
by showing a badge alone, and nothing once the screen was left.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeAlias

from kiosk.core.catalogue.drug_differences import differences
from kiosk.core.catalogue.drug_list import EntryVersion, Standing, came_last, latest, standing
from kiosk.core.catalogue.people import Role
from kiosk.pages.drug_words import difference_line, names, standing_text
from kiosk.pages.keeping_asking import SecondPerson
from kiosk.pages.keeping_letters import Letters
from kiosk.pages.keeping_place import Place, back, back_key, go, heard, keeper, primary, work
from kiosk.pages.parts import Ground, Key, Line, Lines, Page, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

Named: TypeAlias = tuple[str, int]
"""A version by its drug and its number."""


def to_sign(driver: Driver, second: bool) -> tuple[Named, ...]:
    """Return the versions that wait for their first signature, or for their second, by name of the drug."""
    today, wanted = driver.desk.now().date(), Standing.HALF_SIGNED if second else Standing.UNSIGNED
    last = ((latest(versions), versions) for versions in driver.offices.drugs.everything().values())
    waiting = [one for one, versions in last if one and standing(one, versions, today) is wanted]
    return tuple(
        (one.drug.id, one.number) for one in sorted(waiting, key=lambda one: one.drug.name.casefold())
    )


def begin_signing(driver: Driver, second: bool) -> None:
    """Go through all versions that wait: as the keeper signed on, or as a second one by badge and PIN."""
    queue = to_sign(driver, second)
    if second:
        _ask_second(driver, queue)
    else:
        go(driver, Signing(queue, keeper(driver), second=False))


def _ask_second(driver: Driver, queue: Sequence[Named]) -> None:
    """Ask for the second keeper; then let them go through what they may sign."""
    go(driver, SecondPerson("drug-second", lambda d, who: _second_came(d, who, tuple(queue))))


def _second_came(driver: Driver, who: str, queue: tuple[Named, ...]) -> None:
    """Let a second keeper read and sign; somebody who may not is refused at once, on record."""
    person = driver.people.person(who)
    mine = tuple(one for one in queue if who not in _version(driver, one).signed)
    if person is None or Role.KEEPER not in person.roles or not mine:
        drugs, now, (drug, number) = driver.offices.drugs, driver.desk.now(), queue[0]
        work(driver, lambda: drugs.sign(who, drug, number, now), lambda _: None)
    else:
        go(driver, Signing(mine, who, second=True))


def _version(driver: Driver, named: Named) -> EntryVersion:
    """Return a version as it now stands."""
    drug, number = named
    return next(one for one in driver.offices.drugs.versions(drug) if one.number == number)


def _change_lines(driver: Driver, version: EntryVersion) -> tuple[Line, ...]:
    """Return what a version changes against the one in force, or all that a first one says."""
    before = came_last(driver.offices.drugs.versions(version.drug.id), driver.desk.now().date())
    was = before.drug if before is not None and before.number < version.number else None
    changed = differences(was, version.drug)
    return tuple(difference_line(driver.words, one, first=was is None) for one in changed)


def _about(driver: Driver, version: EntryVersion) -> str:
    """Return how a version stands, who proposed it and who signed it so far."""
    words, versions = driver.words, driver.offices.drugs.versions(version.drug.id)
    stands = standing_text(words, version, versions, driver.desk.now().date())
    by, signed = names(driver, (version.proposed_by,)), names(driver, version.signed)
    key = "people" if version.signed else "by"
    return f"{stands} {words.say(f'keeping.drug-versions.{key}', by=by, signed=signed)}"


class Proposal(Place):
    """One version on its way: what it changes, to be signed or taken back."""

    def __init__(self, drug: str, number: int) -> None:
        self._named = (drug, number)

    def page(self, driver: Driver) -> Page:
        """Return the changes, and the keys that fit how it stands."""
        say, version = driver.words.say, _version(driver, self._named)
        keys = [back_key(driver)]
        if version.withdrawn is None:
            keys.append(Key("take-back", say("keeping.drug-proposal.take-back"), weight=Weight.GRAVE))
        if self._next(driver):
            keys.append(primary(driver, self._next(driver), f"keeping.drug-proposal.{self._next(driver)}"))
        return Page(
            "keeping-drug-proposal",
            Ground.BENCH,
            say("keeping.drug-proposal.question", name=version.drug.name, version=version.number),
            _about(driver, version),
            Lines(_change_lines(driver, version), say("keeping.drug-signing.same")),
            keys=tuple(keys),
        )

    def _next(self, driver: Driver) -> str:
        """Return which signature is wanted next; empty when none is."""
        version = _version(driver, self._named)
        if version.complete or version.withdrawn is not None:
            return ""
        return "second" if version.signed else "sign"

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Sign, let the second keeper sign, or take it back."""
        version = _version(driver, self._named)
        if verb == "sign" and self._next(driver) == "sign":
            drugs, by, now = driver.offices.drugs, keeper(driver), driver.desk.now()
            work(driver, lambda: drugs.sign(by, *self._named, now), lambda one: _signed(driver, one))
        elif verb == "second" and self._next(driver) == "second":
            _ask_second(driver, (self._named,))
        elif verb == "take-back" and version.withdrawn is None:
            go(driver, Letters("drug-take-back", lambda d, why: withdraw(d, version, why, 2)))


def _signed(driver: Driver, version: EntryVersion) -> None:
    """Say what a signature came to."""
    key = "complete" if version.complete else "half"
    day = driver.words.day(version.effective)
    name, number = version.drug.name, version.number
    heard(driver, f"keeping.drug-signed.{key}", name=name, version=number, effective=day)


class Signing(Place):
    """One keeper goes through versions, reading each and signing it or leaving it."""

    def __init__(self, queue: tuple[Named, ...], by: str, *, second: bool) -> None:
        self._queue, self._by, self._second = queue, by, second

    def page(self, driver: Driver) -> Page:
        """Return what the version changes, and who would sign it."""
        say, version = driver.words.say, _version(driver, self._queue[0])
        sign = primary(driver, "sign", "keeping.drug-signing.sign", enabled=bool(self._by))
        name = names(driver, (self._by,) if self._by else ())
        return Page(
            "keeping-drug-signing",
            Ground.CHECKER if self._second else Ground.BENCH,
            say("keeping.drug-signing.question", name=name, drug=version.drug.name),
            _about(driver, version) if self._by else say("keeping.drug-signing.left"),
            Lines(_change_lines(driver, version), say("keeping.drug-signing.same")),
            keys=(back_key(driver), Key("skip", say("keeping.drug-signing.skip")), sign),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Sign this version, or leave it unsigned."""
        if verb == "skip":
            self._on(driver)
        elif verb == "sign" and self._by:
            drugs, by, now, (drug, number) = driver.offices.drugs, self._by, driver.desk.now(), self._queue[0]
            work(driver, lambda: drugs.sign(by, drug, number, now), lambda one: self._done(driver, one))

    def _done(self, driver: Driver, version: EntryVersion) -> None:
        """Go on to the next once one is signed."""
        self._on(driver)
        _signed(driver, version)

    def _on(self, driver: Driver) -> None:
        """Go on to the next version; behind the last one go back."""
        if len(self._queue) == 1:
            back(driver)
        else:
            self._queue = self._queue[1:]
            driver.sitting.cards = ()

    def hide(self) -> None:
        """Forget who proved to be there: whoever comes back has to prove it again."""
        self._by = ""


def withdraw(driver: Driver, version: EntryVersion, reason: str, places: int) -> None:
    """Take a version back and go back so many places."""
    drugs, by, now = driver.offices.drugs, keeper(driver), driver.desk.now()

    def gone(_: EntryVersion) -> None:
        back(driver, places)
        heard(driver, "keeping.drug-signed.taken_back", name=version.drug.name, version=version.number)

    work(driver, lambda: drugs.withdraw(by, version.drug.id, version.number, reason, now), gone)
