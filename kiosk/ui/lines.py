"""A list to read: what happened when, on one sheet, turned page by page where it is long."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Line, Lines
from kiosk.ui.flow import Flow, rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, RADIUS_MM
from kiosk.ui.look import Look
from kiosk.ui.paged import Turner
from kiosk.ui.part import ControlWidget

PAD_MM = 5.5
AIR_MM = 4.6


class LineList(ControlWidget):
    """Shows ``Lines``."""

    most_width_mm = 320.0

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part = Lines(())
        self.turner = Turner(look, hands, say, self)
        self.shown: tuple[int, int] = (0, 0)

    def show_part(self, part: Lines) -> None:
        """Show another list, from its beginning."""
        if part != self.part:
            self.turner.first = 0
        self.part = part
        said = (" ".join(t for t in (line.at, line.text, line.detail) if t) for line in part.lines)
        self.setAccessibleName("\n".join(said) or part.empty)
        self.arrange()
        self.update()

    def focus_chain(self) -> list[QWidget]:
        """Return the turning keys."""
        return self.turner.focus_chain()

    def _set_line(self, flow: Flow, line: Line) -> None:
        """Set one line: when, at the start, in a column of its own; what, and under it what belongs to it."""
        top, x, full = flow.y, flow.x, flow.width
        longest = max((flow.measure(one.at, "soft") for one in self.part.lines), default=0.0)
        column = min(longest + self.mm(6), full * 0.36) if longest else 0.0
        flow.width = column - self.mm(5) if longest else full
        if self.rtl:
            flow.x = x + full - flow.width
        flow.write(line.at, "soft")
        bottom = flow.y
        flow.x = x if self.rtl else x + column
        flow.y, flow.width = top, full - column
        flow.write(line.text, "body")
        flow.gap(3.2 if line.detail else 0)
        flow.write(line.detail, "small")
        flow.x, flow.width, flow.y = x, full, max(bottom, flow.y)

    def _heights(self, width: float) -> list[float]:
        """Return the height of every line at a sheet's width."""
        heights = []
        for line in self.part.lines:
            flow = self.flow(None, 0, 0, width - 2 * self.mm(PAD_MM))
            self._set_line(flow, line)
            heights.append(flow.y + self.mm(2 * AIR_MM - BETWEEN_MM + 1.6))
        return heights

    def height_for(self, width: float) -> float:
        """Return the whole list on one sheet."""
        heights = self._heights(width)
        if not heights:
            return self.mm(30)
        return sum(heights) + self.mm(BETWEEN_MM) * (len(heights) - 1)

    def least_height(self, width: float) -> float:
        """Return room for the turning keys, and for the longest line."""
        longest = max(self._heights(width - self.turner.wide()), default=0.0)
        return min(self.height_for(width), max(longest, self.mm(2 * LEAST_MM + BETWEEN_MM)))

    def _sheet_width(self) -> float:
        """Return the sheet's width: the turning keys stand beside it."""
        turned = self.height_for(self.width()) > self.height() + 1
        return self.width() - (self.turner.wide() + self.mm(BETWEEN_MM) if turned else 0)

    def arrange(self) -> None:
        """Find the lines to show and place the turning keys."""
        wide = self._sheet_width()
        first, end, many = self.turner.pages(self._heights(wide), float(self.height()))
        self.shown = (first, end)
        if many:
            self.place(self.turner, wide + self.mm(BETWEEN_MM), 0, self.turner.wide(), self.height())
            self.turner.arrange()
        self.turner.setVisible(many)

    def paint(self, painter: QPainter) -> None:
        """Paint the sheet with its lines, or that there is nothing."""
        if not self.part.lines:
            sheet = QRectF(0, 0, self.width(), self.mm(30))
            rounded(
                painter, sheet, self.mm(RADIUS_MM), None, self.look.ink("edge"), self.mm(0.3), dashed=True
            )
            self.flow(painter, 0, self.mm(13), self.width()).write(self.part.empty, "soft", "middle")
            return
        wide, (first, end) = self._sheet_width(), self.shown
        heights = self._heights(wide)[first:end]
        high = sum(heights) + self.mm(BETWEEN_MM) * (len(heights) - 1)
        x = self.width() - wide if self.rtl else 0.0
        hair = max(1.0, self.mm(0.25))
        sheet = QRectF(x, 0, wide, high)
        rounded(painter, sheet, self.mm(RADIUS_MM), self.look.ink("paper"), self.look.ink("hair"), hair)
        flow = self.flow(painter, self.mm(PAD_MM), 0, wide - 2 * self.mm(PAD_MM))
        y = 0.0
        for n, line in enumerate(self.part.lines[first:end]):
            if n:
                flow.y = y - self.mm(BETWEEN_MM / 2)
                flow.rule()
            flow.y = y + self.mm(AIR_MM - BETWEEN_MM / 2 + 0.8)
            self._set_line(flow, line)
            y += heights[n] + self.mm(BETWEEN_MM)
