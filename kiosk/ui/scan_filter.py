"""The keyboard's one door: sorts keystrokes into scans and typing before any widget sees them.

Timing is decided by a wedge (``kiosk.hardware.wedge.Wedge``, met here by shape). A stroke's own time stamp is
used, not the time of its handling, so that a busy moment cannot squeeze typing into a burst.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, Protocol, TypeAlias

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent

GROUP_SEPARATOR = "\x1d"
LATE_MS = 20
ENTERS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
STEERING = (
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_PageUp,
    Qt.Key.Key_PageDown,
)


class Typed(Protocol):
    """One stroke given back as a person's."""

    @property
    def text(self) -> str:
        """The character."""
        ...


class Burst(Protocol):
    """Tells bursts from typing by time alone."""

    gap_ms: int

    @property
    def holding(self) -> bool:
        """Strokes are held back."""
        ...

    def stroke(self, text: str, at_ms: int, mark: object = None, repeats: bool = False) -> None:
        """Take one stroke."""
        ...

    def give_up(self) -> None:
        """End the run: it was no whole scan."""
        ...


MakeBurst: TypeAlias = Callable[[Callable[[str], None], Callable[[Any], None]], Burst]


class Typist(Protocol):
    """Takes what people type."""

    def character(self, text: str, repeats: bool) -> None:
        """Take a character, Enter as ``\\n``."""
        ...

    def backspace(self) -> None:
        """Take a Backspace."""
        ...

    def steer(self, key: Qt.Key) -> None:
        """Take an arrow or page key."""
        ...


class ScanFilter(QObject):
    """An event filter for the whole application."""

    def __init__(self, make_burst: MakeBurst, on_scan: Callable[[str], None], typist: Typist) -> None:
        super().__init__()
        self._typist = typist
        self._burst = make_burst(on_scan, self._typed)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._waited)
        self._due_ms = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take every keystroke but Tab; say that it is dealt with."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            return self._pressed(event)
        if event.type() == QEvent.Type.KeyRelease and isinstance(event, QKeyEvent):
            return bool(character_of(event)) or event.key() in (*STEERING, Qt.Key.Key_Backspace)
        return False

    def _pressed(self, event: QKeyEvent) -> bool:
        """Deal with one keystroke; modifiers alone and Tab are left to Qt."""
        text = character_of(event)
        if text:
            at = event.timestamp() or now_ms()
            self._burst.stroke(text, at, repeats=event.isAutoRepeat())
            self._await()
            return True
        if event.key() in (Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_AltGr):
            return False
        self._burst.give_up()
        if event.key() == Qt.Key.Key_Backspace:
            self._typist.backspace()
        elif event.key() in STEERING:
            self._typist.steer(Qt.Key(event.key()))
        else:
            return event.key() not in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
        return True

    def _await(self) -> None:
        """Wait for the next stroke as long as a scanner may take."""
        if self._burst.holding:
            self._due_ms = now_ms() + self._burst.gap_ms + 1
            self._timer.start(self._burst.gap_ms + 1)
        else:
            self._timer.stop()

    def _waited(self) -> None:
        """End the run; but if this comes late, strokes may be waiting behind it: look at them first."""
        if now_ms() - self._due_ms > LATE_MS:
            self._await()
            return
        self._burst.give_up()

    def _typed(self, stroke: Any) -> None:
        """Give a person's stroke to the typist."""
        text = "\n" if stroke.text == "\r" else stroke.text
        self._typist.character(text, stroke.repeats)


def character_of(event: QKeyEvent) -> str:
    """Return the character a stroke stands for: Enter as ``\\r``, Ctrl and ] as the group separator."""
    if event.key() in ENTERS:
        return "\r"
    control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
    if event.text() == GROUP_SEPARATOR or (control and event.key() == Qt.Key.Key_BracketRight):
        return GROUP_SEPARATOR
    return event.text() if event.text().isprintable() and not control else ""


def now_ms() -> int:
    """Return a steady time in milliseconds."""
    return time.monotonic_ns() // 1_000_000
