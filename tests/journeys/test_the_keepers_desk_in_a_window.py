"""The keeper's desk by real clicks and real keystrokes in a window: a person taken on, a record read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.core.catalogue.drug_list import in_force
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Page
from kiosk.store.opening import Store
from kiosk.tables.resources import resources
from kiosk.tables.words import words
from kiosk.ui.settings import Settings
from kiosk.ui.walk import Walk
from kiosk.wiring.counter import open_driver
from kiosk.wiring.window import outfit
from tests.counter import NOW
from tests.journeys.counters import fresh, opened_store
from tests.journeys.keeper import badge

SIZES = {"landscape": (1280, 800), "portrait": (800, 1280)}


class Mouse:
    """Clicks the middle of keys and types on a keyboard, as a person would."""

    def __init__(self, walk: Walk, store: Store) -> None:
        self.walk, self.store = walk, store

    @property
    def page(self) -> Page:
        return self.walk.page

    def click(self, *names: str) -> None:
        for name in names:
            QTest.mouseClick(self.walk.key(name), Qt.MouseButton.LeftButton)
            self.walk.settle()

    def pin(self, digits: str) -> None:
        self.click(*(f"digit:{digit}" for digit in digits), "commit")

    def keys(self, text: str) -> None:
        """Real keystrokes, slow enough to be a person's: each is given back before the next comes."""
        for letter in text:
            QTest.keyClick(self.walk.kiosk.window, letter)
            self.walk.kiosk.filter._waited()
            self.walk.settle()


@pytest.fixture(params=sorted(SIZES))
def mouse(request: pytest.FixtureRequest, tmp_path: Path, qapp: QApplication) -> Iterator[Mouse]:
    home, clock = fresh(tmp_path), SetClock(NOW)
    store = opened_store(home)
    quiet = Settings(motion=False, sound=False, full_screen=False)
    walk = Walk(outfit(resources(), dict(words("en")), quiet, may_close=True), SIZES[request.param])
    walk.begin(lambda background: open_driver(store, home, "en", clock, background))
    made = Mouse(walk, store)
    walk.scan(badge("K01"))
    made.pin("5342")
    made.click("keepers-desk")
    yield made
    walk.close()
    store.close()


def test_somebody_is_taken_on_by_touch(mouse: Mouse) -> None:
    mouse.click("room:staff", "take-on")
    mouse.walk.scan(badge("ADA1"))
    mouse.click("letter:A", "letter:d", "letter:a", "letter: ", "letter:F", "letter:o", "letter:x", "commit")
    assert mouse.page.id == "keeping-initials"
    mouse.click("commit", "role:preparer", "keep")
    mouse.pin("2580")
    mouse.pin("2580")
    assert mouse.page.id == "keeping-staff"
    assert "Ada Fox" in {person.name for person in mouse.store.people.everybody()}


def test_a_name_is_typed_on_a_real_keyboard(mouse: Mouse) -> None:
    mouse.click("room:record", "by-patient")
    mouse.keys("wren")
    assert mouse.page.control.typed == "Wren"  # type: ignore[union-attr]
    QTest.keyClick(mouse.walk.kiosk.window, Qt.Key.Key_Backspace)
    assert mouse.page.control.typed == "Wre"  # type: ignore[union-attr]


def test_an_entry_of_the_drug_list_is_changed_by_touch_and_signed_by_two(mouse: Mouse) -> None:
    mouse.click("room:drugs", "drug:atropine", "change", "alert", "propose", "from:today")
    mouse.click("proposed", "sign", "second")
    mouse.walk.scan(badge("K02"))
    mouse.pin("6098")
    assert mouse.page.id == "keeping-drug-signing"
    mouse.click("sign")
    versions = mouse.store.drugs.versions("atropine")
    now = in_force(versions, NOW.date())
    assert now is not None
    assert (now.number, now.drug.high_alert, now.signed) == (2, True, ("K01", "K02"))


def test_every_key_of_the_desk_can_be_touched(mouse: Mouse) -> None:
    """At least 20 mm either way on the panel (Colle & Hiszem 2004): keys of the desk and its keyboard."""
    looked = 0
    for way in ("room:record", "by-lot"):
        mouse.click(way)
        shell = mouse.walk.kiosk.window.shell
        assert shell is not None
        least = shell.look.mm(20) - 1.5
        for key in mouse.walk.kiosk.window.findChildren(type(mouse.walk.key("back"))):
            if key.isVisible():
                assert key.width() >= least, key.objectName()
                assert key.height() >= least, key.objectName()
                looked += 1
    assert looked > 30
