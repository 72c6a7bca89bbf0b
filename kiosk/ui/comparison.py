"""Working and comparison: two written forms side by side; where readings agree or differ."""

from __future__ import annotations

from typing import TypeAlias

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Comparison, Working
from kiosk.ui.flow import Flow, rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.key_row import KeyRow
from kiosk.ui.keys import BETWEEN_MM, RADIUS_MM
from kiosk.ui.look import Look, Type
from kiosk.ui.part import ControlWidget

FIGURE = Type(5.2, "semibold", step=1.5)
LINE = Type(3.4, "regular", "ink", step=1.8)


Block: TypeAlias = tuple[tuple[str, str | Type], ...]


class SheetPage(ControlWidget):
    """A sheet that is measured and painted by ``set_sheet``, with one row of keys under it."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.row = KeyRow(look, hands, say, self)

    def set_sheet(self, painter: QPainter | None, width: float) -> float:
        """Set the sheet's text; return its height."""
        return 0.0

    def height_for(self, width: float) -> float:
        """Return sheet and keys."""
        return self.set_sheet(None, width) + self.mm(BETWEEN_MM + 1) + self.row.height_for(width)

    def focus_chain(self) -> list[QWidget]:
        """Return the keys."""
        return self.row.focus_chain()

    def arrange(self) -> None:
        """Put the keys under the sheet."""
        top = self.set_sheet(None, self.width()) + self.mm(BETWEEN_MM + 1)
        self.place(self.row, 0, top, self.width(), self.row.height_for(self.width()))

    def paint(self, painter: QPainter) -> None:
        """Paint the sheet."""
        sheet = QRectF(0, 0, self.width(), self.set_sheet(None, self.width()))
        hair = max(1.0, self.mm(0.25))
        rounded(painter, sheet, self.mm(RADIUS_MM), self.look.ink("paper"), self.look.ink("hair"), hair)
        self.set_sheet(painter, self.width())


class WorkingPage(SheetPage):
    """Shows ``Working``."""

    most_width_mm = 240.0

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: Working | None = None

    def show_part(self, part: Working) -> None:
        """Show the verdict, both figures and both forms."""
        self.part = part
        lines = [f"{head}: {'; '.join(body)}" for head, body in part.columns]
        self.setAccessibleName("\n".join((part.verdict, part.mine, part.kiosk, *lines)))
        self.row.show_keys((part.go_on,))
        self.arrange()
        self.update()

    def set_sheet(self, painter: QPainter | None, width: float) -> float:
        """Set verdict, figures, then the forms in columns."""
        part = self.part
        if part is None:
            return 0.0
        flow = self.flow(painter, self.mm(6), self.mm(6), width - self.mm(12))
        flow.icon("tick" if part.agrees else "unequal", 7, "accent" if part.agrees else "stop", drop=-1)
        flow.write(part.verdict, "name", indent=self.mm(11), ink="ink" if part.agrees else "stop")
        flow.gap(5.5)
        bottom = self._halves(flow, (part.mine, part.kiosk), FIGURE)
        flow.y = bottom + self.mm(5)
        flow.rule(dashed=True)
        flow.gap(5.5)
        return self._forms(flow, part) + self.mm(6)

    def _halves(self, flow: Flow, texts: tuple[str, ...], kind: Type) -> float:
        """Set texts side by side in equal columns; return the lowest bottom."""
        return max(self._column(flow, n, len(texts), ((text, kind),)) for n, text in enumerate(texts))

    def _forms(self, flow: Flow, part: Working) -> float:
        """Set each form: its name, then its lines; under one another where columns would be too narrow."""
        stacked = flow.width < self.mm(100) or self._too_wide(flow, part)
        bottom = flow.y
        for n, (head, lines) in enumerate(part.columns):
            block: Block = ((head, "label"), *((line, LINE) for line in lines))
            if stacked:
                flow.gap(4.5 if n else 0)
                bottom = flow.y = self._column(flow, 0, 1, block)
            else:
                bottom = max(bottom, self._column(flow, n, len(part.columns), block))
        return bottom

    def _too_wide(self, flow: Flow, part: Working) -> bool:
        """Say whether any line would break in its column."""
        room = flow.width / max(1, len(part.columns)) - self.mm(4)
        return any(flow.measure(line, LINE) > room for _, lines in part.columns for line in lines)

    def _column(self, flow: Flow, n: int, count: int, block: Block) -> float:
        """Set a block into column ``n`` of ``count``; the pen of ``flow`` stays where it is."""
        wide = flow.width / count
        left = flow.x + wide * (count - 1 - n if self.rtl else n)
        column = Flow(self.look, flow.painter, left, flow.y, wide - self.mm(4), self.rtl)
        for m, (text, kind) in enumerate(block):
            column.gap(3.4 if m else 0)
            column.write(text, kind)
        return column.y


class ComparisonPage(SheetPage):
    """Shows a ``Comparison``: what was compared and whether it agrees, never the readings."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: Comparison | None = None

    def show_part(self, part: Comparison) -> None:
        """Show the rows."""
        self.part = part
        self.setAccessibleName("\n".join(f"{what}: {verdict}" for what, verdict, _ in part.rows))
        self.row.show_keys((part.go_on,))
        self.arrange()
        self.update()

    def set_sheet(self, painter: QPainter | None, width: float) -> float:
        """Set one row for each thing compared."""
        if self.part is None:
            return 0.0
        flow = self.flow(painter, self.mm(6), self.mm(6), width - self.mm(12))
        for n, (what, verdict, agrees) in enumerate(self.part.rows):
            if n:
                flow.gap(4.6)
                flow.rule()
                flow.gap(5.2)
            flow.icon("tick" if agrees else "unequal", 7, "accent" if agrees else "stop", drop=-1.4)
            inner = Flow(self.look, painter, flow.x + (0 if self.rtl else self.mm(12)), flow.y, 0, self.rtl)
            inner.width = flow.width - self.mm(12)
            inner.pair(what, verdict, "name", "name")
            flow.y = inner.y
        return flow.y + self.mm(6)
