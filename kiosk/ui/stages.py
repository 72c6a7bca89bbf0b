"""The stages as a scale along the upper edge of the screen: filled as far as the work has come."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import StageMark
from kiosk.ui.hands import Hands, Say
from kiosk.ui.look import Look, Type
from kiosk.ui.part import PartWidget

NAME = {"done": Type(3.2, "semibold"), "now": Type(3.2, "bold"), "ahead": Type(3.2, "regular", "soft")}
DECIDED = Type(3.1, "regular", "accent")
ROW_MM = 15.8
INDENT_MM = 1.8
BAR_MM = 1.6


class StageRow(PartWidget):
    """Draws the stage names in one row, or two where they do not fit; done ones with what was decided."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.stages: tuple[StageMark, ...] = ()
        self.margin = 0.0
        self.setObjectName("stages")

    def show_part(self, stages: tuple[StageMark, ...]) -> None:
        """Show the stages."""
        if stages == self.stages:
            return
        self.stages = stages
        self.setAccessibleName("\n".join(f"{s.name}: {s.decided}" if s.decided else s.name for s in stages))
        self.update()

    def height_for(self, width: float) -> float:
        """Return one or two rows."""
        return self.mm(ROW_MM) * len(self.rows(width)) if self.stages else 0.0

    def rows(self, width: float) -> list[tuple[StageMark, ...]]:
        """Return the stages in one row, or in two halves."""
        room = width - 2 * self.margin
        if sum(self._least(stage) for stage in self.stages) <= room:
            return [self.stages]
        half = (len(self.stages) + 1) // 2
        return [self.stages[:half], self.stages[half:]]

    def _least(self, stage: StageMark) -> float:
        """Return the room a stage's name needs."""
        flow = self.flow(None, 0, 0, 0)
        return flow.measure(stage.name, NAME[stage.state]) + self.mm(INDENT_MM + 2.4)

    def _like(self, stage: StageMark) -> float:
        """Return the room a stage would like, with what was decided there."""
        decided = self.flow(None, 0, 0, 0).measure(stage.decided, DECIDED) + self.mm(INDENT_MM + 2.4)
        return max(self._least(stage), decided)

    def widths(self, row: tuple[StageMark, ...], room: float) -> list[float]:
        """Share a row: what all would like if it fits, else the names, and the decided of the latest."""
        wide = [self._least(stage) for stage in row]
        for n in sorted(range(len(row)), key=lambda n: row[n].state != "now", reverse=False):
            more = self._like(row[n]) - wide[n]
            if sum(wide) + more <= room:
                wide[n] += more
        spare = (room - sum(wide)) / len(row)
        return [w + spare for w in wide]

    def paint(self, painter: QPainter) -> None:
        """Paint each row."""
        if not self.stages:
            return
        for n, row in enumerate(self.rows(self.width())):
            self._row(painter, row, n * self.mm(ROW_MM))

    def _row(self, painter: QPainter, row: tuple[StageMark, ...], top: float) -> None:
        """Paint one row: the bar, its graduations, the names under it."""
        room = self.width() - 2 * self.margin
        bar = self.mm(BAR_MM)
        painter.fillRect(QRectF(0, top, self.width(), bar), self.look.ink("hair"))
        x, reached = self.margin, 0.0
        for stage, wide in zip(row, self.widths(row, room), strict=True):
            if stage.state != "ahead":
                reached = x + wide
            self._stage(painter, stage, x, top, wide)
            x += wide
        if reached:
            last = row[-1].state != "ahead"
            done = self.width() if last else reached - self.mm(2)
            left = self.width() - done if self.rtl else 0.0
            painter.fillRect(QRectF(left, top, done, bar), self.look.ink("accent"))

    def _stage(self, painter: QPainter, stage: StageMark, x: float, top: float, wide: float) -> None:
        """Paint one graduation with its name and what was decided."""
        ink = self.look.ink("edge" if stage.state == "ahead" else "accent")
        tall = self.mm(ROW_MM - 2 if stage.state == "now" else 6.6)
        at = self.width() - x if self.rtl else x
        painter.setPen(QPen(ink, max(1.0, self.mm(0.5 if stage.state == "now" else 0.3))))
        painter.drawLine(QPointF(at, top), QPointF(at, top + tall))
        flow = self.flow(painter, x + self.mm(INDENT_MM), top + self.mm(4.0), wide - self.mm(INDENT_MM))
        flow.write(stage.name, NAME[stage.state])
        flow.gap(2.7)
        if flow.measure(stage.decided, DECIDED) <= wide - self.mm(INDENT_MM):
            flow.write(stage.decided, DECIDED)
