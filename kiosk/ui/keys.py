"""The one kind of button: a key with a name, a label and perhaps a hint, drawn in our own way.

A key never takes the focus by touch, so that Enter keeps meaning "commit" after a tap on a digit; Tab
reaches every key. Enter and space on a key with the focus are handled by ``kiosk.ui.scan_filter``, which
must first know whether they end a scan.
"""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from kiosk.pages.parts import Key, Weight
from kiosk.ui.flow import Flow, rounded
from kiosk.ui.hands import Hands
from kiosk.ui.look import TYPES, Look, Type

LEAST_MM = 20.0
"""A touch target's least side: 20 mm suffices standing and 25 is no better (Colle & Hiszem 2004)."""
BETWEEN_MM = 3.0
RADIUS_MM = 2.2

LABEL = Type(4.6, "semibold", step=1.6)
HINT = Type(3.1, "regular", "soft", step=1.7)


class KeyButton(QAbstractButton):
    """Draws one ``Key`` and hands its name on when touched. ``icon`` is drawn in place of the label."""

    def __init__(
        self, key: Key, look: Look, hands: Hands, parent: QWidget | None = None, icon: str = ""
    ) -> None:
        super().__init__(parent)
        self.look = look
        self.key = key
        self.picture = icon
        self.label_type = LABEL
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents, False)
        self._touched = False
        self.show_key(key)
        self.clicked.connect(lambda: hands.press(self.key.name))

    def show_key(self, key: Key) -> None:
        """Show another state of the key."""
        if key == self.key and self.objectName():
            return
        self.key = key
        self.setObjectName(key.name)
        self.setEnabled(key.enabled)
        self.setText(key.label.replace("&", "&&"))
        self.setAccessibleName(key.spoken or key.label)
        self.setAccessibleDescription(key.hint)
        self.update()

    def sizeHint(self) -> QSize:
        """Return the least size that can be touched and read."""
        least = self.look.mm(LEAST_MM)
        return QSize(round(max(least, self.label_width() + self.look.mm(12))), round(least))

    def label_width(self) -> float:
        """Return the width of the longer of label and hint on one line, in dots."""
        flow = Flow(self.look, None, 0, 0, 0)
        label = 0.0 if self.picture else flow.measure(self.key.label, self.label_type)
        return max(label, flow.measure(self.key.hint, HINT))

    def text_height(self, width: float) -> float:
        """Return the height of label and hint at a width."""
        return self._block(None, width, 0)

    def height_for(self, width: float) -> float:
        """Return the height that label and hint need at a width, at least what can be touched."""
        return max(self.look.mm(LEAST_MM), self.text_height(width) + self.look.mm(7))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Note that this very key was touched on this very page."""
        self._touched = True
        super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Take the second of two quick taps only when the first was on this key, on this page, too.

        Otherwise the first tap turned the page, and the second was meant for what stood here before.
        """
        if self._touched:
            super().mouseDoubleClickEvent(event)
        else:
            event.accept()

    def page_turned(self) -> None:
        """Forget that this key was touched: it stands on another page now, and may mean another thing."""
        self._touched = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave every keystroke to the window (see the module's note)."""
        event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Leave every keystroke to the window."""
        event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the key."""
        painter = QPainter(self)
        self._plate(painter)
        if self.picture:
            size = self.look.mm(8.0)
            ink = self.ink_of("label")
            self.look.icons.draw(
                painter, self.picture, (self.width() - size) / 2, self._icon_top(size), size, ink
            )
            if self.key.hint:
                flow = Flow(self.look, painter, 0, self.height() - self.look.mm(6.4), self.width())
                flow.write(self.key.hint, HINT, "middle", ink=self._role("hint"))
        else:
            height = self._block(None, self.width(), 0)
            self._block(painter, self.width(), (self.height() - height) / 2)
        painter.end()

    def _icon_top(self, size: float) -> float:
        """Return where an icon begins: centred, or above a hint."""
        return (self.height() - size) / 2 - (self.look.mm(3.2) if self.key.hint else 0)

    def _block(self, painter: QPainter | None, width: float, top: float) -> float:
        """Set label and hint centred in the width; return their height."""
        pad = self.look.mm(2.5)
        flow = Flow(self.look, painter, pad, top, width - 2 * pad, rtl=self.layoutDirection().value == 1)
        flow.write(self.key.label, self.label_type, "middle", ink=self._role("label"))
        if self.key.hint:
            flow.gap(3.0)
            flow.write(self.key.hint, HINT, "middle", ink=self._role("hint"))
        return flow.y - top

    def _role(self, part: str) -> str:
        """Return the ink role of label or hint in this state."""
        if not self.key.enabled:
            return "soft"
        if self.key.weight is Weight.PRIMARY:
            return "on_accent"
        return "ink" if part == "label" else "soft"

    def ink_of(self, part: str) -> QColor:
        """Return the colour of label or hint in this state."""
        return self.look.ink(self._role(part))

    def _plate(self, painter: QPainter) -> None:
        """Draw the key's body, its pressed state and the focus ring."""
        rect = QRectF(self.rect())
        radius, hair = self.look.mm(RADIUS_MM), max(1.0, self.look.mm(0.3))
        primary = self.key.weight is Weight.PRIMARY and self.key.enabled
        fill = self.look.ink("accent" if primary else "key")
        if self.isDown():
            fill = self.look.ink("accent_down" if primary else "key_down")
        if not self.key.enabled:
            rounded(painter, rect, radius, None, self.look.ink("hair"), hair)
        elif self.key.weight is Weight.GRAVE:
            rounded(painter, rect, radius, fill if self.isDown() else None, self.look.ink("ink"), hair * 1.6)
        else:
            rounded(painter, rect, radius, fill, None if primary else self.look.ink("edge"), hair)
        if self.hasFocus():
            self._ring(painter, rect, radius, primary)

    def _ring(self, painter: QPainter, rect: QRectF, radius: float, primary: bool) -> None:
        """Draw the focus ring: a thick inner line that needs no room outside the key."""
        inset = self.look.mm(1.1)
        pen = QPen(self.look.ink("on_accent" if primary else "accent"), self.look.mm(0.8))
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(rect.adjusted(inset, inset, -inset, -inset), radius * 0.7, radius * 0.7)


def digit_type(look: Look) -> Type:
    """Return the lettering of a number pad's keys."""
    return TYPES["digit"]
