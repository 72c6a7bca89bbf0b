"""What a person types, on the page as it stands: keys of the page where they match, else plain typing."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui.hands import Hands
from kiosk.ui.keys import KeyButton
from kiosk.ui.part import ControlWidget

ON = (Qt.Key.Key_Down, Qt.Key.Key_Right)
BACK = (Qt.Key.Key_Up, Qt.Key.Key_Left)


class PageTypist:
    """Maps strokes: digits to the pad, Enter to the key with the focus or to commit, arrows to the focus.

    Whatever has no key on this page is typed to the driver: characters as they are, Enter as a line feed,
    Backspace as ``\\b``. A key held down types nothing, so that a resting finger cannot make 1 into 111.
    """

    def __init__(self, hands: Hands, control: Callable[[], ControlWidget | None]) -> None:
        self._hands, self._control = hands, control

    def character(self, text: str, repeats: bool) -> None:
        """Take a character or Enter."""
        if repeats:
            return
        focus = QApplication.focusWidget()
        if text in ("\n", " ") and isinstance(focus, KeyButton) and focus.isVisible():
            focus.click()
            return
        control = self._control()
        name = ""
        if control is not None:
            name = control.entered() if text == "\n" else control.typed(text)
        self._press_or_type(name, text)

    def backspace(self) -> None:
        """Take a Backspace."""
        control = self._control()
        self._press_or_type(control.erased() if control is not None else "", "\b")

    def steer(self, key: Qt.Key) -> None:
        """Take an arrow: the control's own meaning, else the focus goes on or back."""
        control = self._control()
        name = control.moved(key) if control is not None else ""
        if name:
            self._hands.press(name)
        elif key in ON or key in BACK:
            move_focus(key in ON)

    def _press_or_type(self, name: str, text: str) -> None:
        """Press the key, or type the text."""
        if name:
            self._hands.press(name)
        else:
            self._hands.type(text)


def move_focus(on: bool) -> None:
    """Move the focus along the page's order."""
    focus = QApplication.focusWidget() or QApplication.activeWindow()
    if isinstance(focus, QWidget):
        focus.focusNextChild() if on else focus.focusPreviousChild()
