"""The porter: nobody waits at the door, and nothing scanned or typed there is lost."""

from __future__ import annotations

from dataclasses import replace

from kiosk.pages.parts import Page, PinEntry, ScanWanted
from kiosk.pages.porter import Porter
from kiosk.tables.words import words


class Heard:
    """A driver that only remembers what it was handed."""

    def __init__(self) -> None:
        self.heard: list[tuple[str, str]] = []

    def page(self) -> Page:
        return replace(Porter(words("en")).page(), id="behind")

    def press(self, name: str) -> None:
        self.heard.append(("press", name))

    def scan(self, text: str) -> None:
        self.heard.append(("scan", text))

    def type(self, text: str) -> None:
        self.heard.append(("type", text))

    def tick(self) -> None:
        self.heard.append(("tick", ""))


def test_at_first_a_badge_is_wanted() -> None:
    page = Porter(words("en")).page()
    assert page.id == "door"
    assert isinstance(page.control, ScanWanted)


def test_a_badge_brings_the_pin_pad_which_counts_digits_and_shows_none() -> None:
    porter = Porter(words("fr"))
    porter.scan("PB1N01L")
    porter.type("48")
    porter.press("digit:1")
    porter.press("erase")
    page = porter.page()
    assert isinstance(page.control, PinEntry)
    assert page.control.filled == 2
    assert not page.control.commit.enabled
    assert "4" not in page.control.person


def test_what_was_scanned_and_typed_is_handed_over_in_order() -> None:
    porter, driver = Porter(words("en")), Heard()
    porter.scan("PB1N01L")
    for digit in "4813":
        porter.press(f"digit:{digit}")
    porter.press("commit")
    assert isinstance(porter.page().control, PinEntry)
    assert porter.page().control.busy  # type: ignore[union-attr]
    porter.let_in(driver)
    presses = [("press", f"digit:{d}") for d in "4813"]
    assert driver.heard == [("scan", "PB1N01L"), *presses, ("press", "commit")]
    assert porter.page().id == "behind"


def test_another_badge_starts_the_pin_afresh() -> None:
    porter, driver = Porter(words("en")), Heard()
    porter.scan("PB1N01L")
    porter.press("digit:4")
    porter.scan("PB1N02J")
    porter.let_in(driver)
    assert driver.heard == [("scan", "PB1N02J")]


def test_back_at_the_door_nothing_is_kept() -> None:
    porter, driver = Porter(words("en")), Heard()
    porter.scan("PB1N01L")
    porter.press("digit:4")
    porter.press("back")
    assert porter.page().id == "door"
    porter.let_in(driver)
    assert driver.heard == []


def test_once_the_driver_is_there_everything_goes_through() -> None:
    porter, driver = Porter(words("en")), Heard()
    porter.let_in(driver)
    porter.press("order:O01")
    porter.scan("X")
    porter.type("mm:3")
    porter.tick()
    assert driver.heard == [("press", "order:O01"), ("scan", "X"), ("type", "mm:3"), ("tick", "")]
