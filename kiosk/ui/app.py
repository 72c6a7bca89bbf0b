"""The kiosk at work in its window: driver, keyboard, time and background jobs, put together.

With ``KIOSK_TIMING=1`` in the environment three lines go to standard error on the machine's monotonic clock:
``KIOSK_TIMING painted <ns>`` when the first paint was done, ``ready`` when the first page of the driver had
been painted and could be touched, ``settled`` when the first background jobs had all come back.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from kiosk.pages.parts import Page
from kiosk.ui.bell import Bell
from kiosk.ui.conductor import Conductor
from kiosk.ui.hands import Background, Driver, Say
from kiosk.ui.libraries import NoDisplay, no_display
from kiosk.ui.scan_filter import MakeBurst, ScanFilter
from kiosk.ui.scanner_door import MakeScanner, ScannerDoor
from kiosk.ui.settings import Settings
from kiosk.ui.start import Frame, note_time, place, start
from kiosk.ui.typist import PageTypist
from kiosk.ui.window import Window
from kiosk.ui.worker import Worker

TICK_MS = 250


def _never() -> bool:
    """Say no."""
    return False


@dataclass(frozen=True, slots=True)
class Outfit:
    """What the window is given besides its driver.

    ``resources`` is the folder of fonts, icons and themes; ``say`` the interface's words; ``make_burst``
    builds the wedge (``kiosk.hardware.wedge.Wedge``); ``trouble_page`` is shown after a bug; ``ended`` says,
    after each page, whether the work is over (a keeper left ward mode); ``may_close`` whether the window
    system may close the window; ``settings_now`` gives the settings in force, asked at every tick;
    ``scanner`` makes a scanner on a port of its own, where there is one.
    """

    resources: Path
    say: Say
    make_burst: MakeBurst
    trouble_page: Callable[[BaseException], Page]
    settings: Settings = field(default_factory=Settings)
    ended: Callable[[], bool] = _never
    may_close: Callable[[], bool] = _never
    settings_now: Callable[[], Settings] | None = None
    scanner: MakeScanner | None = None


class Kiosk:
    """Window, conductor, worker and filter, put together. One per process."""

    def __init__(self, outfit: Outfit) -> None:
        self.outfit = outfit
        self.bell = Bell(outfit.settings.sound)
        self.conductor = Conductor(outfit.trouble_page, self._after)
        self.window = Window(outfit.resources, self.conductor, outfit.say, outfit.settings)
        self.window.may_close = outfit.may_close
        self.conductor.stage = self.window
        self.worker = Worker(self._job_came_back, self.conductor.fail)
        self._settled = False
        self.filter = ScanFilter(
            outfit.make_burst, self.conductor.scan, PageTypist(self.conductor, self.window.control)
        )
        self.door = self._door()
        self._timer = QTimer()
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self._tick)
        self._page: Page | None = None

    def _door(self) -> ScannerDoor | None:
        """Return the door of a scanner on a port of its own; its scans go where those of the keyboard go."""
        make = self.outfit.scanner
        return ScannerDoor(make, self.conductor.scan, self.conductor.scanner) if make else None

    def open(self, first_page: Page, open_driver: Callable[[Background], Driver]) -> None:
        """Show the window with a first page; open the driver once that page is painted."""
        self.window.show_page(first_page)
        self.window.painted = lambda: self.open_driver(open_driver)
        place(self.window, self.outfit.settings.full_screen)

    def begin(self, driver: Driver) -> None:
        """Take a driver: from now on keys, scans and time go to it."""
        app = QApplication.instance()
        if app is not None:
            app.installEventFilter(self.filter)
        self.conductor.begin(driver)
        self._timer.start()
        if self.door is not None:
            self.door.open()

    def close(self) -> None:
        """Stop listening: no ticks, no keys, no late answers."""
        self._timer.stop()
        if self.door is not None:
            self.door.close()
        app = QApplication.instance()
        if app is not None:
            app.removeEventFilter(self.filter)
        self.worker.close()
        self.conductor.driver = None

    def open_driver(self, open_driver: Callable[[Background], Driver]) -> None:
        """Bring in the heavy rooms and show what they have to show."""
        try:
            driver = open_driver(self.worker)
        except Exception as bug:
            self.conductor.fail(bug)
            return
        self.window.painted = lambda: note_time("ready")
        self.begin(driver)
        self.window.update()

    def _job_came_back(self) -> None:
        """Show the page anew; note when nothing is under way for the first time."""
        self.conductor.refresh()
        if not self._settled and self.worker.under_way == 0:
            self._settled = True
            note_time("settled")

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


def occupy(frame: Frame, outfit: Outfit, open_driver: Callable[[Background], Driver]) -> Callable[[], None]:
    """Put a kiosk into a frame that has been painted, and return what is to be done at the end."""
    kiosk = Kiosk(outfit)
    frame.may_close = outfit.may_close
    frame.take(kiosk.window)
    kiosk.open_driver(open_driver)
    return kiosk.close


def run(open_driver: Callable[[Background], Driver], first_page: Page, outfit: Outfit) -> int | NoDisplay:
    """Open the window and work until the end; return the exit code, or why there can be no window."""
    nowhere = no_display(os.environ)
    if nowhere is not None:
        return nowhere
    settings = outfit.settings
    return start(
        lambda: Frame(outfit.resources, settings.theme, first_page.question, first_page.help),
        settings.full_screen,
        lambda frame: occupy(frame, outfit, open_driver),
    )
