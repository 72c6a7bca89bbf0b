"""A scanner on a serial port at the real window: scans go where they belong, and nowhere else.

The port is a real pseudo terminal; the window, the driver and the record are those of the counter.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEventLoop, QTimer

from kiosk.core.label.code import Kind, printed_code
from kiosk.core.preparation.device_events import ScannerBack, ScannerGone
from kiosk.feeds.pack_code import code_of
from kiosk.hardware.clock import SetClock
from kiosk.hardware.serial_port import SerialScanner
from kiosk.pages.live import keys_of
from kiosk.pages.parts import NumberEntry
from kiosk.store.opening import Store
from kiosk.tables.resources import resources
from kiosk.tables.words import words
from kiosk.ui.settings import Settings
from kiosk.ui.walk import Walk, offscreen
from kiosk.wiring.counter import open_driver
from kiosk.wiring.window import outfit, scanner_at
from tests.counter import NOW, container, ward
from tests.journeys.counters import fresh, opened_store
from tests.journeys.windows import SIZE

PATIENCE_MS = 20_000


class Counter:
    """The window with a scanner at the end of a wire."""

    def __init__(self, walk: Walk, store: Store, clock: SetClock, port: Path) -> None:
        self.walk, self.store, self.clock, self._port = walk, store, clock, port
        self._wire = -1

    def plug_in(self) -> None:
        self._wire, far_end = os.openpty()
        self._port.symlink_to(os.ttyname(far_end))
        os.close(far_end)

    def unplug(self) -> None:
        self._port.unlink()
        os.close(self._wire)

    def sends(self, text: str) -> None:
        os.write(self._wire, f"{text}\r".encode("ascii"))

    def until(self, met: Callable[[], bool]) -> None:
        guard = QTimer()
        guard.setSingleShot(True)
        guard.start(PATIENCE_MS)
        while not met():
            self.walk.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
            assert guard.isActive(), f"waited in vain on {self.walk.page.id}: {self.walk.page.heard}"
        self.walk.settle()

    def on(self, page: str) -> None:
        self.until(lambda: self.walk.page.id == page)

    @property
    def foot(self) -> tuple[str, ...]:
        return self.walk.page.foot.devices if self.walk.page.foot else ()

    def sign_on(self, person: str) -> None:
        one = next(one for one in ward().staff if one.person.id == person)
        self.sends(one.badge)
        self.on("pin")
        self.walk.press(*(f"digit:{digit}" for digit in one.pin), "commit")
        self.on("due")


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    clock, home, port = SetClock(NOW), fresh(tmp_path), tmp_path / "scanner"
    store = opened_store(home)
    settings = Settings(motion=False, sound=False, full_screen=False)
    dress = outfit(resources(), dict(words("en")), settings, may_close=True, port=(str(port), 9600))
    walk = Walk(dress, SIZE, offscreen(*SIZE, tmp_path))
    made = Counter(walk, store, clock, port)
    made.plug_in()
    walk.begin(lambda background: open_driver(store, home, "en", clock, background))
    yield made
    walk.close()
    store.close()


def test_a_badge_an_order_and_a_vial_are_scanned_over_the_wire(counter: Counter) -> None:
    counter.sign_on("N01")
    counter.walk.press("order:O02")
    counter.on("order")
    counter.walk.press("take-up")
    counter.on("stock")
    counter.sends(printed_code(Kind.CONTAINER, "C053"))
    counter.on("volume")


def test_a_scan_over_the_wire_is_never_typed_into_the_field_that_is_on(counter: Counter) -> None:
    counter.sign_on("N01")
    counter.walk.press("order:O02", "take-up")
    counter.on("stock")
    counter.sends(printed_code(Kind.CONTAINER, "C053"))
    counter.on("volume")
    counter.walk.press("digit:2")
    counter.sends("09520000100018")
    counter.until(lambda: bool(counter.walk.page.findings))
    entry = counter.walk.page.control
    assert isinstance(entry, NumberEntry)
    assert entry.typed == "2"


def test_the_same_symbol_again_within_a_second_counts_for_nothing(counter: Counter) -> None:
    counter.sign_on("N01")
    counter.walk.press("order:O02", "take-up")
    counter.on("stock")
    sealed = code_of(container("C054"))  # an open vial stands beside it: scanned again it would be meant
    counter.sends(sealed)
    counter.until(lambda: bool(counter.walk.page.findings))
    counter.sends(sealed)  # the trigger fired twice
    counter.sends("09520000100019")  # heard after it by the same wire; its last digit is wrong
    counter.until(lambda: "does not add up" in counter.walk.page.findings[0].what)
    assert counter.walk.page.id == "stock"


def test_unplugged_it_is_said_recorded_and_stands_in_the_foot_until_it_is_back(counter: Counter) -> None:
    counter.sign_on("N01")
    assert "Scanner ready" in counter.foot
    counter.unplug()
    counter.until(lambda: "Scanner not connected" in counter.foot)
    assert counter.walk.page.heard == "The scanner is not connected. Go on by hand, or plug it in again."
    assert counter.walk.page.id == "due"
    counter.walk.press("order:O02", "take-up")
    counter.on("stock")
    assert "by-hand" in {key.name for key in keys_of(counter.walk.page)}
    assert "Scanner not connected" in counter.foot
    counter.plug_in()
    counter.until(lambda: "Scanner ready" in counter.foot)
    assert counter.walk.page.heard == "The scanner is connected again."
    counter.sends(printed_code(Kind.CONTAINER, "C053"))
    counter.on("volume")
    told = [entry.event for entry in counter.store.ledger.house_events()]
    assert [one for one in told if isinstance(one, ScannerGone | ScannerBack)] == [
        ScannerGone(),
        ScannerBack(),
    ]


def test_a_window_without_a_port_of_its_own_has_no_such_door() -> None:
    dress = outfit(resources(), dict(words("en")), Settings(), may_close=True)
    assert dress.scanner is None
    made = replace(dress, scanner=scanner_at("/dev/none", 9600)).scanner
    assert made is not None
    assert isinstance(made(lambda _: None, lambda _: None), SerialScanner)
