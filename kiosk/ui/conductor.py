"""Between window and driver: every call goes to the driver, then its page is shown. One place, no signals."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Protocol

from kiosk.pages.parts import Page
from kiosk.ui.hands import Driver


class Stage(Protocol):
    """What shows pages: the window."""

    def show_page(self, page: Page) -> None:
        """Show a page."""
        ...


class Conductor:
    """Hands on presses, scans, typing and ticks. After a bug it stops: no driver, one plain page.

    ``trouble_page`` makes that page; ``after`` is called when a page has been shown (for the bell, for
    leaving). Meets ``kiosk.ui.hands.Hands`` by shape.
    """

    def __init__(
        self, trouble_page: Callable[[BaseException], Page], after: Callable[[Page], None] = lambda page: None
    ) -> None:
        self._trouble_page, self._after = trouble_page, after
        self.driver: Driver | None = None
        self.stage: Stage | None = None
        self.stopped: BaseException | None = None

    def begin(self, driver: Driver) -> None:
        """Take a driver and show its page."""
        self.driver = driver
        self.refresh()

    def press(self, name: str) -> None:
        """A key was touched."""
        self._do(lambda driver: driver.press(name))

    def scan(self, text: str) -> None:
        """A symbol was scanned."""
        self._do(lambda driver: driver.scan(text))

    def type(self, text: str) -> None:
        """A person typed."""
        self._do(lambda driver: driver.type(text))

    def tick(self) -> None:
        """Time has passed."""
        self._do(lambda driver: driver.tick())

    def scanner(self, there: bool) -> None:
        """The scanner on a port of its own came or went."""
        self._do(lambda driver: driver.scanner(there))

    def refresh(self) -> None:
        """Show the driver's page again, after a background job."""
        self._do(lambda driver: None)

    def _do(self, act: Callable[[Driver], None]) -> None:
        """Make one call and show what follows; a bug ends the work here."""
        if self.driver is None:
            return
        try:
            act(self.driver)
            self._show(self.driver.page())
        except Exception as bug:
            self.fail(bug)

    def fail(self, bug: BaseException) -> None:
        """Stop safely: report the bug, let go of the driver, show the trouble page. No retry."""
        sys.excepthook(type(bug), bug, bug.__traceback__)
        self.stopped, self.driver = bug, None
        self._show(self._trouble_page(bug))

    def _show(self, page: Page) -> None:
        """Show a page."""
        if self.stage is not None:
            self.stage.show_page(page)
        self._after(page)
