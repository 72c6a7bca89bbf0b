"""Setting the plunger: a blank syringe, life-size, a lens over its sealing edge, and keys to move it.

The finger may hold the plunger anywhere, or the lens, and move it by as much as the finger moves: nothing
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
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, RADIUS_MM, KeyButton
from kiosk.ui.look import TYPES, Look
from kiosk.ui.part import ControlWidget, PartWidget
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


class PlungerPage(ControlWidget):
    """Shows a ``PlungerSetter``: syringe, lens, the keys that move it, by number, commit."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: PlungerSetter | None = None
        self.syringe = LifeSize(look, hands, say, self)
        self.lens = Lens(look, hands, say, self)
        self.steps: list[KeyButton] = []
        self.by_number: KeyButton | None = None
        self.commit: KeyButton | None = None

    def show_part(self, part: PlungerSetter) -> None:
        """Show where the plunger stands."""
        self.part = part
        self.setAccessibleName(part.reading or part.picture.title)
        self.setAccessibleDescription(part.words)
        self.steps = self.keys_for(self.steps, tuple(sorted(part.steps, key=lambda key: moves_by(key.name))))
        self.by_number = self.key_for(self.by_number, part.by_number)
        self.commit = self.key_for(self.commit, part.commit)
        self._shapes()
        self.syringe.show_part(part)
        self.lens.show_part(part)
        self.arrange()

    def _shapes(self) -> None:
        """Give the keys that move the plunger an arrow each: doubled for the larger steps."""
        lying = self.part is not None and self.part.axis == "x"
        names = ("previous", "next") if lying else ("up", "down")
        for button in self.steps:
            move = moves_by(button.key.name)
            coarse = abs(move) > min(abs(moves_by(b.key.name)) for b in self.steps)
            shape = names[0] if move < 0 else names[1]
            button.picture = f"{shape}_coarse" if coarse else shape

    def height_for(self, width: float) -> float:
        """Return four keys over one another and the row under them."""
        return self.mm(4 * 22 + 3 * BETWEEN_MM + BETWEEN_MM + 22)

    def least_height(self, width: float) -> float:
        """Return two rows of keys and the row under them."""
        return self.mm(3 * LEAST_MM + 2 * BETWEEN_MM)

    def arrange(self) -> None:
        """Put the syringe at the start, the lens and the keys beside it, commit under them."""
        if self.part is None or self.commit is None or self.by_number is None:
            return
        if self.part.axis == "x":
            self._lying()
        else:
            self._standing()

    def _standing(self) -> None:
        """Arrange an upright syringe."""
        gap, least = self.mm(BETWEEN_MM), self.mm(LEAST_MM)
        need = float(self.part.picture.width) * self.look.scale.life if self.part else 0.0
        syringe = min(max(need + self.mm(10), self.width() * 0.3), self.width() * 0.42)
        self.place(self.syringe, 0, 0, syringe, self.height())
        left = syringe + gap
        tall = self.height() >= self.mm(5 * LEAST_MM + 4 * BETWEEN_MM) - 1
        row = self.mm(22) if self.height() >= self.mm(113) else least
        upper = self.height() - row - gap
        columns = 1 if tall else 2
        keys = columns * self._step_width() + (columns - 1) * gap
        self.place(self.lens, left, 0, self.width() - left - gap - keys, upper)
        self._steps(self.width() - keys, 0, keys, upper, columns)
        self._under(left, upper + gap, self.width() - left, row)

    def _step_width(self) -> float:
        """Return the width of a key that moves the plunger: its hint stands on one line."""
        return max([self.mm(26), *(button.label_width() + self.mm(5.5) for button in self.steps)])

    def _lying(self) -> None:
        """Arrange a syringe that lies: over the lens, keys under it."""
        gap, least = self.mm(BETWEEN_MM), self.mm(LEAST_MM)
        need = float(self.part.picture.height) * self.look.scale.life if self.part else 0.0
        syringe = min(max(need + self.mm(6), self.mm(26)), self.height() * 0.4)
        self.place(self.syringe, 0, 0, self.width(), syringe)
        row = self.height() - least
        self._under(0, row, self.width(), least)
        self._steps(0, row - gap - least, self.width(), least, max(1, len(self.steps)))
        top = syringe + gap
        self.place(self.lens, 0, top, self.width(), row - 2 * gap - least - top)

    def _steps(self, x: float, y: float, width: float, height: float, columns: int) -> None:
        """Place the keys that move the plunger, in ``columns``, emptying ones first."""
        gap = self.mm(BETWEEN_MM)
        rows = -(-len(self.steps) // columns)
        wide, high = (width - (columns - 1) * gap) / columns, (height - (rows - 1) * gap) / rows
        for n, button in enumerate(self.steps):
            row, column = divmod(n, columns)
            self.place(button, x + column * (wide + gap), y + row * (high + gap), wide, high)
            QWidget.setTabOrder(self.steps[n - 1] if n else self.lens, button)

    def _under(self, x: float, y: float, width: float, height: float) -> None:
        """Place "by number" and commit side by side."""
        if self.commit is None or self.by_number is None:
            return
        gap = self.mm(BETWEEN_MM)
        side = min(max(self.mm(36), float(self.by_number.sizeHint().width())), width * 0.45)
        self.place(self.by_number, x, y, side, height)
        self.place(self.commit, x + side + gap, y, width - side - gap, height)
        if self.steps:
            QWidget.setTabOrder(self.steps[-1], self.by_number)
        QWidget.setTabOrder(self.by_number, self.commit)

    def entered(self) -> str:
        """Enter commits."""
        return self.commit.key.name if self.commit is not None and self.commit.key.enabled else ""

    def moved(self, key: Qt.Key) -> str:
        """Arrows move by the small step, page keys by the large one."""
        order = sorted(self.steps, key=lambda b: moves_by(b.key.name))
        if len(order) < 2:
            return ""
        ups, downs = (
            [b for b in order if moves_by(b.key.name) < 0],
            [b for b in order if moves_by(b.key.name) > 0],
        )
        wanted = {
            Qt.Key.Key_Up: ups[-1:],
            Qt.Key.Key_Left: ups[-1:],
            Qt.Key.Key_Down: downs[:1],
            Qt.Key.Key_Right: downs[:1],
            Qt.Key.Key_PageUp: ups[:1],
            Qt.Key.Key_PageDown: downs[-1:],
        }.get(key, [])
        return wanted[0].key.name if wanted and wanted[0].key.enabled else ""


def stopper_middle(part: PlungerSetter) -> float:
    """Return where the stopper's middle lies across the barrel, in mm, else the picture's middle."""
    boxes = [s for s in part.picture.shapes if isinstance(s, Box) and s.fill == "rubber"]
    if not boxes:
        return float(part.picture.height if part.axis == "x" else part.picture.width) / 2
    return float(boxes[0].y + boxes[0].h / 2 if part.axis == "x" else boxes[0].x + boxes[0].w / 2)


def moves_by(name: str) -> int:
    """Return the number in a key's name such as ``plunger:-10``: how far, and which way."""
    return int(name.rpartition(":")[2])
