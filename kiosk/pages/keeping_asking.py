"""Places that ask one thing on the way to an act on stock: a second person, a number, one of some words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeAlias

from kiosk.core.catalogue.people import Person
from kiosk.core.findings import Fact, Refusal
from kiosk.core.notation import whole_in_words
from kiosk.flow.scans import BadgeScan, Scan
from kiosk.pages.controls import digits, press_number
from kiosk.pages.keeping_place import Place, back, back_key, clear, go, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, NumberEntry, Page, PinEntry, ScanWanted, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

Seen: TypeAlias = Callable[["Driver", str], None]
Counted: TypeAlias = Callable[["Driver", int], None]
LONGEST_PIN = 12
MOST_DIGITS = 4


class SecondPerson(Place):
    """Asks another person for badge and PIN. ``key`` names its words; ``then`` gets who it is."""

    def __init__(self, key: str, then: Seen, **facts: Fact) -> None:
        self._key, self._then, self._facts = key, then, facts
        self._badge, self._name, self._pin = "", "", ""

    def page(self, driver: Driver) -> Page:
        """Return what is wanted: the badge, then its PIN. The place is visibly another person's."""
        say, key = driver.words.say, f"keeping.{self._key}"
        wanted = ScanWanted(say("keeping.second.scan"), say("keeping.second.how"))
        return Page(
            f"keeping-{self._key}" if not self._badge else f"keeping-{self._key}-pin",
            Ground.CHECKER if self._badge else Ground.BENCH,
            say("keeping.second.pin") if self._badge else say(f"{key}.question", **self._facts),
            say("pin.help") if self._badge else say(f"{key}.help", **self._facts),
            self._pad(driver) if self._badge else wanted,
            keys=(back_key(driver),),
        )

    def _pad(self, driver: Driver) -> PinEntry:
        """Return the PIN pad; only the count of digits is shown."""
        say, busy = driver.words.say, driver.sitting.busy
        return PinEntry(
            person=self._name or say("pin.somebody"),
            filled=len(self._pin),
            digits=digits(driver.view()),
            erase=Key("erase", "⌫", enabled=bool(self._pin), spoken=say("key.erase")),
            commit=Key(
                "commit", say("key.commit"), weight=Weight.PRIMARY, enabled=len(self._pin) >= 4 and not busy
            ),
            busy=busy,
        )

    def scan(self, driver: Driver, found: Scan) -> None:
        """Take a badge and nothing else."""
        if not isinstance(found, BadgeScan):
            driver.refuse(Refusal("not_a_badge"))
            return
        who = driver.people.by_badge(found.badge)
        self._badge, self._name, self._pin = found.badge, who.name if who else "", ""
        driver.sitting.sound = "accepted"

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a digit, the eraser, or the end of the PIN."""
        if not self._badge:
            return
        if verb == "digit" and len(self._pin) < LONGEST_PIN:
            self._pin += what
        elif verb == "erase":
            self._pin = self._pin[:-1]
        elif verb == "commit" and len(self._pin) >= 4:
            badge, pin, now = self._badge, self._pin, driver.desk.now()
            self.hide()
            work(driver, lambda: driver.people.sign_on(badge, pin, now), lambda who: self._came(driver, who))

    def _came(self, driver: Driver, person: Person) -> None:
        """Somebody proved who they are: this place is done with."""
        back(driver)
        self._then(driver, person.id)

    def hide(self) -> None:
        """Forget the badge and every digit."""
        self._badge, self._name, self._pin = "", "", ""


class Number(Place):
    """Asks for a whole number of containers. ``key`` names its words."""

    def __init__(self, key: str, then: Counted, least: int = 0, **facts: Fact) -> None:
        self._key, self._then, self._least, self._facts = key, then, least, facts
        self._typed = ""

    def page(self, driver: Driver) -> Page:
        """Return the number pad. Nothing of what is booked is on the screen."""
        say, key = driver.words.say, f"keeping.{self._key}"
        return Page(
            f"keeping-{self._key}",
            Ground.BENCH,
            say(f"{key}.question", **self._facts),
            say(f"{key}.help", **self._facts),
            self._entry(driver),
            keys=(back_key(driver),),
        )

    def _entry(self, driver: Driver) -> NumberEntry:
        """Return the pad without a point: containers are whole."""
        say = driver.words.say
        known = int(self._typed) if self._typed else None
        good = known is not None and known >= self._least
        return NumberEntry(
            typed=self._typed,
            unit=say("keeping.pieces"),
            words=whole_in_words(known, driver.words.language) if known is not None else "",
            digits=digits(driver.view()),
            point=Key("point", say("number.point"), enabled=False, spoken=say("key.point")),
            erase=Key("erase", "⌫", enabled=bool(self._typed), spoken=say("key.erase")),
            commit=Key("commit", say("key.commit"), say("key.commit_hint"), Weight.PRIMARY, enabled=good),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a digit, the eraser, or the end."""
        if verb == "digit" and len(self._typed) < MOST_DIGITS:
            self._typed = press_number(self._typed, f"digit:{what}")
        elif verb == "erase":
            self._typed = press_number(self._typed, "erase")
        elif verb == "commit" and self._typed.isdecimal() and int(self._typed) >= self._least:
            clear(driver)
            self._then(driver, int(self._typed))


class OneOf(Place):
    """Asks for one of some words, each ``(name, words key)``. ``key`` names the words of the question."""

    def __init__(self, key: str, choices: Sequence[tuple[str, str]], then: Seen, **facts: Fact) -> None:
        self._key, self._choices, self._then, self._facts = key, tuple(choices), then, facts

    def page(self, driver: Driver) -> Page:
        """Return a row for each."""
        say, key = driver.words.say, f"keeping.{self._key}"
        rows = tuple(Choice(Key(f"one:{name}", _begun(say(words)))) for name, words in self._choices)
        return Page(
            f"keeping-{self._key}",
            Ground.BENCH,
            say(f"{key}.question", **self._facts),
            say(f"{key}.help", **self._facts),
            Choices(rows),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take one of them."""
        if verb == "one" and what in {name for name, _ in self._choices}:
            self._then(driver, what)


def _begun(text: str) -> str:
    """Return words as the beginning of a line: with a capital."""
    return text[:1].upper() + text[1:]


def with_witness(driver: Driver, needed: bool, key: str, act: Seen, **facts: Fact) -> None:
    """Go on with an act, before a second person where one is needed."""
    if needed:
        go(driver, SecondPerson(key, act, **facts))
    else:
        act(driver, "")
