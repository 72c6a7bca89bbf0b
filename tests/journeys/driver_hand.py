"""A hand that speaks to the driver alone: whole journeys in milliseconds, without a window."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pypdfium2
import zxingcpp

from kiosk.hardware.clock import SetClock
from kiosk.pages.driver import Driver
from kiosk.pages.parts import Key, Page


def keys_of(value: Any) -> Iterator[Key]:
    """Yield every key anywhere on a page."""
    if isinstance(value, Key):
        yield value
    elif is_dataclass(value):
        for field in fields(value):
            yield from keys_of(getattr(value, field.name))
    elif isinstance(value, tuple):
        for one in value:
            yield from keys_of(one)


def read_label(pdf: Path) -> str:
    """Return what a scanner reads off a printed label, rendered at 203 dpi."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        image = document[0].render(scale=203 / 72).to_pil().convert("L")
    finally:
        document.close()
    (found,) = zxingcpp.read_barcodes(image)
    return str(found.text)


class DriverHand:
    """Presses only live keys that are on the page, as a finger would."""

    def __init__(self, driver: Driver, clock: SetClock, labels: Path) -> None:
        self.driver = driver
        self.clock = clock
        self.labels = labels
        self.looked: list[tuple[str, Page]] = []

    def page(self) -> Page:
        return self.driver.page()

    def press(self, name: str) -> None:
        live = {key.name for key in keys_of(self.page()) if key.enabled}
        assert name in live, f"{name} is not on {self.page().id}: {sorted(live)}"
        self.driver.press(name)

    def scan(self, text: str) -> None:
        self.driver.scan(text)

    def wait(self, page: str) -> Page:
        now = self.page()
        assert now.id == page, f"{now.id} is on, not {page}: {[c.what for c in now.findings]}"
        return now

    def pass_time(self, seconds: int) -> None:
        self.clock.move(timedelta(seconds=seconds))

    def label_code(self) -> str:
        return read_label(self._newest())

    def label_text(self) -> str:
        """Every word of the newest label, its lines joined by blanks."""
        document = pypdfium2.PdfDocument(self._newest())
        try:
            text: str = document[0].get_textpage().get_text_range()
        finally:
            document.close()
        return " ".join(text.split())

    def _newest(self) -> Path:
        return max(self.labels.glob("*.pdf"), key=lambda path: path.stat().st_mtime_ns)

    def look(self, caption: str) -> None:
        self.looked.append((caption, self.page()))
