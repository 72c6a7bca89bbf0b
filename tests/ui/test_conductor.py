"""Every call goes to the driver and then its page is shown; after a bug the machine stops safely."""

from __future__ import annotations

import sys

import pytest

from kiosk.ui.conductor import Conductor
from tests.ui.sample_pages import english, trouble
from tests.ui.small_driver import SmallDriver


class Stage:
    def __init__(self) -> None:
        self.shown = []

    def show_page(self, page) -> None:
        self.shown.append(page)


@pytest.fixture
def after():
    return []


@pytest.fixture
def conductor(after):
    made = Conductor(lambda bug: trouble(english), after.append)
    made.stage = Stage()
    return made


def test_every_call_shows_the_page_that_follows(conductor, after):
    driver = SmallDriver()
    conductor.begin(driver)
    conductor.press("digit:4")
    conductor.scan("K7704")
    conductor.type("x")
    conductor.tick()
    assert driver.calls == [("press", "digit:4"), ("scan", "K7704"), ("type", "x")]
    assert driver.ticks == 1
    assert [page.control.typed for page in conductor.stage.shown] == ["", "4", "4", "4", "4"]
    assert after == conductor.stage.shown


def test_without_a_driver_nothing_happens(conductor):
    conductor.press("digit:1")
    conductor.tick()
    assert conductor.stage.shown == []


def test_after_a_bug_the_driver_is_let_go_and_the_trouble_is_shown(conductor, monkeypatch):
    reported = []
    monkeypatch.setattr(sys, "excepthook", lambda *bug: reported.append(bug))
    driver = SmallDriver()
    conductor.begin(driver)
    driver.broken = True
    conductor.press("digit:1")
    assert conductor.stage.shown[-1].id == "trouble"
    assert str(conductor.stopped) == "a bug in the flow"
    assert reported[0][0] is RuntimeError
    conductor.press("digit:2")
    assert driver.calls == [("press", "digit:1")], "no retry"
