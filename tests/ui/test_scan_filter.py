"""The keyboard's door with real key events: bursts go to the driver, figures to the pad, never mixed."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.hardware.wedge import GAP_MS, Wedge
from kiosk.ui.scan_filter import ScanFilter, character_of

NONE = Qt.KeyboardModifier.NoModifier


class Ears:
    """A typist that remembers."""

    def __init__(self) -> None:
        self.heard: list[Any] = []

    def scan(self, text: str) -> None:
        self.heard.append(("scan", text))

    def character(self, text: str, repeats: bool) -> None:
        self.heard.append(("repeat" if repeats else "typed", text))

    def backspace(self) -> None:
        self.heard.append("backspace")

    def steer(self, key: Qt.Key) -> None:
        self.heard.append(key)


@pytest.fixture
def ears():
    return Ears()


@pytest.fixture
def field(qtbot, ears):
    """A window with the filter on the application, as in the kiosk."""
    widget = QWidget()
    qtbot.addWidget(widget)
    widget.show()
    door = ScanFilter(Wedge, ears.scan, ears)
    QApplication.instance().installEventFilter(door)
    yield widget
    QApplication.instance().removeEventFilter(door)


def strike(widget, text, at_ms, key=0, modifiers=NONE, repeats=False, kind=QEvent.Type.KeyPress):
    event = QKeyEvent(kind, key, modifiers, text, repeats)
    event.setTimestamp(at_ms)
    return QApplication.sendEvent(widget, event)


def burst(widget, text, start=1000, every=5):
    for n, character in enumerate(text):
        strike(widget, character, start + n * every, key=ord(character.upper()))
    strike(widget, "\r", start + len(text) * every, key=Qt.Key.Key_Return)


def test_a_burst_is_one_scan_and_nothing_of_it_is_typed(field, ears):
    burst(field, "0109501101530003")
    assert ears.heard == [("scan", "0109501101530003")]


def test_a_person_who_types_keeps_every_stroke(qtbot, field, ears):
    for n, character in enumerate("12.5"):
        strike(field, character, 1000 + 140 * n)
    strike(field, "\r", 1700, key=Qt.Key.Key_Enter)
    assert ears.heard == [("typed", "1"), ("typed", "2"), ("typed", "."), ("typed", "5"), ("typed", "\n")]


def test_strokes_handled_late_but_made_slowly_are_still_typing(field, ears):
    """The interface was busy: five strokes made 120 ms apart are handled in one go."""
    for n, character in enumerate("1250"):
        strike(field, character, 5000 + 120 * n)
    strike(field, "\r", 5480, key=Qt.Key.Key_Return)
    assert [kind for kind, _ in ears.heard] == ["typed"] * 5


def test_a_single_digit_comes_through_by_itself(qtbot, field, ears):
    strike(field, "7", 1000)
    assert ears.heard == []
    qtbot.waitUntil(lambda: ears.heard == [("typed", "7")], timeout=20 * GAP_MS)


def test_the_group_separator_comes_as_itself_and_as_control_bracket(field, ears):
    for n, stroke in enumerate("10K77"):
        strike(field, stroke, 1000 + 4 * n)
    strike(field, "\x1d", 1020, key=Qt.Key.Key_BracketRight, modifiers=Qt.KeyboardModifier.ControlModifier)
    strike(field, "1", 1024)
    strike(field, "", 1028, key=Qt.Key.Key_BracketRight, modifiers=Qt.KeyboardModifier.ControlModifier)
    strike(field, "\r", 1032, key=Qt.Key.Key_Return)
    assert ears.heard == [("scan", "10K77\x1d1\x1d")]


def test_capitals_do_not_break_a_scan(field, ears):
    """A scanner presses Shift for capitals; that stroke has no character."""
    at = 1000
    for character in "AbCd9":
        if character.isupper():
            strike(field, "", at, key=Qt.Key.Key_Shift, modifiers=Qt.KeyboardModifier.ShiftModifier)
        strike(field, character, at + 1)
        at += 5
    strike(field, "\r", at, key=Qt.Key.Key_Return)
    assert ears.heard == [("scan", "AbCd9")]


def test_a_key_held_down_is_marked_as_repeating(field, ears):
    strike(field, "1", 1000)
    strike(field, "1", 1030, repeats=True)
    assert ears.heard == [("typed", "1"), ("repeat", "1")]


def test_backspace_and_arrows_come_after_what_was_typed_before(field, ears):
    strike(field, "1", 1000)
    strike(field, "\b", 1010, key=Qt.Key.Key_Backspace)
    strike(field, "", 1500, key=Qt.Key.Key_Down)
    assert ears.heard == [("typed", "1"), "backspace", Qt.Key.Key_Down]


def test_a_scan_is_never_typed_into_a_field(qtbot, field, ears):
    class Field(QWidget):
        """A widget that would take any stroke."""

        def __init__(self, parent: QWidget) -> None:
            super().__init__(parent)
            self.taken: list[str] = []

        def keyPressEvent(self, event: QKeyEvent) -> None:
            self.taken.append(event.text())

    inner = Field(field)
    inner.show()
    burst(inner, "STAFF0042")
    strike(inner, "1", 9000)
    strike(inner, "", 9500, key=Qt.Key.Key_Tab)
    assert inner.taken in ([], [""]), "only Tab is left to Qt"
    assert ears.heard == [("scan", "STAFF0042"), ("typed", "1")]


def test_control_letters_are_nobodys(field, ears):
    strike(field, "\x03", 1000, key=Qt.Key.Key_C, modifiers=Qt.KeyboardModifier.ControlModifier)
    assert ears.heard == []


def test_releases_of_what_was_taken_are_taken_too(field, ears):
    class Witness(QObject):
        def __init__(self) -> None:
            super().__init__()
            self.seen = 0

        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            self.seen += event.type() == QEvent.Type.KeyRelease
            return False

    witness = Witness()
    field.installEventFilter(witness)
    strike(field, "1", 1000, kind=QEvent.Type.KeyRelease)
    strike(field, "", 1000, key=Qt.Key.Key_Up, kind=QEvent.Type.KeyRelease)
    assert witness.seen == 0
    strike(field, "", 1000, key=Qt.Key.Key_Tab, kind=QEvent.Type.KeyRelease)
    assert witness.seen == 1


def test_a_late_timer_looks_at_waiting_strokes_first(qtbot, ears, monkeypatch):
    """The interface was busy for longer than the gap: the run is not ended before the queue was read."""
    from kiosk.ui import scan_filter

    clock = [1000]
    monkeypatch.setattr(scan_filter, "now_ms", lambda: clock[0])
    door = ScanFilter(Wedge, ears.scan, ears)
    for n, character in enumerate("ABCD"):
        event = QKeyEvent(QEvent.Type.KeyPress, ord(character), NONE, character)
        event.setTimestamp(1000 + 5 * n)
        door.eventFilter(door, event)
    clock[0] = 1400
    door._waited()
    assert ears.heard == []
    enter = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Return, NONE, "\r")
    enter.setTimestamp(1020)
    door.eventFilter(door, enter)
    assert ears.heard == [("scan", "ABCD")]


@pytest.mark.parametrize(
    ("key", "text", "modifiers", "character"),
    [
        (Qt.Key.Key_A, "a", NONE, "a"),
        (Qt.Key.Key_Enter, "\r", NONE, "\r"),
        (Qt.Key.Key_BracketRight, "]", NONE, "]"),
        (Qt.Key.Key_Escape, "\x1b", NONE, ""),
        (Qt.Key.Key_F1, "", NONE, ""),
    ],
)
def test_what_a_stroke_stands_for(qapp, key, text, modifiers, character):
    assert character_of(QKeyEvent(QEvent.Type.KeyPress, key, modifiers, text)) == character
