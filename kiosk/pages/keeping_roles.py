"""What a person may do at the counter: roles and training, in words and to be toggled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from kiosk.core.catalogue.people import Person, Role
from kiosk.pages.keeping_place import Place, back_key, primary
from kiosk.pages.parts import Choice, Choices, Ground, Key, Page

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def roles_said(driver: Driver, person: Person) -> str:
    """Return what a person may do, in words."""
    return ", ".join(role_word(driver, role) for role in Role if role in person.roles)


def role_word(driver: Driver, role: Role) -> str:
    """Return the word for a role."""
    return driver.words.say(f"role.{role.value.replace(' ', '_')}")


class Roles(Place):
    """What a person may do, and whether they are still learning: toggled, then kept."""

    def __init__(self, person: Person, then: Callable[[Driver, Person], None]) -> None:
        self._draft, self._then = person, then

    def page(self, driver: Driver) -> Page:
        """Return a row for each role and one for training."""
        say, yes = driver.words.say, driver.words.say("keeping.roles.yes")
        held = [(f"role:{role.value}", role_word(driver, role), role in self._draft.roles) for role in Role]
        rows = (*held, ("trainee", say("keeping.roles.trainee"), self._draft.trainee))
        return Page(
            "keeping-roles",
            Ground.BENCH,
            say("keeping.roles.question", name=self._draft.name),
            say("keeping.roles.help"),
            Choices(
                tuple(
                    Choice(
                        Key(name, text, "" if is_so else say("keeping.roles.no")), badge=yes if is_so else ""
                    )
                    for name, text, is_so in rows
                )
            ),
            keys=(
                back_key(driver),
                primary(driver, "keep", "keeping.keep", enabled=bool(self._draft.roles)),
            ),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Toggle a role or the training; keep it."""
        if verb == "role" and what in tuple(Role):
            self._draft = replace(self._draft, roles=self._draft.roles ^ {Role(what)})
        elif verb == "trainee":
            self._draft = replace(self._draft, trainee=not self._draft.trainee)
        elif verb == "keep" and self._draft.roles:
            self._then(driver, self._draft)
