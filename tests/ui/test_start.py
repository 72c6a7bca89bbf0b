"""The first paint: a sentence before anything else is loaded, then a body in the same window."""

from __future__ import annotations

import subprocess
import sys
import tomllib

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.tables.resources import resource
from kiosk.tables.words import languages
from kiosk.ui.start import Frame, place, plain_table, start


@pytest.fixture
def frame(qtbot, shipped):
    made = Frame(shipped, "day", "One moment", "The counter is opening.")
    qtbot.addWidget(made)
    made.resize(1280, 800)
    return made


@pytest.mark.parametrize("name", ["day", "night"])
def test_a_theme_read_plainly_has_the_colours_that_toml_reads(shipped, name):
    path = shipped / "themes" / f"{name}.toml"
    proper = tomllib.loads(path.read_text(encoding="utf-8"))
    plain = plain_table(path)
    for table in ("ground", "ink"):
        for role, colour in proper[table].items():
            assert plain[role] == colour


@pytest.mark.parametrize("language", languages())
def test_the_opening_words_read_plainly_are_those_that_toml_reads(language):
    path = resource("words", language, "opening.toml")
    assert plain_table(path) == tomllib.loads(path.read_text(encoding="utf-8"))["opening"]


def test_the_sentence_is_painted_and_said_once(qtbot, frame):
    seen = []
    frame.painted = lambda: seen.append(1)
    frame.show()
    qtbot.waitUntil(lambda: seen == [1])
    frame.update()
    QApplication.processEvents()
    assert seen == [1]
    image = frame.grab().toImage()
    ink = QColor(frame._inks["ink"]).name()
    assert any(image.pixelColor(x, y).name() == ink for x in range(100, 500) for y in range(160, 215))
    assert frame.accessibleName() == "One moment"


def test_a_body_takes_the_whole_window_and_follows_its_size(qtbot, frame):
    frame.show()
    body = QWidget()
    frame.take(body)
    assert body.parent() is frame
    frame.resize(800, 1280)
    qtbot.waitUntil(lambda: body.size() == frame.size())


def test_the_window_closes_only_when_it_may(qtbot, frame):
    frame.show()
    frame.may_close = lambda: False
    assert not frame.close()
    frame.may_close = lambda: True
    assert frame.close()


def test_the_kiosk_takes_the_whole_screen(qtbot, frame):
    place(frame, full_screen=True)
    assert frame.geometry() == frame.screen().geometry()


def test_the_work_begins_after_the_paint_and_ends_with_the_program(qtbot, frame):
    done = []

    def work(window: Frame):
        done.append("begun" if window.isVisible() else "too early")
        QApplication.exit(0)
        return lambda: done.append("ended")

    assert start(lambda: frame, False, work) == 0
    assert done == ["begun", "ended"]


def test_work_that_cannot_begin_ends_the_program_and_is_reported(qtbot, frame, monkeypatch):
    reported = []
    monkeypatch.setattr(sys, "excepthook", lambda *bug: reported.append(str(bug[1])))

    def work(window: Frame):
        raise OSError("no disk")

    assert start(lambda: frame, False, work) == 3
    assert reported == ["no disk"]


def test_nothing_is_loaded_for_the_first_paint_but_the_window():
    heavy = ["tomllib", "json", "kiosk.pages.parts", "kiosk.ui.shell", "decimal", "pint", "sqlalchemy"]
    code = f"import sys, kiosk.ui.start; print([m for m in {heavy!r} if m in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
