"""A driver small enough to read: it types a figure, hears scans, and can be told to misbehave."""

from __future__ import annotations

from dataclasses import replace

from kiosk.pages.parts import Page, ScanWanted
from tests.ui.sample_pages import english, stock, volume


class SmallDriver:
    """Holds a typed figure on a real volume page."""

    def __init__(self) -> None:
        self.typed = ""
        self.calls: list[tuple[str, str]] = []
        self.ticks = 0
        self.broken = False
        self.scanning = False
        self.sound = ""

    def page(self) -> Page:
        if self.scanning:
            return stock(english)
        return replace(volume(english, self.typed), sound=self.sound)

    def press(self, name: str) -> None:
        self.calls.append(("press", name))
        if self.broken:
            raise RuntimeError("a bug in the flow")
        kind, _, digit = name.partition(":")
        if kind == "digit":
            self.typed += digit
        elif name == "point":
            self.typed += "."
        elif name == "erase":
            self.typed = self.typed[:-1]

    def scan(self, text: str) -> None:
        self.calls.append(("scan", text))

    def type(self, text: str) -> None:
        self.calls.append(("type", text))

    def tick(self) -> None:
        self.ticks += 1

    def scanner(self, there: bool) -> None:
        self.calls.append(("scanner", "there" if there else "gone"))


def is_scan_page(page: Page) -> bool:
    return isinstance(page.control, ScanWanted)
