"""Opens the window: paints first, brings in the heavy rooms after, then shows the driver's page.

With ``KIOSK_TIMING=1`` in the environment two lines go to standard error, ``KIOSK_TIMING painted <ns>`` and
``KIOSK_TIMING ready <ns>``, on the machine's monotonic clock: when the first paint was done, and when the
first page of the driver had been painted and could be touched.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication

from kiosk.pages.parts import Page
from kiosk.ui.bell import Bell
from kiosk.ui.conductor import Conductor
from kiosk.ui.hands import Background, Driver, Say
from kiosk.ui.libraries import NoDisplay, no_display
from kiosk.ui.scan_filter import MakeBurst, ScanFilter
from kiosk.ui.settings import Settings
from kiosk.ui.typist import PageTypist
from kiosk.ui.window import Window
from kiosk.ui.worker import Worker

TICK_MS = 250
DESK_SIZE = (1280, 800)


def _never() -> bool:
    """Say no."""
    return False


@dataclass(frozen=True, slots=True)
class Outfit:
    """What the window is given besides its driver.

    ``resources`` is the folder of fonts, icons and themes; ``say`` the interface's words; ``make_burst``
    builds the wedge (``kiosk.hardware.wedge.Wedge``); ``trouble_page`` is shown after a bug; ``ended`` says,
    after each page, whether the work is over (a keeper left ward mode); ``may_close`` whether the window
    system may close the window; ``settings_now`` gives the settings in force, asked at every tick.
    """

    resources: Path
    say: Say
    make_burst: MakeBurst
    trouble_page: Callable[[BaseException], Page]
    settings: Settings = field(default_factory=Settings)
    ended: Callable[[], bool] = _never
    may_close: Callable[[], bool] = _never
    settings_now: Callable[[], Settings] | None = None


class Kiosk:
    """Window, conductor, worker and filter, put together. One per process."""

    def __init__(self, outfit: Outfit) -> None:
        self.outfit = outfit
        self.bell = Bell(outfit.settings.sound)
        self.conductor = Conductor(outfit.trouble_page, self._after)
        self.window = Window(outfit.resources, self.conductor, outfit.say, outfit.settings)
        self.window.may_close = outfit.may_close
        self.conductor.stage = self.window
        self.worker = Worker(self.conductor.refresh, self.conductor.fail)
        self.filter = ScanFilter(
            outfit.make_burst, self.conductor.scan, PageTypist(self.conductor, self.window.control)
        )
        self._timer = QTimer()
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self._tick)
        self._page: Page | None = None

    def open(self, first_page: Page, open_driver: Callable[[Background], Driver]) -> None:
        """Show the window with a first page; open the driver once that page is painted."""
        self.window.show_page(first_page)
        self.window.painted = lambda: self._open_driver(open_driver)
        place(self.window, self.outfit.settings.full_screen)

    def begin(self, driver: Driver) -> None:
        """Take a driver: from now on keys, scans and time go to it."""
        app = QApplication.instance()
        if app is not None:
            app.installEventFilter(self.filter)
        self.conductor.begin(driver)
        self._timer.start()

    def close(self) -> None:
        """Stop listening: no ticks, no keys, no late answers."""
        self._timer.stop()
        app = QApplication.instance()
        if app is not None:
            app.removeEventFilter(self.filter)
        self.worker.close()
        self.conductor.driver = None

    def _open_driver(self, open_driver: Callable[[Background], Driver]) -> None:
        """Bring in the heavy rooms and show what they have to show."""
        note_time("painted")
        try:
            driver = open_driver(self.worker)
        except Exception as bug:
            self.conductor.fail(bug)
            return
        self.window.painted = lambda: note_time("ready")
        self.begin(driver)
        self.window.update()

    def _tick(self) -> None:
        """Let time pass, and dress anew where the settings have changed."""
        if self.outfit.settings_now is not None:
            settings = self.outfit.settings_now()
            self.bell.on = settings.sound
            self.window.dress(settings)
        self.conductor.tick()

    def _after(self, page: Page) -> None:
        """Ring for a new page that asks for it; leave when the work is over."""
        if page.sound and page != self._page:
            self.bell.ring(page.sound)
        self._page = page
        if self.outfit.ended():
            self.close()
            QApplication.exit(0)


def place(window: Window, full_screen: bool) -> None:
    """Put the window on the screen: all of it, with or without a window manager, or a desk's window."""
    screen = window.screen().geometry()
    if full_screen:
        window.setWindowFlag(Qt.WindowType.FramelessWindowHint)
        window.setGeometry(screen)
        window.showFullScreen()
        window.setGeometry(screen)  # with no window manager nothing else makes it so
    else:
        window.resize(min(DESK_SIZE[0], screen.width()), min(DESK_SIZE[1], screen.height()))
        window.show()


def note_time(what: str) -> None:
    """Write a moment to standard error when asked to."""
    if os.environ.get("KIOSK_TIMING"):
        print("KIOSK_TIMING", what, time.monotonic_ns(), file=sys.stderr, flush=True)


def run(
    open_driver: Callable[[Background], Driver], first_page: Page, outfit: Outfit, argv: tuple[str, ...] = ()
) -> int | NoDisplay:
    """Open the window and work until the end; return the exit code, or why there can be no window."""
    nowhere = no_display(os.environ) if "-platform" not in argv else None
    if nowhere is not None:
        return nowhere
    app = QApplication.instance() or QApplication(["kiosk", *argv])
    kiosk = Kiosk(outfit)
    kiosk.open(first_page, open_driver)
    code = app.exec()
    kiosk.close()
    return code
