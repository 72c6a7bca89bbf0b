"""The driver: presses, scans, typing and ticks in; the page to show out. No widget, no rule.

It keeps what is typed but not yet committed (``Sitting``) and hands every commitment to the desk. Slow
work (a PIN, a print) goes through ``background``; tests pass one that runs it at once.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any, TypeAlias

from kiosk.core.catalogue.sign_on import SignOnFigures
from kiosk.core.findings import Level, Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.device_events import DeviceEvent
from kiosk.core.preparation.listing import as_listed
from kiosk.core.preparation.state import Preparation, Stage, stage
from kiosk.flow.desk import Declined, Desk, Done, Outcome, Stuck
from kiosk.flow.keeping import Offices
from kiosk.flow.ports import LabelPrinter, OrderBook, People, RecordTrouble, Shelf
from kiosk.flow.press_room import PressRoom
from kiosk.flow.scans import BadgeScan, ReadScan, RepeatedScan, Scan
from kiosk.pages import bench, devices, idle, keeping, scanning, signing, unread
from kiosk.pages.after import after
from kiosk.pages.compose import compose
from kiosk.pages.controls import press_number
from kiosk.pages.hold_up import beside
from kiosk.pages.live import live
from kiosk.pages.parts import Page
from kiosk.pages.view import Sitting, View
from kiosk.pages.words import Words

Background: TypeAlias = Callable[[Callable[[], Any], Callable[[Any], None]], None]


def at_once(job: Callable[[], Any], then: Callable[[Any], None]) -> None:
    """Run a slow job where it stands: for tests and for commands without a window."""
    then(job())


class Driver:
    """One counter's screen, without the screen."""

    def __init__(
        self,
        desk: Desk,
        people: People,
        orders: OrderBook,
        shelf: Shelf,
        press_room: PressRoom,
        read_scan: ReadScan,
        words: Words,
        new_code: Callable[[], str],
        offices: Offices,
        figures: SignOnFigures,
        background: Background = at_once,
    ) -> None:
        self.desk = desk
        self.people = people
        self.orders = orders
        self.shelf = shelf
        self.press_room = press_room
        self.words = words
        self.new_code = new_code
        self.offices = offices
        self.figures = figures
        self._background = background
        self.dark = False
        self.sitting = Sitting()
        self.owed: list[tuple[str, str]] = []
        self.try_after: timedelta | None = None
        self.hands: tuple[datetime, timedelta] | None = None
        self.untold: list[DeviceEvent] = []
        self.scanner_there = True
        self.closable, self.over = False, False
        self._read_scan = read_scan
        self.changed: Callable[[], None] = lambda: None

    @property
    def printer(self) -> LabelPrinter:
        """The label printer of this counter."""
        return self.press_room.printer

    # -- looking -------------------------------------------------------------------------------

    def state(self) -> Preparation | None:
        """Return the syringe on the screen, if there is one."""
        return self.desk.state(self.sitting.preparation) if self.sitting.preparation else None

    def here(self) -> Stage | None:
        """Return its stage."""
        state = self.state()
        return stage(state) if state else None

    def view(self) -> View:
        """Return the frozen look at things from which the page follows."""
        state, now, sitting = self.state(), self.desk.now(), self.sitting
        elsewhere = sitting.locked or sitting.badge or sitting.trouble or sitting.keeping or sitting.order
        listed = sitting.person is not None and state is None and not elsewhere
        names = self.desk.rules.listed
        due = tuple(as_listed(order, names, now) for order in self.orders.due(now)) if listed else ()
        left = self.desk.left_by_others(self.sitting.person.id) if listed and self.sitting.person else ()
        near = beside(self) if state is not None and stage(state) is Stage.STOCK else ()
        said = devices.said(self)
        return View(self.words, now, self.desk.rules, self.sitting, state, due, said, left, near)

    def read(self, text: str) -> Scan | Refusal:
        """Return what a scanned or typed code is."""
        return self._read_scan(text, self.desk.now())

    def page(self) -> Page:
        """Return the page to show now; ``dark`` says whether it is that of a record that cannot be read."""
        try:
            made, self.dark = compose(self), False
        except RecordTrouble as trouble:
            made, self.dark = unread.unread(self, trouble), True
        return made

    def background(self, job: Callable[[], Any], then: Callable[[Any], None]) -> None:
        """Run a slow job off the interface thread; what follows its answer may meet a record in trouble."""

        def answered(answer: Any) -> None:
            with unread.told(self):
                then(answer)

        self._background(job, answered)

    # -- acting --------------------------------------------------------------------------------

    def act(self, action: a.Action) -> Outcome:
        """Hand one action on the open syringe to the desk and note what came of it."""
        return self.note(self.desk.act(self.sitting.preparation, action))

    def note(self, outcome: Outcome) -> Outcome:
        """Take an outcome on board: clear the pad when it happened, show why when it did not."""
        sitting = self.sitting
        sitting.typed, sitting.trouble = "", ""
        match outcome:
            case Done():
                sitting.cards, sitting.sound = (), "accepted"
                sitting.since = self.desk.now()
            case Declined(refusal):
                self.refuse(refusal)
            case Stuck(code):
                sitting.trouble, sitting.sound = code, "refused"
        return outcome

    def refuse(self, refusal: Refusal) -> None:
        """Show a refusal on the page as it stands."""
        self.sitting.cards = (self.words.refusal(refusal),)
        if refusal.level is Level.CAUTION:
            self.sitting.heard = self.words.say("heard.again")
        self.sitting.sound = "refused"

    # -- what comes in -------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Take a key by its name. A key that is not on the page does nothing."""
        idle.touch(self)
        if (self.dark or not self.sitting.keeping) and name not in live(self.page()):
            return
        self.sitting.heard = ""
        with unread.told(self):
            self._press(name)
        self.changed()

    def _press(self, name: str) -> None:
        """Take a live key to where it belongs."""
        if self.dark:
            unread.looked_again(self)
        elif self.sitting.badge:
            signing.press(self, name)
        elif self.sitting.locked:
            return
        elif self.sitting.trouble:
            self._press_in_trouble(name)
        elif self.sitting.keeping:
            keeping.press(self, name)
        elif name in ("point", "erase") or name.startswith("digit:"):
            self.sitting.typed = press_number(self.sitting.typed, name)
        else:
            bench.press(self, name)

    def _press_in_trouble(self, name: str) -> None:
        """While the record cannot be written the only way on is to try the same entry again."""
        if name != "retry":
            return
        outcome = self.desk.retry()
        self.sitting.trouble = ""
        if outcome is not None:
            self.note(outcome)
            after(self, outcome)

    def scan(self, text: str) -> None:
        """Take a scanned symbol, whatever page is on: it goes where it belongs and says what it was.

        The same symbol again within the time one trigger takes changes nothing: it is no answer.
        """
        found = self.read(text)
        if isinstance(found, RepeatedScan):
            return
        idle.touch(self)
        self.sitting.heard = ""
        with unread.told(self):
            self._scan(found)
        self.changed()

    def _is_dark(self) -> bool:
        """Say whether the record still cannot be read, where it could not when the page was made."""
        if self.dark:
            self.page()
        return self.dark

    def _scan(self, found: Scan | Refusal) -> None:
        """Take what was scanned to where it belongs."""
        if self._is_dark():
            unread.not_taken(self)
        elif isinstance(found, Refusal):
            self.refuse(found)
        elif self.sitting.keeping and not self.sitting.locked:
            keeping.scan(self, found)
        elif isinstance(found, BadgeScan):
            signing.badge(self, found.badge)
        elif self.sitting.locked:
            self.refuse(Refusal("screen_locked"))
        elif not self.sitting.trouble and not self.sitting.badge:
            scanning.scan(self, found)

    def type(self, text: str) -> None:
        """Take what was typed or dragged: digits, a point, a backspace, or ``mm:12.5`` from the setter."""
        sitting = self.sitting
        hidden = sitting.locked or sitting.badge or self.dark
        if text.startswith("mm:"):
            if not hidden:
                bench.drag(self, text.removeprefix("mm:"))
            idle.touch(self)
            self.changed()
            return
        if sitting.keeping and not hidden:
            with unread.told(self):
                keeping.typed(self, text)
            self.changed()
            return
        keys = {".": "point", ",": "point", "\b": "erase", "\n": "commit"}
        for character in text:
            name = keys.get(character) or (f"digit:{character}" if character.isdigit() else "")
            if name:
                self.press(name)

    def tick(self) -> None:
        """Let time show: clocks, timed steps, a screen left alone."""
        idle.tick(self)
        devices.tell(self)
        self.changed()

    def scanner(self, there: bool) -> None:
        """Take that the scanner on a port of its own came or went: said in the foot, put on record."""
        devices.scanner(self, there)
        self.changed()
