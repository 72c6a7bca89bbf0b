"""Typing words at the counter: the own letter keyboard, or a real one."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from typing import TYPE_CHECKING, Final, TypeAlias

from kiosk.pages.keeping_place import Place, back_key
from kiosk.pages.parts import Ground, Key, LetterEntry, Page, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

MOST: Final = 60
Then: TypeAlias = Callable[["Driver", str], None]


class Case(StrEnum):
    """How letters come out: as names are written, or all in capitals."""

    NAME = "name"
    CAPITALS = "capitals"


class Letters(Place):
    """Asks for a text. ``key`` names its words: ``keeping.<key>`` with question, help and caption."""

    takes_letters: bool = True

    def __init__(
        self, key: str, then: Then, case: Case = Case.NAME, start: str = "", most: int = MOST
    ) -> None:
        self._key, self._then, self._case, self._most = key, then, case, most
        self._typed = start
        self._turned = False
        self._layer = "letters"

    def page(self, driver: Driver) -> Page:
        """Return the keyboard with what was typed so far."""
        say = driver.words.say
        return Page(
            f"keeping-{self._key}",
            Ground.BENCH,
            say(f"keeping.{self._key}.question"),
            say(f"keeping.{self._key}.help"),
            self._entry(driver),
            keys=(back_key(driver),),
        )

    def _entry(self, driver: Driver) -> LetterEntry:
        """Return the keyboard in the case that the next letter takes."""
        say, text = driver.words.say, self._typed.strip()
        shown = [self._cased(character) for character in say(f"keyboard.{self._layer}")]
        other = "marks" if self._layer == "letters" else "letters"
        return LetterEntry(
            caption=say(f"keeping.{self._key}.caption"),
            typed=self._typed,
            letters=tuple(Key(f"letter:{c}", c, spoken=say("keyboard.spoken", letter=c)) for c in shown),
            others=(
                Key("turn-case", say("keyboard.turn_case"), enabled=self._case is Case.NAME),
                Key(f"layer:{other}", say(f"keyboard.to_{other}")),
            ),
            space=Key("letter: ", say("keyboard.space"), enabled=bool(text)),
            erase=Key("erase", "⌫", enabled=bool(self._typed), spoken=say("keyboard.erase")),
            commit=Key("commit", say("key.commit"), weight=Weight.PRIMARY, enabled=bool(text)),
        )

    def _cased(self, character: str) -> str:
        """Return a letter as it would be typed next: a capital begins a name, and each part of it."""
        if self._case is Case.CAPITALS:
            return character.upper()
        capital = not self._typed or self._typed[-1] in " -'’"
        return character.upper() if capital is not self._turned else character.lower()

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a letter, a turn of the keyboard, the eraser, or the end."""
        if verb == "letter" and len(self._typed) < self._most:
            self._typed += what.upper() if self._case is Case.CAPITALS else what
            self._turned = False
        elif verb == "erase":
            self._typed = self._typed[:-1]
        elif verb == "turn-case":
            self._turned = not self._turned
        elif verb == "layer" and what in ("letters", "marks"):
            self._layer = what
        elif verb == "commit" and self._typed.strip():
            self._then(driver, " ".join(self._typed.split()))
