"""Plays a journey in a real window on a real X server, with real pointer and keyboard events.

Run as its own process, so that a test can kill it: ``python -m tests.journeys.real_window HOME JOURNEY``.
It says on standard output which page came, and ``label <code>`` when a label was read off its paper; with
``--hold-at PAGE`` it stays on that page until it is killed.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from datetime import timedelta
from functools import cache
from pathlib import Path

from PySide6.QtCore import QEventLoop, QPoint, QTimer
from PySide6.QtWidgets import QApplication
from Xlib import XK, X, display
from Xlib.ext import xtest

from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Page
from kiosk.tables.resources import resources
from kiosk.tables.words import words
from kiosk.ui.app import Kiosk
from kiosk.ui.settings import Settings
from kiosk.walkthrough.journeys import JOURNEYS
from kiosk.wiring.counter import open_driver
from kiosk.wiring.home import Home
from kiosk.wiring.window import opening_page, outfit
from tests.counter import NOW
from tests.journeys.counters import opened_store, the_cast
from tests.journeys.driver_hand import read_label

PATIENCE_MS = 20_000


class Held(Exception):
    """The page to hold at has come."""


class RealHand:
    """Moves the X pointer to a key and presses the button; types scans on the X keyboard."""

    def __init__(self, kiosk: Kiosk, clock: SetClock, labels: Path, hold_at: str) -> None:
        self.kiosk, self.clock, self.labels, self.hold_at = kiosk, clock, labels, hold_at
        self.x = display.Display()
        self.shown = 0
        show = kiosk.window.show_page

        def counted(page: Page) -> None:
            show(page)
            self.shown += 1

        kiosk.window.show_page = counted  # type: ignore[method-assign]

    def page(self) -> Page:
        stopped = self.kiosk.conductor.stopped
        if stopped is not None:
            raise stopped
        shell = self.kiosk.window.shell
        assert shell is not None
        assert shell.page is not None
        return shell.page

    def until(self, met: Callable[[], bool]) -> None:
        """Let the window work until a condition holds."""
        guard = QTimer()
        guard.setSingleShot(True)
        guard.start(PATIENCE_MS)
        while not met():
            QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
            assert guard.isActive(), f"waited in vain on {self.page().id}: {self.page().findings}"

    def after(self, act: Callable[[], None]) -> None:
        """Do something and wait until a page was shown for it and nothing is under way."""
        before = self.shown
        act()
        self.until(lambda: self.shown > before and not self.kiosk.worker.under_way)

    def press(self, name: str) -> None:
        key = self.kiosk.window.key(name)
        assert key is not None, f"{name} is not on {self.page().id}"
        assert key.isEnabled(), f"{name} cannot be touched on {self.page().id}"
        self.after(lambda: self._click(key.mapToGlobal(QPoint(key.width() // 2, key.height() // 2))))

    def _click(self, at: QPoint) -> None:
        xtest.fake_input(self.x, X.MotionNotify, x=at.x(), y=at.y())
        xtest.fake_input(self.x, X.ButtonPress, 1)
        xtest.fake_input(self.x, X.ButtonRelease, 1)
        self.x.sync()

    def scan(self, text: str) -> None:
        self.after(lambda: self._type(text))

    def _type(self, text: str) -> None:
        """Send a whole symbol at once, as fast as a scanner does."""
        strokes = [stroke for character in text for stroke in self._strokes(character)]
        for kind, code in (*strokes, *self._strokes("Return")):
            xtest.fake_input(self.x, kind, code)
        self.x.sync()

    @cache  # noqa: B019 - one hand a process
    def _strokes(self, character: str) -> tuple[tuple[int, int], ...]:
        """Return the key events of one character on the X keyboard, with the modifier it needs."""
        if character == "\x1d":
            name, held = "bracketright", "Control_L"
        else:
            name, held = {"]": "bracketright"}.get(character, character), ""
        code, level = next(iter(self.x.keysym_to_keycodes(XK.string_to_keysym(name))))
        held = held or ("Shift_L" if level % 2 else "")
        pressed = ((X.KeyPress, code), (X.KeyRelease, code))
        if not held:
            return pressed
        modifier = self.x.keysym_to_keycode(XK.string_to_keysym(held))
        return ((X.KeyPress, modifier), *pressed, (X.KeyRelease, modifier))

    def wait(self, page: str) -> Page:
        self.until(lambda: self.page().id == page and not self.kiosk.worker.under_way)
        print("page", page, flush=True)
        if page == self.hold_at:
            raise Held
        return self.page()

    def pass_time(self, seconds: int) -> None:
        self.clock.move(timedelta(seconds=seconds))
        self.after(self.kiosk.conductor.tick)

    def label_code(self) -> str:
        code = read_label(max(self.labels.glob("*.pdf"), key=lambda path: path.stat().st_mtime_ns))
        print("label", code, flush=True)
        return code

    def look(self, caption: str) -> None:
        """A person looks; nothing is kept."""


def play(home: Home, journey: str, hold_at: str) -> None:
    """Open the counter of ``home`` in a full-screen window and play one journey in it."""
    app = QApplication(["kiosk"])
    clock = SetClock(NOW)
    spoken = dict(words("en"))
    settings = Settings(motion=False, sound=False, full_screen=True)
    kiosk = Kiosk(outfit(resources(), spoken, settings, may_close=True))
    store = opened_store(home)
    hand = RealHand(kiosk, clock, home.labels, hold_at)
    kiosk.open(opening_page(spoken), lambda background: open_driver(store, home, "en", clock, background))
    hand.until(lambda: kiosk.conductor.driver is not None and hand.page().id != "opening")
    kiosk.window.activateWindow()
    goes = next(one for one in JOURNEYS if one.name == journey).goes
    try:
        goes(hand, the_cast())
    except Held:
        print("holding", flush=True)
        app.exec()
    print("done", flush=True)
    kiosk.close()
    store.close()


def main() -> None:
    """Read the command line and play."""
    parser = argparse.ArgumentParser()
    parser.add_argument("home", type=Path)
    parser.add_argument("journey")
    parser.add_argument("--hold-at", default="")
    told = parser.parse_args()
    assert os.environ["QT_QPA_PLATFORM"] == "xcb"
    play(Home(told.home), told.journey, told.hold_at)


if __name__ == "__main__":
    main()
