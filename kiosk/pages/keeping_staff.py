"""The staff room: who works here, and what a keeper does for one of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from kiosk.core.catalogue.people import Person
from kiosk.core.findings import Refusal
from kiosk.flow.keeping import Answer
from kiosk.pages.keeping_inbox import Inbox
from kiosk.pages.keeping_letters import Case, Letters
from kiosk.pages.keeping_place import Place, back_key, done, go, keeper, work
from kiosk.pages.keeping_proof import BadgeWanted, PinWanted
from kiosk.pages.keeping_roles import Roles, roles_said
from kiosk.pages.keeping_taking_on import take_on
from kiosk.pages.parts import Choice, Choices, Ground, Key, Page, Statement, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

AT_ONCE = 30


class Everybody(Place):
    """All who work here, by name."""

    def __init__(self) -> None:
        self._shown = AT_ONCE

    def page(self, driver: Driver) -> Page:
        """Return the staff list."""
        say = driver.words.say
        locked = {one.person for one in driver.offices.staff.locked()}
        people = driver.people.everybody()
        rows = tuple(_row(driver, person, person.id in locked) for person in people[: self._shown])
        more = Key("more", say("keeping.staff.more")) if len(people) > self._shown else None
        keys = tuple(Key(name, say(f"keeping.staff.{name}")) for name in ("take-on", "inbox"))
        return Page(
            "keeping-staff",
            Ground.BENCH,
            say("keeping.staff.question"),
            say("keeping.staff.help", count=len(people)),
            Choices(rows, more),
            keys=(back_key(driver), *keys),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Look at one person, take somebody on, or take in a list."""
        if verb == "more":
            self._shown += AT_ONCE
        elif verb == "person" and driver.people.person(what) is not None:
            go(driver, Member(what))
        elif verb == "take-on":
            take_on(driver)
        elif verb == "inbox":
            go(driver, Inbox())


def _row(driver: Driver, person: Person, locked: bool) -> Choice:
    """Return one person's row."""
    trainee = driver.words.say("keeping.staff.trainee") if person.trainee else ""
    mark = driver.words.say("keeping.staff.locked") if locked else trainee
    return Choice(Key(f"person:{person.id}", person.name, roles_said(driver, person)), badge=mark)


class Member(Place):
    """One person, and what can be done for them."""

    def __init__(self, person_id: str) -> None:
        self._id = person_id

    def page(self, driver: Driver) -> Page:
        """Return the person's page: each act a row with how it stands now."""
        say, person = driver.words.say, self._person(driver)
        locked = any(one.person == self._id for one in driver.offices.staff.locked())
        facts = {
            "roles": roles_said(driver, person),
            "name": person.name,
            "initials": person.initials,
            "pin": say("keeping.member.pin_hint"),
            "badge": say("keeping.member.badge_hint"),
        }
        rows = [Choice(Key(name, say(f"keeping.member.{name}"), hint)) for name, hint in facts.items()]
        if locked:
            rows.insert(
                0, Choice(Key("release", say("keeping.member.release"), say("keeping.member.locked")))
            )
        leave = Key("left", say("keeping.member.left"), weight=Weight.GRAVE)
        trainee = say("keeping.member.trainee") if person.trainee else say("keeping.member.help")
        keys = (leave, back_key(driver))
        return Page("keeping-member", Ground.BENCH, person.name, trainee, Choices(tuple(rows)), keys=keys)

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Go to what is to be changed."""
        person = self._person(driver)
        acts: dict[str, Callable[[], None]] = {
            "roles": lambda: go(driver, Roles(person, changed)),
            "name": lambda: go(driver, Letters("rename", self._named, start=person.name)),
            "initials": lambda: go(
                driver, Letters("initials", self._initialled, Case.CAPITALS, person.initials, most=4)
            ),
            "pin": lambda: go(driver, PinWanted(person.name, self._new_pin)),
            "badge": lambda: go(driver, BadgeWanted("new-badge", person.name, self._badged, self._lost)),
            "release": lambda: self._act(driver, driver.offices.staff.release, 0, "released"),
            "left": lambda: go(driver, Leaving(person)),
        }
        if verb in acts:
            acts[verb]()

    def _person(self, driver: Driver) -> Person:
        """Return the person as now known."""
        person = driver.people.person(self._id)
        assert person is not None
        return person

    def _named(self, driver: Driver, name: str) -> None:
        changed(driver, replace(self._person(driver), name=name))

    def _initialled(self, driver: Driver, initials: str) -> None:
        changed(driver, replace(self._person(driver), initials=initials))

    def _new_pin(self, driver: Driver, pins: tuple[str, ...]) -> None:
        self._act(
            driver, lambda by, who, now: driver.offices.staff.new_pin(by, who, pins[0], now), 1, "new_pin"
        )

    def _badged(self, driver: Driver, badge: str) -> None:
        self._act(
            driver, lambda by, who, now: driver.offices.staff.new_badge(by, who, badge, now), 1, "new_badge"
        )

    def _lost(self, driver: Driver) -> None:
        self._act(
            driver, lambda by, who, now: driver.offices.staff.new_badge(by, who, "", now), 1, "badge_ended"
        )

    def _act(
        self, driver: Driver, act: Callable[[str, str, datetime], Answer], places: int, said: str
    ) -> None:
        """Do one act on this person and go back so many places."""
        by, now, who = keeper(driver), driver.desk.now(), self._id
        work(driver, lambda: act(by, who, now), lambda person: done(driver, person, places, said))


class Leaving(Place):
    """A person no longer works here: said once more, in another place of the screen."""

    def __init__(self, person: Person) -> None:
        self._person = person

    def page(self, driver: Driver) -> Page:
        """Return what follows from it, and the key that does it."""
        say = driver.words.say
        return Page(
            "keeping-leaving",
            Ground.TROUBLE,
            say("keeping.leaving.question", name=self._person.name),
            say("keeping.leaving.help"),
            Statement((), (Key("leave", say("keeping.leaving.leave")),)),
            keys=(Key("back", say("keeping.leaving.stay"), weight=Weight.PRIMARY),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """End the badge and the work here."""
        if verb != "leave":
            return
        by, now, who = keeper(driver), driver.desk.now(), self._person.id
        if by == who:
            driver.refuse(Refusal("not_yourself"))
            return
        work(
            driver, lambda: driver.offices.staff.leave(by, who, now), lambda one: done(driver, one, 2, "left")
        )


def changed(driver: Driver, person: Person) -> None:
    """Keep a changed person and go back to their page."""
    by, now = keeper(driver), driver.desk.now()
    work(
        driver,
        lambda: driver.offices.staff.change(by, person, now),
        lambda one: done(driver, one, 1, "changed"),
    )
