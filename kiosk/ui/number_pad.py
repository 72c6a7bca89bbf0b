"""Number entry and PIN entry: the same pad of keys under two displays."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Key, NumberEntry, PinEntry
from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, RADIUS_MM, KeyButton, digit_type
from kiosk.ui.look import Look
from kiosk.ui.number_display import NICE_MM, NumberDisplay
from kiosk.ui.part import ControlWidget, PartWidget, edges

ROWS = (("7", "8", "9"), ("4", "5", "6"), ("1", "2", "3"))
MOST_KEY_MM = 24.0
COMMIT_MM = 37.0
PAD_MM = 4 * LEAST_MM + 3 * BETWEEN_MM


class Pad(ControlWidget):
    """Twelve keys and a commit key under (or beside) a display."""

    display: PartWidget
    most_width_mm = 140.0

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.digits: dict[str, KeyButton] = {}
        self.point: KeyButton | None = None
        self.erase: KeyButton | None = None
        self.commit: KeyButton | None = None

    def show_keys(self, digits: tuple[Key, ...], point: Key | None, erase: Key, commit: Key) -> None:
        """Show the pad's keys."""
        for key in digits:
            self.digits[key.label] = self._big(self.key_for(self.digits.get(key.label), key))
        if point is not None:
            self.point = self._big(self.key_for(self.point, point))
        self.erase = self.key_for(self.erase, erase, icon="erase")
        self.commit = self.key_for(self.commit, commit)
        self.arrange()

    def _big(self, button: KeyButton) -> KeyButton:
        """Give a digit its large lettering."""
        button.label_type = digit_type(self.look)
        return button

    def height_for(self, width: float) -> float:
        """Return display and pad one above the other."""
        return self.mm(NICE_MM + BETWEEN_MM + 4 * MOST_KEY_MM + 3 * BETWEEN_MM)

    def least_height(self, width: float) -> float:
        """Return the pad alone: the display then stands beside it."""
        return self.mm(PAD_MM)

    def arrange(self) -> None:
        """Put the display over the pad where there is room, else beside it."""
        if self.commit is None:
            return
        over = self.height() >= self.mm(20 + BETWEEN_MM + PAD_MM) - 1
        if over:
            high = min(self.mm(NICE_MM), self.height() - self.mm(BETWEEN_MM + PAD_MM))
            self.place(self.display, 0, 0, self.width(), high)
            self._grid(high + self.mm(BETWEEN_MM), self.width() - self.mm(COMMIT_MM + BETWEEN_MM))
        else:
            self._beside()

    def _beside(self) -> None:
        """Put the pad at the start and the display over the commit key beside it."""
        pad = max(self.width() * 0.55, self.mm(3 * LEAST_MM + 2 * BETWEEN_MM))
        self._grid(0, pad)
        left, wide = pad + self.mm(BETWEEN_MM), self.width() - pad - self.mm(BETWEEN_MM)
        high = (self.height() - self.mm(BETWEEN_MM)) * 0.56
        self.place(self.display, left, 0, wide, high)
        if self.commit is not None:
            below = high + self.mm(BETWEEN_MM)
            self.place(self.commit, left, below, wide, min(self.height(), self._bottom) - below)

    def _grid(self, top: float, width: float) -> None:
        """Place the twelve keys from ``top`` in ``width``; digits are never mirrored."""
        gap = self.mm(BETWEEN_MM)
        high = min(self.mm(MOST_KEY_MM), (self.height() - top - 3 * gap) / 4)
        wide = (width - 2 * gap) / 3
        rows: list[tuple[KeyButton | None, ...]] = [tuple(self.digits.get(d) for d in row) for row in ROWS]
        rows.append((self.point, self.digits.get("0"), self.erase))
        start = self.width() - width if self.rtl else 0.0
        for r, row in enumerate(rows):
            for c, button in enumerate(row):
                if button is not None:
                    x, y = start + c * (wide + gap), top + r * (high + gap)
                    button.setGeometry(edges(x, y, wide, high))
                    button.show()
        self._bottom = top + 4 * high + 3 * gap
        if self.commit is not None:
            self.place(self.commit, width + gap, top, self.width() - width - gap, self._bottom - top)

    def focus_chain(self) -> list[QWidget]:
        """Return display, digits as they stand, point, nought, erase, commit."""
        chain: list[QWidget | None] = [self.display]
        chain += [self.digits.get(d) for row in ROWS for d in row]
        chain += [self.point, self.digits.get("0"), self.erase, self.commit]
        return [widget for widget in chain if widget is not None]

    def typed(self, text: str) -> str:
        """Return the digit's or the point's key; comma and full stop both mean the point."""
        if text in self.digits:
            return self.digits[text].key.name
        return self.point.key.name if text in (".", ",") and self.point is not None else ""

    def entered(self) -> str:
        """Enter commits."""
        return self.commit.key.name if self.commit is not None and self.commit.key.enabled else ""

    def erased(self) -> str:
        """Backspace erases."""
        return self.erase.key.name if self.erase is not None and self.erase.key.enabled else ""


class NumberPad(Pad):
    """Shows a ``NumberEntry``."""

    display: NumberDisplay

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.display = NumberDisplay(look, hands, say, self)

    def show_part(self, part: NumberEntry) -> None:
        """Show the number so far and the keys."""
        self.display.show_number(part.typed, part.unit, part.words)
        self.show_keys(part.digits, part.point, part.erase, part.commit)


class PinDisplay(PartWidget):
    """The person's name and one disc for each digit typed: how many, never which."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.person, self.filled, self.busy = "", 0, False
        self.setObjectName("pin")
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def show_pin(self, person: str, filled: int, busy: bool) -> None:
        """Show whose PIN is being typed and how many digits are there."""
        self.person, self.filled, self.busy = person, filled, busy
        self.setAccessibleName(person)
        self.setAccessibleDescription(str(filled))
        self.update()

    def paint(self, painter: QPainter) -> None:
        """Paint the plate, the name and the discs."""
        edge = self.look.ink("hair" if self.busy else "accent")
        rect = QRectF(self.rect())
        rounded(painter, rect, self.mm(RADIUS_MM), self.look.ink("paper"), edge, self.mm(0.5))
        low = self.height() < self.mm(25)
        top = (self.height() - self.mm(5.2)) / 2 if low else self.mm(6)
        flow = self.flow(painter, self.mm(6), top, self.width() - self.mm(12))
        flow.write(self.person, "name", "start" if low else "middle")
        self._discs(painter, low)

    def _discs(self, painter: QPainter, low: bool) -> None:
        """Paint a ring for each of the usual four places, filled as digits come."""
        size, gap = self.mm(4.4), self.mm(4.2)
        places = max(4, self.filled)
        whole = places * size + (places - 1) * gap
        left = self.width() - self.mm(8) - whole if low else (self.width() - whole) / 2
        y = (self.height() - size) / 2 if low else self.height() - size - self.mm(6.5)
        for place in range(places):
            full = place < self.filled
            ink = self.look.ink("soft" if self.busy else "ink" if full else "edge")
            painter.setPen(QPen(ink, self.mm(0.4)))
            painter.setBrush(ink if full else Qt.BrushStyle.NoBrush)
            centre = QPointF(left + place * (size + gap) + size / 2, y + size / 2)
            painter.drawEllipse(centre, size / 2, size / 2)


class PinPad(Pad):
    """Shows a ``PinEntry``."""

    display: PinDisplay

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.display = PinDisplay(look, hands, say, self)

    def show_part(self, part: PinEntry) -> None:
        """Show the person and the count of digits."""
        self.display.show_pin(part.person, part.filled, part.busy)
        self.show_keys(part.digits, None, part.erase, part.commit)
