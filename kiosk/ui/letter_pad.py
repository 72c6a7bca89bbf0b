"""The letter keyboard: letters in their order, as many a row as a gloved finger can tell apart."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import LetterEntry
from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, RADIUS_MM, KeyButton
from kiosk.ui.look import Look, Type
from kiosk.ui.part import ControlWidget, PartWidget

MOST_COLUMNS = 10
MOST_KEY_MM = 24.0
DISPLAY_MM = 17.0
LETTER = Type(5.4, "semibold")
TYPED = Type(5.6, "semibold")


class LetterDisplay(PartWidget):
    """What was typed so far, under what it is."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.caption, self.typed = "", ""
        self.setObjectName("typed")
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def show_typed(self, caption: str, typed: str) -> None:
        """Show another text."""
        self.caption, self.typed = caption, typed
        self.setAccessibleName(caption)
        self.setAccessibleDescription(typed)
        self.update()

    def paint(self, painter: QPainter) -> None:
        """Paint the plate, the caption and the text with a mark at its end."""
        plate, ink = QRectF(self.rect()), self.look.ink
        rounded(painter, plate, self.mm(RADIUS_MM), ink("paper"), ink("accent"), self.mm(0.5))
        flow = self.flow(painter, self.mm(5), self.mm(3.2), self.width() - self.mm(10))
        flow.write(self.caption, "small")
        flow.gap(3.4)
        flow.write(self.typed, TYPED)
        self._caret(painter, flow.measure(self.typed, TYPED), flow.y)

    def _caret(self, painter: QPainter, along: float, bottom: float) -> None:
        """Paint the mark behind the last letter."""
        high, x = self.mm(TYPED.cap), self.mm(5.8) + along
        if self.rtl:
            x = self.width() - x
        top = bottom - high if self.typed else self.height() - self.mm(4) - high
        painter.fillRect(QRectF(x, top, self.mm(0.6), high), self.look.ink("accent"))


class LetterPad(ControlWidget):
    """Shows a ``LetterEntry``."""

    most_width_mm = 260.0

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.display = LetterDisplay(look, hands, say, self)
        self.letters: list[KeyButton] = []
        self.others: list[KeyButton] = []
        self.space: KeyButton | None = None
        self.erase: KeyButton | None = None
        self.commit: KeyButton | None = None

    def show_part(self, part: LetterEntry) -> None:
        """Show the text so far and the keys."""
        self.display.show_typed(part.caption, part.typed)
        self.letters = self.keys_for(self.letters, part.letters)
        for button in self.letters:
            button.label_type = LETTER
        self.others = self.keys_for(self.others, part.others)
        self.space = self.key_for(self.space, part.space)
        self.erase = self.key_for(self.erase, part.erase, icon="erase")
        self.commit = self.key_for(self.commit, part.commit)
        self.arrange()

    def columns(self, width: float) -> int:
        """Return how many letters stand in a row: each as wide as a finger needs."""
        fit = int((width + self.mm(BETWEEN_MM) + 1) / self.mm(LEAST_MM + BETWEEN_MM))
        return max(1, min(MOST_COLUMNS, fit))

    def _rows(self, width: float) -> int:
        """Return how many rows the letters take, and one more for the keys below."""
        return -(-len(self.letters) // self.columns(width)) + 1

    def _height(self, width: float, key: float) -> float:
        rows = self._rows(width)
        return self.mm(DISPLAY_MM + BETWEEN_MM + rows * key + (rows - 1) * BETWEEN_MM)

    def height_for(self, width: float) -> float:
        """Return display and keys at ease."""
        return self._height(width, MOST_KEY_MM)

    def least_height(self, width: float) -> float:
        """Return display and keys as small as they can be touched."""
        return self._height(width, LEAST_MM)

    def arrange(self) -> None:
        """Put the display over the letters, the other keys under them."""
        if self.commit is None:
            return
        gap, wide = self.mm(BETWEEN_MM), float(self.width())
        self.place(self.display, 0, 0, wide, self.mm(DISPLAY_MM))
        columns, rows = self.columns(wide), self._rows(wide)
        room = self.height() - self.mm(DISPLAY_MM) - rows * gap
        high = max(self.mm(LEAST_MM), min(self.mm(MOST_KEY_MM), room / rows))
        each = (wide - (columns - 1) * gap) / columns
        top = self.mm(DISPLAY_MM) + gap
        for n, button in enumerate(self.letters):
            row, column = divmod(n, columns)
            self.place(button, column * (each + gap), top + row * (high + gap), each, high)
        self._below(top + (rows - 1) * (high + gap), high)

    def _below(self, top: float, high: float) -> None:
        """Place the row of the other keys: two turns of the board, space, eraser, commit."""
        gap = self.mm(BETWEEN_MM)
        keys = [*self.others, self.space, self.erase, self.commit]
        shares = [1.5] * len(self.others) + [1.5, 1.0, 1.8]
        unit = (self.width() - gap * (len(keys) - 1)) / sum(shares)
        x = 0.0
        for button, share in zip(keys, shares, strict=True):
            if button is not None:
                self.place(button, x, top, unit * share, high)
            x += unit * share + gap

    def focus_chain(self) -> list[QWidget]:
        """Return display, letters, the other keys, commit last."""
        chain = [self.display, *self.letters, *self.others, self.space, self.erase, self.commit]
        return [widget for widget in chain if widget is not None]

    def entered(self) -> str:
        """Enter commits."""
        return self.commit.key.name if self.commit is not None and self.commit.key.enabled else ""

    def erased(self) -> str:
        """Backspace erases."""
        return self.erase.key.name if self.erase is not None and self.erase.key.enabled else ""
