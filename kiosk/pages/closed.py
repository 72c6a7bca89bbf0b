"""A counter whose record cannot be opened: one calm page, and nothing that could be done on it."""

from __future__ import annotations

from kiosk.pages.parts import Foot, Ground, Key, Page, Statement
from kiosk.pages.words import Words

KNOWN = ("disk_full", "read_only", "locked", "damaged", "gone")


class ClosedCounter:
    """Meets what a window asks of a driver. ``code`` is that of the ``RecordTrouble``; ``over`` once left."""

    def __init__(self, words: Words, code: str, detail: str) -> None:
        self._words, self._code, self._detail = words, code, detail
        self.over = False

    def page(self) -> Page:
        """Return why this counter stays closed."""
        say = self._words.say
        close = Key("close-counter", say("key.close_counter"))
        trouble = f"trouble.{self._code if self._code in KNOWN else 'other'}"
        return Page(
            "closed",
            Ground.TROUBLE,
            say("closed.question"),
            say(trouble),
            Statement((say("closed.nothing"), self._detail), (close,)),
            foot=Foot(say("foot.nobody"), "", "", (), None),
        )

    def press(self, name: str) -> None:
        """Close the window: without a record there is nothing to keep it open for."""
        self.over = self.over or name == "close-counter"

    def scan(self, text: str) -> None:
        """A scan changes nothing here."""

    def type(self, text: str) -> None:
        """Typing changes nothing here."""

    def tick(self) -> None:
        """Time changes nothing here."""

    def scanner(self, there: bool) -> None:
        """Whether there is a scanner changes nothing here."""
