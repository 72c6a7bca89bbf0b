"""The number of the moment, its unit, and the value read back in words under it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QWidget

from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import RADIUS_MM
from kiosk.ui.look import TYPES, Look, Type
from kiosk.ui.part import PartWidget

LEAST_MM = 20.0
NICE_MM = 33.0
WORDS = Type(4.0, "semibold", "accent", step=1.7)
WORDS_NARROW = Type(3.1, "semibold", "accent", step=1.7)
UNIT_NARROW = Type(5.0, "regular", "soft")


class NumberDisplay(PartWidget):
    """Shows a number as typed so far. It takes the focus first, so Enter commits."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.typed, self.unit, self.words = "", "", ""
        self.setObjectName("number")
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def show_number(self, typed: str, unit: str, words: str) -> None:
        """Show what is typed, its unit and its words."""
        self.typed, self.unit, self.words = typed, unit, words
        self.setAccessibleName(" ".join(part for part in (typed, unit) if part))
        self.setAccessibleDescription(words)
        self.update()

    def paint(self, painter: QPainter) -> None:
        """Paint the plate, the number with its unit, and the words."""
        self._plate(painter)
        low = self.height() < self.mm(27)
        narrow = self._narrow()
        words_high = self._words_height() if self.words else self.mm(4)
        room = self.height() - self.mm(7) - (0 if low and not narrow else words_high + self.mm(4))
        figure = self._figure(room, self.width() - self.mm(12), low and not narrow)
        cap = self.mm(figure.cap)
        beside = low and not narrow
        top = (self.height() - cap) / 2 if beside else self.mm(4.5) + max(0.0, (room - cap) / 2)
        self._number(painter, figure, top, beside)
        if low and not narrow:
            flow = self.flow(
                painter, self.width() * 0.52, (self.height() - words_high) / 2, self.width() * 0.44
            )
            flow.write(self.words, WORDS, "end")
        else:
            flow = self.flow(
                painter, self.mm(5), self.height() - words_high - self.mm(5), self.width() - self.mm(10)
            )
            flow.write(self.words, self._words_type(), "middle")

    def _narrow(self) -> bool:
        """Say whether the display stands beside the pad and must be content with little width."""
        return self.width() < self.mm(90)

    def _words_type(self) -> Type:
        """Return the lettering of the words."""
        return WORDS_NARROW if self._narrow() else WORDS

    def _unit_type(self) -> Type:
        """Return the lettering of the unit."""
        return UNIT_NARROW if self._narrow() else TYPES["unit"]

    def _words_height(self) -> float:
        """Return the height of the words at this width."""
        flow = self.flow(None, 0, 0, self.width() - self.mm(10))
        return flow.write(self.words, self._words_type())

    def _figure(self, room: float, width: float, beside: bool) -> Type:
        """Return the large lettering where it fits, else the smaller one (still 12 mm)."""
        big = TYPES["figure"]
        flow = self.flow(None, 0, 0, 0)
        wide = flow.measure(self.typed, big) + flow.measure(self.unit, self._unit_type()) + self.mm(3)
        fits = wide <= width * (0.5 if beside else 1) and self.mm(big.cap) <= room
        return big if fits else TYPES["figure_small"]

    def _number(self, painter: QPainter, figure: Type, top: float, beside: bool) -> None:
        """Paint number and unit on one baseline, centred, or at the start with the words beside."""
        flow = self.flow(None, 0, 0, 0)
        number, unit = flow.measure(self.typed, figure), flow.measure(self.unit, self._unit_type())
        between = self.mm(3)
        whole = max(number, self.mm(2)) + between + unit
        left = self.mm(6) if beside else (self.width() - whole) / 2
        baseline = top + self.mm(figure.cap)
        painter.setPen(self.look.ink("ink"))
        painter.setFont(self.look.font(figure))
        painter.drawText(QPointF(left, baseline), self.typed)
        if not self.typed:
            painter.fillRect(QRectF(left, top, self.mm(0.9), self.mm(figure.cap)), self.look.ink("accent"))
        painter.setPen(self.look.ink("soft"))
        painter.setFont(self.look.font(self._unit_type()))
        painter.drawText(QPointF(left + whole - unit, baseline), self.unit)

    def _plate(self, painter: QPainter) -> None:
        """Paint the paper and, along its foot, the graduated rule that is our sign for a measured thing."""
        rect = QRectF(self.rect())
        rounded(
            painter, rect, self.mm(RADIUS_MM), self.look.ink("paper"), self.look.ink("accent"), self.mm(0.5)
        )
        if self.hasFocus():
            inset = self.mm(1.1)
            painter.setPen(QPen(self.look.ink("accent"), self.mm(0.3)))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(inset, inset, -inset, -inset), self.mm(1.5), self.mm(1.5))
