"""Drives the real window with no screen: presses its real keys, scans, and takes pictures.

For the walkthrough and for journeys in tests. Nothing here knows the flow.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from kiosk.pages.parts import Page
from kiosk.ui.app import Kiosk, Outfit
from kiosk.ui.hands import Background, Driver
from kiosk.ui.keys import KeyButton
from kiosk.ui.paged import ON

WAIT_MS = 30_000


class NoSuchKey(RuntimeError):
    """A key was to be pressed that is not on the page, or cannot be touched."""


class NeverSettled(RuntimeError):
    """A background job did not come back in time."""


def offscreen(width: int, height: int, folder: Path, dpi: int = 96) -> tuple[str, ...]:
    """Return the arguments that give Qt a screen of this size with nothing shown; writes one file."""
    screen = {"name": "kiosk", "x": 0, "y": 0, "width": width, "height": height, "dpr": 1}
    screen |= {"logicalDpi": dpi, "logicalBaseDpi": dpi}
    path = folder / f"screen-{width}x{height}.json"
    path.write_text(json.dumps({"screens": [screen]}), encoding="utf-8")
    return ("-platform", f"offscreen:configfile={path.resolve()}")


class Walk:
    """A window with a driver, and hands to work it."""

    def __init__(self, outfit: Outfit, size: tuple[int, int], argv: tuple[str, ...] = ()) -> None:
        self.app = QApplication.instance() or QApplication(["kiosk", *argv])
        self.kiosk = Kiosk(outfit)
        self.kiosk.window.resize(*size)
        self.kiosk.window.show()

    def begin(self, open_driver: Callable[[Background], Driver]) -> None:
        """Open the driver and show its first page."""
        self.kiosk.begin(open_driver(self.kiosk.worker))
        self.settle()

    @property
    def page(self) -> Page:
        """Return the page shown. Raises the bug that stopped the machine, if one did."""
        if self.kiosk.conductor.stopped is not None:
            raise self.kiosk.conductor.stopped
        shell = self.kiosk.window.shell
        if shell is None or shell.page is None:
            raise RuntimeError("no page is shown yet")
        return shell.page

    def key(self, name: str) -> KeyButton:
        """Return a key that can be touched. Raises ``NoSuchKey``."""
        key = self.kiosk.window.key(name)
        if key is None or not key.isEnabled():
            raise NoSuchKey(f"no key {name!r} to touch on page {self.page.id!r}")
        return key

    def press(self, *names: str) -> None:
        """Touch keys, one after another; a list is turned on until the key can be seen."""
        for name in names:
            while self.kiosk.window.key(name) is None and (on := self._turn_on()) is not None:
                on.click()
                self.settle()
            self.key(name).click()
            self.settle()

    def _turn_on(self) -> KeyButton | None:
        """Return the key that turns a list to its next page, while it has one."""
        key = self.kiosk.window.key(ON)
        return key if key is not None and key.isEnabled() else None

    def scan(self, text: str) -> None:
        """Scan a symbol."""
        self.kiosk.conductor.scan(text)
        self.settle()

    def grab(self, path: Path) -> None:
        """Take a picture of the window."""
        self.settle()
        self.kiosk.window.grab_to(path)

    def settle(self) -> None:
        """Wait until no background job is under way. Raises ``NeverSettled``."""
        self.app.processEvents()
        guard = QTimer()
        guard.setSingleShot(True)
        guard.start(WAIT_MS)
        while self.kiosk.worker.under_way:
            self.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
            if not guard.isActive():
                raise NeverSettled("a background job did not come back")

    def close(self) -> None:
        """Put the window away."""
        self.kiosk.close()
        self.kiosk.window.may_close = lambda: True
        self.kiosk.window.close()
