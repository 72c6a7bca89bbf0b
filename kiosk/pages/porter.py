"""Keeps the door while the counter is still being opened: nobody waits for rooms that are not needed yet.

A badge may be scanned and a PIN typed at once. What comes in is held, in order, and handed to the driver
when it is there; from then on the porter only passes everything through. It knows no figure and no rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from kiosk.pages.parts import Foot, Ground, Key, Page, PinEntry, ScanWanted, Weight

DIGITS = "7894561230"


class Behind(Protocol):
    """The driver behind the door."""

    def page(self) -> Page:
        """Return the page to show."""
        ...

    def press(self, name: str) -> None:
        """Take a key."""
        ...

    def scan(self, text: str) -> None:
        """Take a scan."""
        ...

    def type(self, text: str) -> None:
        """Take typing."""
        ...

    def tick(self) -> None:
        """Let time show."""
        ...

    def scanner(self, there: bool) -> None:
        """Take that the scanner came or went."""
        ...


class Porter:
    """Meets what a window asks of a driver, before there is one. ``say`` gives the words by key."""

    def __init__(self, words: Mapping[str, str]) -> None:
        self._words = words
        self._held: list[tuple[str, str]] = []
        self._behind: Behind | None = None
        self._scanner: bool | None = None

    def let_in(self, behind: Behind) -> None:
        """Take the driver, hand over what was held, and stand aside."""
        self._behind = behind
        if self._scanner is not None:
            behind.scanner(self._scanner)
        for kind, what in self._held:
            (behind.scan if kind == "scan" else behind.press)(what)
        self._held.clear()

    def page(self) -> Page:
        """Return the driver's page, or the door, or the PIN pad once a badge was scanned."""
        if self._behind is not None:
            return self._behind.page()
        return self._pin() if any(kind == "scan" for kind, _ in self._held) else self._door()

    def press(self, name: str) -> None:
        """Pass a key on, or hold it."""
        if self._behind is not None:
            self._behind.press(name)
        elif name == "back":
            self._held.clear()
        else:
            self._held.append(("press", name))

    def scan(self, text: str) -> None:
        """Pass a scan on, or hold the last one."""
        if self._behind is not None:
            self._behind.scan(text)
        else:
            self._held = [("scan", text)]

    def type(self, text: str) -> None:
        """Pass typing on, or take its digits as keys."""
        if self._behind is not None:
            self._behind.type(text)
            return
        for character in text:
            if character.isdigit():
                self.press(f"digit:{character}")

    def tick(self) -> None:
        """Pass time on."""
        if self._behind is not None:
            self._behind.tick()

    def scanner(self, there: bool) -> None:
        """Pass on that the scanner came or went, or remember it."""
        self._scanner = there
        if self._behind is not None:
            self._behind.scanner(there)

    def _door(self) -> Page:
        """The door: a badge is wanted."""
        say = self._words.__getitem__
        wanted = ScanWanted(say("door.badge"), say("door.how"))
        return self._page("door", say("door.question"), say("door.help"), wanted)

    def _pin(self) -> Page:
        """The PIN pad; only the number of digits is shown."""
        say = self._words.__getitem__
        presses = [what for kind, what in self._held if kind == "press"]
        filled = sum(what.startswith("digit:") for what in presses) - presses.count("erase")
        committed = "commit" in presses
        pad = PinEntry(
            person=say("pin.somebody"),
            filled=max(0, filled),
            digits=tuple(Key(f"digit:{d}", d, spoken=say(f"digit.{d}")) for d in DIGITS),
            erase=Key("erase", "⌫", enabled=filled > 0, spoken=say("key.erase")),
            commit=Key(
                "commit", say("key.sign_on"), weight=Weight.PRIMARY, enabled=filled >= 4 and not committed
            ),
            busy=committed,
        )
        page = self._page("pin", say("pin.question"), say("pin.help"), pad)
        return page if committed else _with_back(page, say("key.back"))

    def _page(self, id: str, question: str, help: str, control: ScanWanted | PinEntry) -> Page:
        foot = Foot(self._words["foot.nobody"], "", "", (), None)
        return Page(id, Ground.DOOR, question, help, control, foot=foot)


def _with_back(page: Page, back: str) -> Page:
    """Return the page with a key back to the door."""
    return Page(
        page.id,
        page.ground,
        page.question,
        page.help,
        page.control,
        foot=page.foot,
        keys=(Key("back", back),),
    )
