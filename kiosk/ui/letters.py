"""The own letter keyboard: letters in as many columns as can be touched, under what is typed so far."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import LetterEntry
from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, RADIUS_MM, KeyButton
from kiosk.ui.look import TYPES, Look, Type
from kiosk.ui.part import ControlWidget, PartWidget

TEXT = Type(6.2, "semibold")
DISPLAY_MM, LEAST_DISPLAY_MM = 22.0, 20.0
NICE_KEY_MM = 23.0
SPACE_SHARE = 0.34
DISPLAY_SHARE = 0.36


class TextDisplay(PartWidget):
    """Caption and text as it stands, its end always in sight."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.caption, self.typed = "", ""
        self.setObjectName("text")

    def show_text(self, caption: str, typed: str) -> None:
        """Show what is typed under its caption."""
        self.caption, self.typed = caption, typed
        self.setAccessibleName(caption)
        self.setAccessibleDescription(typed)
        self.update()

    def paint(self, painter: QPainter) -> None:
        """Paint the plate, the caption, the text and the cursor after it."""
        rect = QRectF(self.rect())
        rounded(
            painter, rect, self.mm(RADIUS_MM), self.look.ink("paper"), self.look.ink("accent"), self.mm(0.5)
        )
        pad = self.mm(5)
        flow = self.flow(painter, pad, self.height() * 0.17, self.width() - 2 * pad)
        flow.write(self.caption, "label")
        font = self.look.font(TEXT)
        wide = QFontMetricsF(font).horizontalAdvance(self.typed)
        room = self.width() - 2 * pad - self.mm(3)
        start = pad - max(0.0, wide - room)
        baseline = self.height() * 0.77
        painter.setClipRect(QRectF(pad, 0, self.width() - 2 * pad, self.height()))
        painter.setFont(font)
        painter.setPen(self.look.ink("ink"))
        at = self.width() - start - wide if self.rtl else start
        painter.drawText(QPointF(at, baseline), self.typed)
        end = at - self.mm(2) if self.rtl else at + wide + self.mm(1.2)
        high = self.mm(TEXT.cap)
        painter.fillRect(QRectF(end, baseline - high, self.mm(0.8), high), self.look.ink("accent"))


class LetterPad(ControlWidget):
    """Shows a ``LetterEntry``."""

    most_width_mm = 320.0

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.display = TextDisplay(look, hands, say, self)
        self.letters: list[KeyButton] = []
        self.under: list[KeyButton] = []
        self.matches: list[KeyButton] = []
        self.erase: KeyButton | None = None

    def show_part(self, part: LetterEntry) -> None:
        """Show the text so far and the keys of this layer and case."""
        self.display.show_text(part.caption, part.typed)
        self.letters = self.keys_for(self.letters, part.letters)
        for button in self.letters:
            button.label_type = TYPES["step_small"]
        self.under = self.keys_for(self.under, (*part.others, part.space, part.commit))
        self.matches = self.keys_for(self.matches, part.matches)
        for button in self.matches:
            button.label_type = TYPES["step_small"]
        self.erase = self.key_for(self.erase, part.erase, icon="erase")
        self.arrange()

    def columns(self, width: float) -> int:
        """Return how many keys stand side by side."""
        gap = self.mm(BETWEEN_MM)
        most = int((width + gap) // (self.look.least(LEAST_MM) + gap))
        rows = -(-(len(self.letters) + 1) // max(1, most))
        return max(1, -(-(len(self.letters) + 1) // rows))

    def _rows(self, width: float) -> int:
        """Return the rows of letters and the row under them; the eraser stands last among the letters."""
        return -(-(len(self.letters) + 1) // self.columns(width)) + 1

    def height_for(self, width: float) -> float:
        """Return display and rows."""
        rows = self._rows(width)
        return self.mm(DISPLAY_MM + BETWEEN_MM + rows * NICE_KEY_MM + (rows - 1) * BETWEEN_MM)

    def least_height(self, width: float) -> float:
        """Return display and rows of the least keys."""
        rows = self._rows(width)
        keys = rows * self.look.least(LEAST_MM) + (rows - 1) * self.mm(BETWEEN_MM)
        return self.mm(LEAST_DISPLAY_MM + BETWEEN_MM) + keys

    def arrange(self) -> None:
        """Place the display, the letters row by row, and the row under them."""
        if self.erase is None:
            return
        full, gap = float(self.width()), self.mm(BETWEEN_MM)
        columns, rows = self.columns(full), self._rows(full)
        spare = self.height() - self.least_height(full)
        top = min(self.mm(DISPLAY_MM), self.mm(LEAST_DISPLAY_MM) + max(0.0, spare))
        self._above(full, top)
        top += gap
        high = (self.height() - top - (rows - 1) * gap) / rows
        wide = (full - (columns - 1) * gap) / columns
        for n, button in enumerate([*self.letters, self.erase]):
            row, column = divmod(n, columns)
            last = n == len(self.letters)
            room = full - column * (wide + gap) if last else wide
            self.place(button, column * (wide + gap), top + row * (high + gap), room, high)
        self._under(top + (rows - 1) * (high + gap), high)

    def _above(self, full: float, high: float) -> None:
        """Place the display, and beside it what fits so far."""
        gap, count = self.mm(BETWEEN_MM), len(self.matches)
        shown = full * DISPLAY_SHARE if count else full
        self.place(self.display, 0, 0, shown, high)
        if not count:
            return
        wide = (full - shown - count * gap) / count
        for n, button in enumerate(self.matches):
            self.place(button, shown + gap + n * (wide + gap), 0, wide, high)

    def _under(self, top: float, high: float) -> None:
        """Place the turns of the keyboard, the space, and commit."""
        gap, count = self.mm(BETWEEN_MM), len(self.under)
        if count < 2:
            return
        space = (self.width() - (count - 1) * gap) * SPACE_SHARE
        other = (self.width() - space - (count - 1) * gap) / (count - 1)
        x = 0.0
        for n, button in enumerate(self.under):
            wide = space if n == count - 2 else other
            self.place(button, x, top, wide, high)
            x += wide + gap

    def focus_chain(self) -> list[QWidget]:
        """Return what fits, the letters, the eraser, then the row under them."""
        return [*self.matches, *self.letters, *([self.erase] if self.erase is not None else []), *self.under]

    def typed(self, text: str) -> str:
        """Return the key of a character: as shown, or the capital that was meant with Shift."""
        shown = {button.key.label.casefold(): button.key.name for button in self.letters}
        if text == " ":
            return next((b.key.name for b in self.under if b.key.name.endswith(" ") and b.key.enabled), "")
        name = shown.get(text.casefold(), "")
        return f"letter:{text}" if name and text.isupper() else name

    def entered(self) -> str:
        """Enter commits."""
        return self.under[-1].key.name if self.under and self.under[-1].key.enabled else ""

    def erased(self) -> str:
        """Backspace erases."""
        return self.erase.key.name if self.erase is not None and self.erase.key.enabled else ""
