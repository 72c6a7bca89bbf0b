"""Finding cards. Each level has its own shape, word and place; colour only underlines.

Stop: an octagon, cut corners and a heavy edge, over the question. Caution: a triangle and a wedge down its
side, between question and control. Second person: two people and a doubled sheet, under the control, by
the keys. Note: a sheet with its corner folded, in the object column.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import FindingCard
from kiosk.ui.flow import Flow
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM
from kiosk.ui.look import Look, Type
from kiosk.ui.paged import Turner
from kiosk.ui.part import PartWidget, dismiss
from kiosk.ui.theme import level_inks

SHAPES = {"stop": "stop", "second person": "second", "caution": "caution", "note": "note"}
PLACES = {"stop": "over", "caution": "between", "second person": "under", "note": "beside"}
"""Where on the page a finding of each level stands."""

WHAT = Type(4.4, "semibold", step=1.65)
WHY = Type(3.2, "regular", "ink", step=1.75)
NOW = Type(4.0, "semibold", step=1.7)
WHAT_CLOSE = Type(4.0, "semibold", step=1.55)


class FindingSheet(PartWidget):
    """Draws one ``FindingCard``."""

    def __init__(
        self, card: FindingCard, look: Look, hands: Hands, say: Say, parent: QWidget | None = None
    ) -> None:
        super().__init__(look, hands, say, parent)
        self.card = card
        self.compact = False
        self.setObjectName(f"finding:{card.level}")
        self.setAccessibleName(f"{card.level_word}: {card.what}")
        self.setAccessibleDescription(" ".join(t for t in (card.why, card.now, card.source) if t))

    def set_card(self, painter: QPainter | None, width: float) -> float:
        """Set word, what, why and what now beside the shape; return the card's height."""
        ink, _ = level_inks(self.card.level)
        left, pad = self.mm(19), self.mm(2.8 if self.compact else 4.6)
        flow = self.flow(painter, left, pad, width - left - self.mm(6))
        flow.write(self.card.level_word, "label", ink=ink)
        if self.compact:
            return self._closer(flow) + pad + self.mm(0.8)
        for text, kind, gap in (
            (self.card.what, WHAT, 3.4),
            (self.card.why, WHY, 3.4),
            (self.card.now, NOW, 3.8),
        ):
            flow.gap(gap if text else 0)
            flow.write(text, kind)
        flow.gap(3.4 if self.card.source else 0)
        flow.write(self.card.source, "small")
        return flow.y + pad

    def _closer(self, flow: Flow) -> float:
        """Set the words closer: why and what now run on, the source is only read out; return their bottom."""
        flow.gap(2.8)
        flow.write(self.card.what, WHAT_CLOSE)
        flow.gap(2.8)
        flow.write(" ".join(t for t in (self.card.why, self.card.now) if t), WHY)
        return flow.y

    def height_for(self, width: float) -> float:
        """Return the card's height."""
        return max(self.mm(20), self.set_card(None, width))

    def paint(self, painter: QPainter) -> None:
        """Paint the sheet in the form of its level, the shape and the words."""
        ink, wash = level_inks(self.card.level)
        self._sheet(painter, QRectF(self.rect()), ink, wash)
        size = self.mm(10)
        x = self.width() - self.mm(4.6) - size if self.rtl else self.mm(4.6)
        shape = SHAPES.get(self.card.level, "stop")
        self.look.icons.draw(painter, shape, x, self.mm(4.6), size, self.look.ink(ink))
        self._sign(painter, x, size, ink)
        self.set_card(painter, self.width())

    def _sign(self, painter: QPainter, x: float, size: float, ink: str) -> None:
        """Paint the stroke inside the octagon or the triangle."""
        inside = {"stop": (0.29, 0.5, 0.71, 0.5), "caution": (0.5, 0.38, 0.5, 0.66)}.get(self.card.level)
        if inside is None:
            return
        pen = QPen(self.look.ink(ink), self.mm(1.1))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        y = self.mm(4.6)
        x1, y1, x2, y2 = (size * share for share in inside)
        painter.drawLine(QPointF(x + x1, y + y1), QPointF(x + x2, y + y2))
        if self.card.level == "caution":
            painter.drawPoint(QPointF(x + size / 2, y + size * 0.8))

    def _sheet(self, painter: QPainter, rect: QRectF, ink: str, wash: str) -> None:
        """Paint the sheet's own form."""
        level, heavy = self.card.level, self.mm(0.9)
        pen = QPen(self.look.ink(ink), heavy if level == "stop" else self.mm(0.35))
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        inner = rect.adjusted(heavy / 2, heavy / 2, -heavy / 2, -heavy / 2)
        painter.setPen(pen)
        painter.setBrush(self.look.ink(wash))
        if level == "second person":
            step = self.mm(1.4)
            painter.drawRect(inner.adjusted(step, step, 0, 0))
            painter.drawRect(inner.adjusted(0, 0, -step, -step))
        elif level == "caution":
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawRect(rect)
            self._wedge(painter, rect, ink)
        else:
            painter.drawPolygon(self._cut(inner, level))

    def _cut(self, rect: QRectF, level: str) -> QPolygonF:
        """Return the outline: all corners cut for a stop, one folded for a note."""
        cut = self.mm(3.6)
        left, top, right, bottom = rect.left(), rect.top(), rect.right(), rect.bottom()
        if level == "note":
            points = [(left, top), (right - cut, top), (right, top + cut), (right, bottom), (left, bottom)]
        else:
            points = [(left + cut, top), (right - cut, top), (right, top + cut), (right, bottom - cut)]
            points += [(right - cut, bottom), (left + cut, bottom), (left, bottom - cut), (left, top + cut)]
        return QPolygonF([QPointF(x, y) for x, y in points])

    def _wedge(self, painter: QPainter, rect: QRectF, ink: str) -> None:
        """Paint the wedge down the starting side of a caution."""
        edge, wide = (rect.right(), -self.mm(2.6)) if self.rtl else (rect.left(), self.mm(2.6))
        painter.setBrush(self.look.ink(ink))
        painter.drawPolygon(
            QPolygonF(
                [QPointF(edge, rect.top()), QPointF(edge + wide, rect.bottom()), QPointF(edge, rect.bottom())]
            )
        )


class FindingStack(PartWidget):
    """The findings of one place, over one another; turned one at a time where room is short."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.sheets: list[FindingSheet] = []
        self.turner = Turner(look, hands, say, self)

    def show_cards(self, cards: tuple[FindingCard, ...]) -> None:
        """Show the cards, heaviest first as they come."""
        if tuple(sheet.card for sheet in self.sheets) != cards:
            for sheet in self.sheets:
                dismiss(sheet)
            self.sheets = [FindingSheet(card, self.look, self.hands, self.say, self) for card in cards]
            self.turner.first = 0
        self.setVisible(bool(cards))
        self.arrange()

    def focus_chain(self) -> list[QWidget]:
        """Return the turning keys."""
        return self.turner.focus_chain()

    def set_compact(self, compact: bool) -> None:
        """Set all cards closer, or at ease."""
        for sheet in self.sheets:
            sheet.compact = compact
            sheet.update()

    def height_for(self, width: float) -> float:
        """Return all cards."""
        high = sum(sheet.height_for(width) for sheet in self.sheets)
        return high + self.mm(BETWEEN_MM) * max(0, len(self.sheets) - 1)

    def least_height(self, width: float) -> float:
        """Return the tallest card beside the turning keys."""
        if len(self.sheets) < 2:
            return self.height_for(width)
        narrow = width - self.turner.wide() - self.mm(BETWEEN_MM)
        return max(self.mm(43), *(sheet.height_for(narrow) for sheet in self.sheets))

    def arrange(self) -> None:
        """Place the cards that fit."""
        full = float(self.width())
        many = self.height_for(full) > self.height() + 1 and len(self.sheets) > 1
        wide = full - self.turner.wide() - self.mm(BETWEEN_MM) if many else full
        heights = [sheet.height_for(wide) for sheet in self.sheets]
        room = float(self.height()) if many else sum(heights) + self.mm(BETWEEN_MM) * len(heights)
        first, end, _ = self.turner.pages(heights, room)
        if many:
            self.place(self.turner, wide + self.mm(BETWEEN_MM), 0, self.turner.wide(), self.height())
            self.turner.arrange()
        self.turner.setVisible(many)
        y = 0.0
        for n, sheet in enumerate(self.sheets):
            sheet.setVisible(first <= n < end)
            if first <= n < end:
                self.place(sheet, 0, y, wide, heights[n])
                y += heights[n] + self.mm(BETWEEN_MM)
