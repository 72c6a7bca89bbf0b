"""Statement, scan wanted and step card: pages of words with a few keys under them."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QVariantAnimation
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Key, ScanWanted, Statement, StepCard, Weight
from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.key_row import KeyRow
from kiosk.ui.keys import BETWEEN_MM, RADIUS_MM
from kiosk.ui.look import Look, Type
from kiosk.ui.part import ControlWidget

GLIDE_MS = 180
"""Motion explains and is over within 200 ms."""

WHAT_CLOSE = Type(4.4, "semibold", step=1.65)


class StatementPage(ControlWidget):
    """Shows a ``Statement``: lines on a sheet, keys under it."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: Statement | None = None
        self.row = KeyRow(look, hands, say, self)

    def show_part(self, part: Statement) -> None:
        """Show the lines and the keys."""
        self.part = part
        self.setAccessibleName("\n".join(part.lines))
        self.row.show_keys(part.keys)
        self.arrange()
        self.update()

    def _sheet(self, painter: QPainter | None, width: float) -> float:
        """Set the lines; return the height of the sheet."""
        if self.part is None or not self.part.lines:
            return 0.0
        flow = self.flow(painter, self.mm(6), self.mm(6.5), width - self.mm(12))
        for n, line in enumerate(self.part.lines):
            if n:
                flow.gap(4.2)
            flow.write(line, "body")
        return flow.y + self.mm(6.5)

    def height_for(self, width: float) -> float:
        """Return sheet and keys."""
        keys = self.row.height_for(width)
        return self._sheet(None, width) + (keys + self.mm(BETWEEN_MM + 1) if keys else 0)

    def focus_chain(self) -> list[QWidget]:
        """Return the keys."""
        return self.row.focus_chain()

    def arrange(self) -> None:
        """Put the keys under the sheet."""
        keys = self.row.height_for(self.width())
        top = self._sheet(None, self.width())
        self.place(self.row, 0, top + (self.mm(BETWEEN_MM + 1) if top else 0), self.width(), keys)

    def paint(self, painter: QPainter) -> None:
        """Paint the sheet."""
        high = self._sheet(None, self.width())
        if high:
            sheet = QRectF(0, 0, self.width(), high)
            hair = max(1.0, self.mm(0.25))
            rounded(painter, sheet, self.mm(RADIUS_MM), self.look.ink("paper"), self.look.ink("hair"), hair)
            self._sheet(painter, self.width())

    def entered(self) -> str:
        """Enter stands for the primary key, where there is one."""
        return primary(self.part.keys) if self.part else ""


class ScanPage(ControlWidget):
    """Shows a ``ScanWanted``: what to hold before the scanner, and the same by hand."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: ScanWanted | None = None
        self.tight = False
        self.row = KeyRow(look, hands, say, self)

    def show_part(self, part: ScanWanted) -> None:
        """Show what is wanted and the keys for doing it by hand."""
        self.part = part
        self.setAccessibleName(part.what)
        self.setAccessibleDescription(part.how)
        self.row.show_keys(part.instead)
        self.arrange()
        self.update()

    def _words(self, painter: QPainter | None, width: float, top: float) -> float:
        """Set what and how beside the shape; return the bottom."""
        if self.part is None:
            return top
        left = self.mm(28 if self.tight else 40)
        flow = self.flow(painter, left, top, width - left - self.mm(7))
        flow.write(self.part.what, WHAT_CLOSE if self.tight else "step_small")
        flow.gap(3.4 if self.tight else 4.5)
        flow.write(self.part.how, "soft")
        return flow.y

    def _field(self, width: float) -> float:
        """Return the height of the field with the shape."""
        least, air = (24, 9) if self.tight else (42, 18)
        return max(self.mm(least), self._words(None, width, 0) + self.mm(air))

    def height_for(self, width: float) -> float:
        """Return field and keys."""
        self.tight = False
        return self._whole(width)

    def least_height(self, width: float) -> float:
        """Return field and keys set closer."""
        self.tight = True
        return self._whole(width)

    def _whole(self, width: float) -> float:
        """Return field and keys as now set."""
        keys = self.row.height_for(width)
        return self._field(width) + (keys + self.mm(BETWEEN_MM + 1) if keys else 0)

    def focus_chain(self) -> list[QWidget]:
        """Return the keys."""
        return self.row.focus_chain()

    def arrange(self) -> None:
        """Put the keys under the field, at ease where there is room."""
        self.tight = self.height() < self.height_for(self.width()) - 1
        below = self._field(self.width()) + self.mm(BETWEEN_MM + 1)
        self.place(self.row, 0, below, self.width(), self.row.height_for(self.width()))

    def paint(self, painter: QPainter) -> None:
        """Paint the field, the scanner's shape and the words."""
        high = self._field(self.width())
        field = QRectF(0, 0, self.width(), high)
        wash = self.look.ink("wash")
        rounded(painter, field, self.mm(RADIUS_MM), wash, None, 0)
        size, edge = self.mm(14 if self.tight else 24), self.mm(7 if self.tight else 9)
        left = self.width() - edge - size if self.rtl else edge
        self.look.icons.draw(painter, "scan", left, (high - size) / 2, size, self.look.ink("accent"))
        words = self._words(None, self.width(), 0)
        self._words(painter, self.width(), (high - words) / 2)


class StepPage(ControlWidget):
    """Shows a ``StepCard``: one step, large, with its time where it is timed."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: StepCard | None = None
        self.share = 0.0
        self._glide = QVariantAnimation(self)
        self._glide.setDuration(GLIDE_MS)
        self._glide.valueChanged.connect(self._glided)
        self.row = KeyRow(look, hands, say, self)

    def show_part(self, part: StepCard) -> None:
        """Show the step, and the seconds left; the bar glides from second to second where motion is on."""
        same = self.part is not None and self.part.text == part.text
        self.part = part
        share = part.left_s / part.wait_s if part.wait_s else 0.0
        self._glide.stop()
        if same and self.look.motion and share < self.share:
            self._glide.setStartValue(self.share)
            self._glide.setEndValue(share)
            self._glide.start()
        else:
            self.share = share
        self.setAccessibleName(f"{part.count}. {part.text}")
        self.setAccessibleDescription(part.detail)
        self.row.show_keys((part.done,))
        self.arrange()
        self.update()

    def _glided(self, share: float) -> None:
        """Show the bar on its way."""
        self.share = share
        self.update()

    def _words(self, painter: QPainter | None, width: float) -> float:
        """Set count, step and detail; return their bottom."""
        if self.part is None:
            return 0.0
        flow = self.flow(painter, self.mm(8), self.mm(8), width - self.mm(16))
        flow.write(self.part.count, "label", ink="accent")
        flow.gap(6)
        flow.write(self.part.text, "step" if width > self.mm(105) else "step_small")
        flow.gap(5.5)
        flow.write(self.part.detail, "soft")
        return flow.y

    def _timer_height(self) -> float:
        """Return the room for the timer, nothing when the step is not timed."""
        return self.mm(25) if self.part is not None and self.part.wait_s > 0 else 0.0

    def _card(self, width: float) -> float:
        """Return the height of the card."""
        return self._words(None, width) + self._timer_height() + self.mm(9)

    def height_for(self, width: float) -> float:
        """Return card and key."""
        return self._card(width) + self.mm(BETWEEN_MM + 1) + self.row.height_for(width)

    def focus_chain(self) -> list[QWidget]:
        """Return the keys."""
        return self.row.focus_chain()

    def arrange(self) -> None:
        """Put the key under the card; spare room goes into the card."""
        keys = self.row.height_for(self.width())
        self.place(self.row, 0, self._card(self.width()) + self.mm(BETWEEN_MM + 1), self.width(), keys)

    def paint(self, painter: QPainter) -> None:
        """Paint the card and its timer."""
        card = QRectF(0, 0, self.width(), self._card(self.width()))
        hair = max(1.0, self.mm(0.25))
        rounded(painter, card, self.mm(RADIUS_MM), self.look.ink("paper"), self.look.ink("hair"), hair)
        bottom = self._words(painter, self.width())
        if self.part is not None and self.part.wait_s > 0:
            self._timer(painter, self.part, bottom + self.mm(9))

    def _timer(self, painter: QPainter, part: StepCard, top: float) -> None:
        """Paint the seconds left, 12 mm high, beside a graduated bar that empties."""
        digits = self.flow(None, 0, 0, 0).measure(str(part.wait_s), "figure_small") + self.mm(2)
        digits = max(digits, self.mm(30))
        figure = self.flow(painter, self.mm(8), top, digits)
        figure.write(str(part.left_s), "figure_small", ink="ink" if part.left_s else "accent")
        left, wide = self.mm(10) + digits, self.width() - self.mm(18) - digits
        bar = QRectF(self.width() - left - wide if self.rtl else left, top + self.mm(2), wide, self.mm(5))
        rounded(painter, bar, self.mm(1), self.look.ink("wash"), None, 0)
        spent = QRectF(bar)
        spent.setWidth(bar.width() * self.share)
        if self.rtl:
            spent.moveRight(bar.right())
        rounded(painter, spent, self.mm(1), self.look.ink("accent"), None, 0)
        painter.setPen(QPen(self.look.ink("soft"), max(1.0, self.mm(0.25))))
        for n in range(part.wait_s + 1):
            x = bar.left() + bar.width() * n / part.wait_s
            tall = self.mm(3.4 if n % 10 == 0 else 2.4 if n % 5 == 0 else 1.4)
            painter.drawLine(
                QPointF(x, bar.bottom() + self.mm(1)), QPointF(x, bar.bottom() + self.mm(1) + tall)
            )

    def entered(self) -> str:
        """Enter stands for the done key."""
        return self.part.done.name if self.part is not None and self.part.done.enabled else ""


def primary(keys: tuple[Key, ...]) -> str:
    """Return the name of the primary key among keys, or nothing."""
    return next((k.name for k in keys if k.weight is Weight.PRIMARY and k.enabled), "")
