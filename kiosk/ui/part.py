"""What every part's widget shares: it holds a look and hands, lays itself out, and decides nothing."""

from __future__ import annotations

import math
from typing import Any

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Key
from kiosk.ui.flow import Flow
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import KeyButton
from kiosk.ui.look import Look


class PartWidget(QWidget):
    """A part of the page. Subclasses measure (``height_for``), place children (``arrange``) and paint."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.look, self.hands, self.say = look, hands, say
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    @property
    def rtl(self) -> bool:
        """Say whether the page reads from right to left."""
        return self.layoutDirection() == Qt.LayoutDirection.RightToLeft

    def mm(self, bench_mm: float) -> float:
        """Return dots for a size on the bench."""
        return self.look.mm(bench_mm)

    def flow(self, painter: QPainter | None, x: float, y: float, width: float) -> Flow:
        """Return a pen in a column; ``x`` counts from the reading side."""
        left = self.width() - x - width if self.rtl and painter is not None else x
        return Flow(self.look, painter, left, y, width, self.rtl)

    def place(self, child: QWidget, x: float, y: float, width: float, height: float) -> None:
        """Place a child; ``x`` counts from the reading side."""
        left = self.width() - x - width if self.rtl else x
        child.setGeometry(edges(left, y, width, height))
        child.show()

    def key_for(self, old: KeyButton | None, key: Key, icon: str = "") -> KeyButton:
        """Return a button for ``key``: the old one when it is the same key, else a new one.

        A button never changes its name: a finger already down on it must not press something else.
        """
        if old is not None and old.key.name == key.name:
            old.show_key(key)
            return old
        if old is not None:
            dismiss(old)
        return KeyButton(key, self.look, self.hands, self, icon)

    def keys_for(self, old: list[KeyButton], keys: tuple[Key, ...]) -> list[KeyButton]:
        """Return buttons for keys, keeping those of the same name and dismissing the rest."""
        there = {button.key.name: button for button in old}
        kept = [self.key_for(there.pop(key.name, None), key) for key in keys]
        for button in there.values():
            dismiss(button)
        return kept

    def height_for(self, width: float) -> float:
        """Return the height this part would like at a width, in dots."""
        return 0.0

    def least_height(self, width: float) -> float:
        """Return the height below which this part cannot be used."""
        return self.height_for(width)

    def focus_chain(self) -> list[QWidget]:
        """Return what can take the focus here, in the order of the Tab key."""
        return []

    def arrange(self) -> None:
        """Place the children within the present size."""

    def paint(self, painter: QPainter) -> None:
        """Paint what is not a child."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out anew."""
        self.arrange()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the part."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.paint(painter)
        painter.end()


def edges(x: float, y: float, width: float, height: float) -> QRect:
    """Return whole dots whose edges meet those of a neighbour that ends or begins at the same place."""
    left, top = round(x), round(y)
    return QRect(left, top, round(x + width) - left, math.ceil(y + height - 0.01) - top)


def dismiss(widget: QWidget) -> None:
    """Take a widget off the page at once and let Qt delete it later."""
    widget.hide()
    widget.setObjectName("")
    widget.setParent(None)
    widget.deleteLater()


class ControlWidget(PartWidget):
    """The one control of the bench. It turns keystrokes into the keys of the page, and nothing else.

    ``most_width_mm`` is the width beyond which it would only be stretched.
    """

    most_width_mm = 190.0

    def show_part(self, part: Any) -> None:
        """Show another state of the control; each subclass takes its own part type."""
        raise TypeError(f"{type(self).__name__} shows no {type(part).__name__}")

    def typed(self, text: str) -> str:
        """Return the name of the key a typed character stands for, or nothing."""
        return ""

    def entered(self) -> str:
        """Return the name of the key that Enter stands for while no key has the focus, or nothing."""
        return ""

    def erased(self) -> str:
        """Return the name of the key that Backspace stands for, or nothing."""
        return ""

    def moved(self, key: Qt.Key) -> str:
        """Return the name of the key an arrow or page key stands for, or nothing."""
        return ""
