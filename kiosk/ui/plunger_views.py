"""Two views of the syringe whose plunger is set: life-size, and a lens over its sealing edge.

The finger may take hold anywhere in either and moves the plunger by as much as the finger moves: nothing
jumps to the finger, and the finger need not cover what it sets. In the lens the same movement is finer.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPainterPath, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from kiosk.core.apparatus.picture import Box
from kiosk.pages.parts import PlungerSetter
from kiosk.ui.drawing import draw_picture
from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import RADIUS_MM
from kiosk.ui.look import TYPES, Look
from kiosk.ui.part import PartWidget
from kiosk.ui.rule import rule_down

LENS_SHOWS_MM = 11.0
"""How much of the scale the lens shows: the finest scales have a line about every 0.5 mm."""


class Draggable(PartWidget):
    """A view of the syringe that can be taken hold of; ``dots`` per mm differ between its two forms."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: PlungerSetter | None = None
        self._held: tuple[float, float] | None = None
        self.setCursor(Qt.CursorShape.SizeVerCursor)

    def show_part(self, part: PlungerSetter) -> None:
        """Show the syringe as it now stands."""
        self.part = part
        self.setAccessibleName(part.picture.title)
        self.update()

    def dots(self) -> float:
        """Return dots per mm of this view."""
        return self.look.scale.life

    def _along(self, event: QMouseEvent) -> float:
        """Return where the finger is along the scale, in mm."""
        at = event.position()
        sideways = self.part is not None and self.part.axis == "x"
        return (at.x() if sideways else at.y()) / self.dots()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold."""
        if self.part is not None and event.button() == Qt.MouseButton.LeftButton:
            self._held = (self._along(event), float(self.part.at_mm))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the plunger by as much as the finger moved; it stays within the scale."""
        if self.part is None or self._held is None:
            return
        start, at = self._held
        place = at + self._along(event) - start
        place = max(0.0, min(float(self.part.scale_mm), place))
        self.hands.type(f"mm:{place:.2f}")

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._held = None


class LifeSize(Draggable):
    """The syringe life-size; smaller only where the bench cannot hold it."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.setObjectName("syringe")

    def dots(self) -> float:
        """Return life-size, or what fits."""
        if self.part is None:
            return self.look.scale.life
        wide, high = float(self.part.picture.width), float(self.part.picture.height)
        fit = min((self.width() - self.mm(4)) / wide, (self.height() - self.mm(4)) / high)
        return min(self.look.scale.life, fit)

    def paint(self, painter: QPainter) -> None:
        """Paint the syringe in the middle of its panel, and true millimetres along the panel's edge."""
        hair = max(1.0, self.mm(0.25))
        panel, radius = QRectF(self.rect()), self.mm(RADIUS_MM)
        rounded(painter, panel, radius, self.look.ink("panel"), self.look.ink("hair"), hair)
        if self.part is not None:
            if self.dots() == self.look.scale.life:
                rule_down(painter, self.look, 0.0, self.mm(3), self.height() - self.mm(3), 1)
            draw_picture(painter, self.part.picture, self.look, self.origin(), self.dots())

    def origin(self) -> QPointF:
        """Return the corner of the picture."""
        if self.part is None:
            return QPointF(0, 0)
        wide = float(self.part.picture.width) * self.dots()
        high = float(self.part.picture.height) * self.dots()
        return QPointF((self.width() - wide) / 2, max(0.0, (self.height() - high) / 2))


class Lens(Draggable):
    """The sealing edge and the lines about it, enlarged; under it the reading where one is shown."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.setObjectName("lens")

    def dots(self) -> float:
        """Return dots per mm so that ``LENS_SHOWS_MM`` of the scale are seen."""
        sideways = self.part is not None and self.part.axis == "x"
        glass = self._glass()
        return (glass.width() if sideways else glass.height()) / LENS_SHOWS_MM

    def _reading_height(self) -> float:
        """Return the room for the reading under the glass."""
        return self.mm(25) if self.part is not None and self.part.reading else 0.0

    def _glass(self) -> QRectF:
        """Return the lens itself."""
        return QRectF(0, 0, self.width(), self.height() - self._reading_height())

    def paint(self, painter: QPainter) -> None:
        """Paint the enlarged scale, the line of the edge and the reading."""
        part = self.part
        if part is None:
            return
        rect, radius = QRectF(self.rect()), self.mm(RADIUS_MM)
        rounded(painter, rect, radius, self.look.ink("paper"), None, 0)
        glass, dots = self._glass(), self.dots()
        painter.save()
        clip = QPainterPath()
        clip.addRoundedRect(glass, radius, radius)
        painter.setClipPath(clip)
        painter.fillRect(glass, self.look.ink("panel"))
        edge = float(part.zero_mm + part.at_mm)
        across = stopper_middle(part)
        middle = QPointF(edge, across) if part.axis == "x" else QPointF(across, edge)
        draw_picture(painter, part.picture, self.look, glass.center() - middle * dots, dots)
        self._edge_line(painter, glass, part.axis == "x")
        painter.restore()
        rounded(painter, rect, radius, None, self.look.ink("accent"), self.mm(0.5))
        self._reading(painter, glass.bottom())

    def _edge_line(self, painter: QPainter, glass: QRectF, upright: bool) -> None:
        """Paint two pointers at the rim where the sealing edge stands."""
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.look.ink("accent"))
        size, middle = self.mm(2.6), glass.center()
        for sign, rim in ((1, glass.left()), (-1, glass.right())):
            if upright:
                rim = glass.top() if sign == 1 else glass.bottom()
                tip = QPointF(middle.x(), rim + sign * size * 1.4)
                base = (QPointF(middle.x() - size, rim), QPointF(middle.x() + size, rim))
            else:
                tip = QPointF(rim + sign * size * 1.4, middle.y())
                base = (QPointF(rim, middle.y() - size), QPointF(rim, middle.y() + size))
            painter.drawPolygon(QPolygonF([base[0], tip, base[1]]))

    def _reading(self, painter: QPainter, top: float) -> None:
        """Paint the reading, 12 mm high, and its words."""
        if self.part is None or not self.part.reading:
            return
        painter.setPen(QPen(self.look.ink("hair"), max(1.0, self.mm(0.3))))
        painter.drawLine(QPointF(self.mm(0.5), top), QPointF(self.width() - self.mm(0.5), top))
        flow = self.flow(painter, self.mm(3), top + self.mm(3.2), self.width() - self.mm(6))
        flow.write(self.part.reading, TYPES["figure_small"], "middle")
        flow.gap(3.2)
        flow.write(self.part.words, "small", "middle", ink="accent")


def stopper_middle(part: PlungerSetter) -> float:
    """Return where the stopper's middle lies across the barrel, in mm, else the picture's middle."""
    boxes = [s for s in part.picture.shapes if isinstance(s, Box) and s.fill == "rubber"]
    if not boxes:
        return float(part.picture.height if part.axis == "x" else part.picture.width) / 2
    return float(boxes[0].y + boxes[0].h / 2 if part.axis == "x" else boxes[0].x + boxes[0].w / 2)
