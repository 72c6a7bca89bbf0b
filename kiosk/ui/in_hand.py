"""The object column: what is in the hand, life-size, with its words, and a rule of true millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.core.apparatus.picture import Picture
from kiosk.pages.parts import InHand
from kiosk.ui.drawing import draw_picture
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
"""Words go beside a tall picture when at least this width is left."""


@dataclass(frozen=True, slots=True)
class Placing:
    """Where the picture goes: its scale in dots per mm, its corner, and whether the words stand beside."""

    dots: float
    x: float
    y: float
    beside: bool
    life: bool


class ObjectColumn(PartWidget):
    """Draws an ``InHand``."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: InHand | None = None
        self.setObjectName("in_hand")

    def show_part(self, part: InHand) -> None:
        """Show another object."""
        self.part = part
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
        wide, high = float(picture.width), float(picture.height)
        life = self.look.scale.life
        full = self.width() - self.mm(2 * PAD_MM + RULE_MM)
        under = self.words(None, 0, 0, self._words_width())
        room = self.height() - self.mm(HEAD_MM + PAD_MM)
        below = room - under - self.mm(5)
        if high * life <= below and wide * life <= full:
            return self._centred(wide, high, life, full, below, beside=False, true=True)
        left = full - wide * life - self.mm(4)
        if high * life <= room and left >= self.mm(BESIDE_MM) and self.words(None, 0, 0, left) <= room:
            return self._centred(wide, high, life, wide * life, room, beside=True, true=True)
        dots = min(below / high, full / wide, life)
        return self._centred(wide, high, dots, full, below, beside=False, true=dots >= life)

    def _centred(
        self,
        wide: float,
        high: float,
        dots: float,
        room_wide: float,
        room_high: float,
        beside: bool,
        true: bool,
    ) -> Placing:
        """Return a placing centred in a room under the heading."""
        x = self.mm(PAD_MM) + max(0.0, (room_wide - wide * dots) / 2)
        y = self.mm(HEAD_MM) + max(0.0, (room_high - high * dots) / 2)
        return Placing(dots, x, y, beside, true)

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
        if placing.life:
            edge, inward = (0.0, 1) if self.rtl else (float(self.width()), -1)
            rule_down(painter, self.look, edge, self.mm(HEAD_MM), self.height() - self.mm(4), inward)
        self._picture(painter, part.picture, placing)

    def _picture(self, painter: QPainter, picture: Picture, placing: Placing) -> None:
        """Paint the picture and the words under or beside it."""
        wide = float(picture.width) * placing.dots
        x = self.width() - placing.x - wide if self.rtl else placing.x
        draw_picture(painter, picture, self.look, QPointF(x, placing.y), placing.dots)
        if placing.beside:
            left = placing.x + wide + self.mm(4)
            room = self.width() - left - self.mm(PAD_MM + RULE_MM)
            high = self.words(None, 0, 0, room)
            self.words(painter, left, self.height() - self.mm(PAD_MM + 1) - high, room)
        else:
            high = self.words(None, 0, 0, self._words_width())
            top = self.height() - self.mm(PAD_MM + 1) - high
            self.words(painter, self.mm(PAD_MM), top, self._words_width())
