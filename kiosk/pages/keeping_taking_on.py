"""Taking a person on: badge, name, initials, roles, PIN twice. And the first keeper of an empty counter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.flow.keeping import Answer, NewPerson, free_id
from kiosk.pages.keeping_letters import Case, Letters
from kiosk.pages.keeping_place import Place, back, done, go, heard, keeper, know_anew, primary, work
from kiosk.pages.keeping_proof import BadgeWanted, PinWanted
from kiosk.pages.keeping_roles import Roles
from kiosk.pages.parts import Ground, Key, Page, Statement

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

PLACES = 5
Enrol: TypeAlias = Callable[["Driver", NewPerson], Callable[[], Answer]]


@dataclass(frozen=True, slots=True)
class Draft:
    """What is known so far of somebody to be taken on, and who takes them on."""

    enrol: Enrol
    came: Callable[[Driver, Person], None]
    badge: str = ""
    name: str = ""
    initials: str = ""
    roles: frozenset[Role] = frozenset()
    trainee: bool = False


def take_on(driver: Driver) -> None:
    """Begin to take a further person on, by the keeper signed on."""

    def enrol(driver: Driver, new: NewPerson) -> Callable[[], Answer]:
        by, now = keeper(driver), driver.desk.now()
        return lambda: driver.offices.staff.enrol(by, new, now)

    def came(driver: Driver, person: Person) -> None:
        done(driver, person, PLACES, "came")

    _badge(driver, Draft(enrol, came))


class SetUp(Place):
    """An empty counter: the first keeper is taken on here, with a PIN of their own choosing."""

    def page(self, driver: Driver) -> Page:
        """Return what is about to happen."""
        say = driver.words.say
        lines = tuple(say(f"keeping.set_up.line_{n}") for n in (1, 2, 3))
        close = (Key("close-counter", say("key.close_counter")),) if driver.closable else ()
        return Page(
            "set-up",
            Ground.BENCH,
            say("keeping.set_up.question"),
            say("keeping.set_up.help"),
            Statement(lines, (primary(driver, "begin", "keeping.set_up.begin"),)),
            keys=close,
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Begin, or leave it for another day: nobody keeps this counter who could be asked."""
        if verb == "close-counter" and driver.closable:
            driver.over = True
        elif verb == "begin":
            _badge(driver, Draft(_set_up, _set_up_done, roles=frozenset({Role.KEEPER})))


def _set_up(driver: Driver, new: NewPerson) -> Callable[[], Answer]:
    """Return the job that enrols the first keeper."""
    now = driver.desk.now()
    return lambda: driver.offices.staff.set_up(new, now)


def _set_up_done(driver: Driver, person: Person) -> None:
    """The counter has its keeper: from here on everybody signs on."""
    back(driver, len(driver.sitting.keeping))
    heard(driver, "keeping.done.set_up", name=person.name)
    know_anew(driver)


def _badge(driver: Driver, draft: Draft) -> None:
    """Ask for a badge that nobody has."""

    def came(on: Driver, badge: str) -> None:
        if on.people.by_badge(badge) is not None:
            on.refuse(Refusal("badge_taken"))
        else:
            _name(on, replace(draft, badge=badge))

    go(driver, BadgeWanted("first-badge", "", came))


def _name(driver: Driver, draft: Draft) -> None:
    go(driver, Letters("name", lambda on, name: _initials(on, replace(draft, name=name))))


def _initials(driver: Driver, draft: Draft) -> None:
    start = "".join(word[0] for word in draft.name.split()).upper()[:4]
    place = Letters(
        "initials", lambda on, said: _roles(on, replace(draft, initials=said)), Case.CAPITALS, start, most=4
    )
    go(driver, place)


def _roles(driver: Driver, draft: Draft) -> None:
    """Ask what they may do; the first keeper keeps, and that is all."""
    if draft.roles:
        _pin(driver, draft)
        return

    def kept(on: Driver, person: Person) -> None:
        _pin(on, replace(draft, roles=person.roles, trainee=person.trainee))

    go(driver, Roles(Person("", draft.name, draft.initials, frozenset()), kept))


def _pin(driver: Driver, draft: Draft) -> None:
    go(driver, PinWanted(draft.name, lambda on, pins: _enrol(on, draft, pins[0])))


def _enrol(driver: Driver, draft: Draft, pin: str) -> None:
    """Put the person on record."""
    id = free_id(driver.people, draft.initials)
    person = Person(id, draft.name, draft.initials, draft.roles, draft.trainee)
    job = draft.enrol(driver, NewPerson(person, draft.badge, pin))
    work(driver, job, lambda one: draft.came(driver, one))
