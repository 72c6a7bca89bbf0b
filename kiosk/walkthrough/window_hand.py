"""A hand that works the real window: presses its keys, scans, and keeps numbered pictures."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Page
from kiosk.printing.read_back import burnt, codes_on
from kiosk.printing.symbol import DOTS_203
from kiosk.ui.walk import Walk


class WindowHand:
    """Meets ``kiosk.walkthrough.journeys.Hand``. ``pictures`` is where the PNGs go, ``name`` begins them."""

    def __init__(self, walk: Walk, clock: SetClock, labels: Path, pictures: Path | None, name: str) -> None:
        self._walk = walk
        self._clock = clock
        self._labels = labels
        self._pictures = pictures
        self._name = name
        self._count = 0

    def page(self) -> Page:
        """Return the page that is on."""
        return self._walk.page

    def press(self, name: str) -> None:
        """Touch a key that is on the page."""
        self._walk.press(name)

    def scan(self, text: str) -> None:
        """Hold a code to the scanner."""
        self._walk.scan(text)

    def wait(self, page: str) -> Page:
        """Return the page once nothing is under way. Raises ``LookupError`` when another one is on."""
        self._walk.settle()
        now = self._walk.page
        if now.id != page:
            raise LookupError(f"{now.id} is on, not {page}: {[card.what for card in now.findings]}")
        return now

    def pass_time(self, seconds: int) -> None:
        """Move the counter's clock and let the window see it."""
        self._clock.move(timedelta(seconds=seconds))
        self._walk.kiosk.conductor.tick()

    def label_code(self) -> str:
        """Read the newest label as a scanner would, off the paper."""
        newest = max(self._labels.glob("*.pdf"), key=lambda path: path.stat().st_mtime_ns)
        return codes_on(burnt(newest.read_bytes(), DOTS_203))[0]

    def look(self, caption: str) -> None:
        """Keep a numbered picture of the window, if pictures are wanted."""
        self._count += 1
        if self._pictures is not None:
            words = re.sub(r"[^a-z0-9]+", "-", caption.lower()).strip("-")
            self._walk.grab(self._pictures / f"{self._name}-{self._count:02d}-{words}.png")
