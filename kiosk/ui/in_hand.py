"""The object column: what is in the hand, life-size, with its words, and a rule of true millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.core.apparatus.picture import Picture
from kiosk.pages.parts import InHand
from kiosk.ui.drawing import draw_picture, right_of
from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import RADIUS_MM
from kiosk.ui.look import Look
from kiosk.ui.part import PartWidget
from kiosk.ui.rule import rule_down

HEAD_MM = 14.0
PAD_MM = 5.0
RULE_MM = 6.0
BESIDE_MM = 36.0
"""The least width of words that stand beside a picture."""


@dataclass(frozen=True, slots=True)
class Placing:
    """Where the picture goes: its scale in dots per mm and its corner; whether that is life-size.

    ``words_x`` and ``words_width`` say where the words stand at the foot of the column.
    """

    dots: float
    x: float
    y: float
    life: bool
    words_x: float
    words_width: float


class ObjectColumn(PartWidget):
    """Draws an ``InHand``."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: InHand | None = None
        self.setObjectName("in_hand")

    def show_part(self, part: InHand | None) -> None:
        """Show another object; with none, keep nothing of the one before."""
        if part == self.part:
            return
        self.part = part
        if part is None:
            self.setAccessibleName("")
            return
        title = part.picture.title if part.picture is not None else ""
        said = (part.heading, title, part.title, *part.lines)
        self.setAccessibleName("\n".join(text for text in said if text))
        self.update()

    def words(self, painter: QPainter | None, x: float, top: float, width: float) -> float:
        """Set title and lines; return their height."""
        if self.part is None:
            return 0.0
        flow = self.flow(painter, x, top, width)
        flow.write(self.part.title, "strong")
        for n, line in enumerate(self.part.lines):
            flow.gap(4.0 if n == 0 else 3.0)
            flow.write(line, "small")
        return flow.y - top

    def placing(self, picture: Picture) -> Placing:
        """Return where and how large the picture is drawn: life-size wherever it fits."""
        wide, high, life = float(picture.width), float(picture.height), self.look.scale.life
        full, room = self._words_width(), self.height() - self.mm(HEAD_MM + PAD_MM)
        below = room - self.words(None, 0, 0, full) - self.mm(5)
        if high * life <= below and wide * life <= full:
            return self._over_words(picture, life, below, life=True)
        if high * life <= room and wide * life <= full:
            left = self._free_from(picture, room)
            if full - left >= self.mm(BESIDE_MM) and self.words(None, 0, 0, full - left) <= room:
                x = self.mm(PAD_MM)
                return Placing(life, x, self.mm(HEAD_MM), True, x + left, full - left)
        dots = min(below / high, full / wide, life)
        return self._over_words(picture, dots, below, life=dots >= life)

    def _over_words(self, picture: Picture, dots: float, room: float, life: bool) -> Placing:
        """Return a placing centred in the room between heading and words."""
        full = self._words_width()
        x = self.mm(PAD_MM) + max(0.0, (full - float(picture.width) * dots) / 2)
        y = self.mm(HEAD_MM) + max(0.0, (room - float(picture.height) * dots) / 2)
        return Placing(dots, x, y, life, self.mm(PAD_MM), full)

    def _free_from(self, picture: Picture, room: float) -> float:
        """Return how far from the start nothing is drawn at the height where the words would stand."""
        life, full = self.look.scale.life, self._words_width()
        left = 0.0
        for _ in range(4):  # a narrower block is higher, and may meet more of the picture
            top = room - self.words(None, 0, 0, max(1.0, full - left)) - self.mm(4)
            left = right_of(picture, top / life) * life + self.mm(5)
        return left

    def _words_width(self) -> float:
        """Return the width of words under the picture."""
        return self.width() - self.mm(2 * PAD_MM + RULE_MM)

    def paint(self, painter: QPainter) -> None:
        """Paint the panel, the rule, the picture and the words."""
        part = self.part
        if part is None:
            return
        hair = max(1.0, self.mm(0.25))
        panel, radius = QRectF(self.rect()), self.mm(RADIUS_MM)
        rounded(painter, panel, radius, self.look.ink("panel"), self.look.ink("hair"), hair)
        placing = self.placing(part.picture) if part.picture is not None else None
        word = part.scale_word if placing is None or placing.life else part.reduced_word
        flow = self.flow(painter, self.mm(PAD_MM), self.mm(5), self.width() - self.mm(2 * PAD_MM))
        flow.pair(part.heading, word, "label", "small")
        if placing is None or part.picture is None:
            self.words(painter, self.mm(PAD_MM), self.mm(HEAD_MM + 2), self._words_width())
            return
        if placing.life and part.to_scale:
            edge, inward = (0.0, 1) if self.rtl else (float(self.width()), -1)
            rule_down(painter, self.look, edge, self.mm(HEAD_MM), self.height() - self.mm(4), inward)
        self._picture(painter, part.picture, placing)

    def _picture(self, painter: QPainter, picture: Picture, placing: Placing) -> None:
        """Paint the picture and the words under or beside it."""
        wide = float(picture.width) * placing.dots
        x = self.width() - placing.x - wide if self.rtl else placing.x
        draw_picture(painter, picture, self.look, QPointF(x, placing.y), placing.dots)
        words = self.words(None, 0, 0, placing.words_width)
        self.words(painter, placing.words_x, self.height() - self.mm(PAD_MM + 1) - words, placing.words_width)
