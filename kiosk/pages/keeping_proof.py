"""Asking for a badge and for a new PIN: the two things that make a person who they are at the counter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kiosk.core.findings import Refusal
from kiosk.flow.scans import BadgeScan, Scan
from kiosk.pages.controls import digits
from kiosk.pages.keeping_letters import Case, Letters, Then
from kiosk.pages.keeping_place import Place, back, back_key, clear, go
from kiosk.pages.parts import Ground, Key, Page, PinEntry, ScanWanted, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

LONGEST_PIN = 12


class BadgeWanted(Place):
    """Asks for a badge, by scan or typed. ``key`` names its words; ``without`` is the way with no badge."""

    def __init__(
        self, key: str, name: str, then: Then, without: Callable[[Driver], None] | None = None
    ) -> None:
        self._key, self._name, self._then, self._without = key, name, then, without

    def page(self, driver: Driver) -> Page:
        """Return what is to be scanned."""
        say = driver.words.say
        instead = [Key("type-badge", say("keeping.badge.type"))]
        if self._without is not None:
            instead.append(Key("no-badge", say("keeping.badge.none")))
        return Page(
            f"keeping-{self._key}",
            Ground.BENCH,
            say(f"keeping.{self._key}.question", name=self._name),
            say(f"keeping.{self._key}.help", name=self._name),
            ScanWanted(say("keeping.badge.scan"), say("keeping.badge.how"), tuple(instead)),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Type the badge instead, or go on without one."""
        if verb == "type-badge":
            go(driver, Letters("badge-typed", self._typed, Case.CAPITALS, most=20))
        elif verb == "no-badge" and self._without is not None:
            self._without(driver)

    def scan(self, driver: Driver, found: Scan) -> None:
        """Take a badge and nothing else."""
        if isinstance(found, BadgeScan):
            self._then(driver, found.badge)
        else:
            driver.refuse(Refusal("not_a_badge"))

    def _typed(self, driver: Driver, text: str) -> None:
        """Read a typed badge as if it had been scanned; its check character must fit."""
        found = driver.read(text)
        if isinstance(found, BadgeScan):
            back(driver)
            self._then(driver, found.badge)
        else:
            driver.refuse(found if isinstance(found, Refusal) else Refusal("not_a_badge"))


@dataclass(slots=True)
class _Pins:
    """What was typed: the digits of this turn, and the PINs of the turns before."""

    typed: str = ""
    before: tuple[str, ...] = ()


class PinWanted(Place):
    """Asks for PINs one after another: ``turns`` name their words. Equal ones are asked for at the end.

    ``then`` gets them in order, the repeated one once.
    """

    def __init__(
        self,
        name: str,
        then: Callable[[Driver, tuple[str, ...]], None],
        turns: tuple[str, ...] = ("new", "again"),
    ) -> None:
        self._name, self._then, self._turns = name, then, turns
        self._pins = _Pins()

    def page(self, driver: Driver) -> Page:
        """Return the pad of this turn; only the count of digits is shown."""
        say, turn = driver.words.say, self._turns[len(self._pins.before)]
        filled, busy = len(self._pins.typed), driver.sitting.busy
        pad = PinEntry(
            person=self._name,
            filled=filled,
            digits=digits(driver.view()),
            erase=Key("erase", "⌫", enabled=filled > 0, spoken=say("key.erase")),
            commit=Key("commit", say("key.commit"), weight=Weight.PRIMARY, enabled=filled >= 4 and not busy),
            busy=busy,
        )
        return Page(
            f"keeping-pin-{turn}",
            Ground.BENCH,
            say(f"keeping.pin_{turn}.question", name=self._name),
            say(f"keeping.pin_{turn}.help", name=self._name),
            pad,
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a digit, the eraser, or the end of this turn."""
        pins = self._pins
        if verb == "digit" and len(pins.typed) < LONGEST_PIN:
            pins.typed += what
        elif verb == "erase":
            pins.typed = pins.typed[:-1]
        elif verb == "commit" and len(pins.typed) >= 4:
            self._turned(driver, (*pins.before, pins.typed))

    def _turned(self, driver: Driver, said: tuple[str, ...]) -> None:
        """Go on to the next turn; after the last the new PIN must have been the same twice."""
        clear(driver)
        self._pins = _Pins(before=said)
        if len(said) < len(self._turns):
            return
        self.hide()
        if said[-1] != said[-2]:
            driver.refuse(Refusal("pins_differ"))
        else:
            self._then(driver, said[:-1])

    def hide(self) -> None:
        """Forget every digit."""
        self._pins = replace(self._pins, typed="", before=())
