"""Sets text down a column: measures and paints with the same code, so what fits is what is drawn.

Type hangs from the tops of its capitals: a block begins at the cap line of its first line and ends at the
baseline of its last, which is what the eye measures. A number is never parted from its unit, nor a whole
from its fraction.
"""

from __future__ import annotations

import re

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QTextLayout, QTextOption

from kiosk.ui.look import TYPES, Look, Type

_UNIT = re.compile(r"(?<=\d) (?=[^\W\d_]{1,5}\b|%|\d+/\d)")
_FRENCH = re.compile(r" (?=[?!:;»%])|(?<=«) ")
NBSP = "\u00a0"
_ALIGN = {
    "start": Qt.AlignmentFlag.AlignLeft,
    "middle": Qt.AlignmentFlag.AlignHCenter,
    "end": Qt.AlignmentFlag.AlignRight,
}


def bound(text: str) -> str:
    """Return the text with a hard space between a number and its unit, and before French punctuation."""
    return _FRENCH.sub(NBSP, _UNIT.sub(NBSP, text))


def broken(
    text: str, font: QFont, width: float, align: str, step: float, rtl: bool
) -> tuple[QTextLayout, int]:
    """Break a paragraph into lines ``step`` dots apart; return the layout and how many lines."""
    layout = QTextLayout(bound(text), font)
    side = {"start": "end", "end": "start"}.get(align, align) if rtl else align
    option = QTextOption(_ALIGN[side])
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    option.setTextDirection(Qt.LayoutDirection.RightToLeft if rtl else Qt.LayoutDirection.LeftToRight)
    layout.setTextOption(option)
    layout.beginLayout()
    count = 0
    while (line := layout.createLine()).isValid():
        line.setLineWidth(max(1.0, width))
        line.setPosition(QPointF(0, count * step))
        count += 1
    layout.endLayout()
    return layout, count


class Flow:
    """A pen going down a column of ``width`` dots from ``x``, ``y``; with no painter it only measures."""

    def __init__(
        self, look: Look, painter: QPainter | None, x: float, y: float, width: float, rtl: bool = False
    ) -> None:
        self.look, self.painter = look, painter
        self.x, self.y, self.width, self.rtl = x, y, width, rtl

    def gap(self, bench_mm: float) -> None:
        """Move down."""
        self.y += self.look.mm(bench_mm)

    def write(
        self, text: str, kind: str | Type, align: str = "start", ink: str = "", indent: float = 0
    ) -> float:
        """Set a paragraph, move to its last baseline, return its height; ``indent`` in dots."""
        if not text:
            return 0.0
        style = kind if isinstance(kind, Type) else TYPES[kind]
        font = self.look.font(style)
        cap = font.pixelSize() * self.look.faces.cap_share
        layout, count = broken(text, font, self.width - indent, align, cap * style.step, self.rtl)
        if self.painter is not None:
            self.painter.setPen(self.look.ink(ink or style.ink))
            ascent = QFontMetricsF(font).ascent()
            left = self.x if self.rtl else self.x + indent
            layout.draw(self.painter, QPointF(left, self.y - (ascent - cap)))
        height = cap + (count - 1) * cap * style.step
        self.y += height
        return height

    def pair(self, start: str, end: str, kind: str, end_kind: str) -> None:
        """Set one paragraph at the start and a short one at the end of its line, or under it."""
        top, full = self.y, self.width
        reserve = self.measure(end, end_kind) + self.look.mm(2) if end else 0
        if end and self.measure(start, kind) + reserve > full:
            self.write(start, kind)
            self.gap(2.8)
            self.write(end, end_kind)
            return
        self.width = full - reserve
        if self.rtl:
            self.x += reserve
        self.write(start, kind)
        bottom = self.y
        if self.rtl:
            self.x -= reserve
        self.width, self.y = full, top
        self.write(end, end_kind, align="end")
        self.y = max(self.y, bottom)

    def measure(self, text: str, kind: str | Type) -> float:
        """Return the width of a text on one line, in dots."""
        style = kind if isinstance(kind, Type) else TYPES[kind]
        return QFontMetricsF(self.look.font(style)).horizontalAdvance(bound(text))

    def rule(self, ink: str = "hair", dashed: bool = False, bench_mm: float = 0.3) -> None:
        """Draw a line across the column at the pen."""
        if self.painter is None:
            return
        pen = QPen(self.look.ink(ink), max(1.0, self.look.mm(bench_mm)))
        if dashed:
            pen.setDashPattern([4, 3])
        self.painter.setPen(pen)
        self.painter.drawLine(QPointF(self.x, self.y), QPointF(self.x + self.width, self.y))

    def icon(self, name: str, size_mm: float, ink: str, fill: str = "", drop: float = 0) -> None:
        """Draw a shape at the start of the line, ``drop`` mm below the pen; the pen does not move."""
        if self.painter is None:
            return
        size = self.look.mm(size_mm)
        left = self.x + self.width - size if self.rtl else self.x
        brush = self.look.ink(fill) if fill else None
        self.look.icons.draw(
            self.painter, name, left, self.y + self.look.mm(drop), size, self.look.ink(ink), brush
        )


def rounded(
    painter: QPainter,
    rect: QRectF,
    radius: float,
    fill: QColor | None,
    edge: QColor | None,
    width: float,
    dashed: bool = False,
) -> None:
    """Fill a rounded rectangle, and stroke it inside its bounds when ``edge`` is a colour."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(QBrush(fill) if fill is not None else QBrush(Qt.BrushStyle.NoBrush))
    inset = 0.0
    if edge is None:
        painter.setPen(Qt.PenStyle.NoPen)
    else:
        pen = QPen(edge, width)
        if dashed:
            pen.setDashPattern([5, 4])
        painter.setPen(pen)
        inset = width / 2
    painter.drawRoundedRect(rect.adjusted(inset, inset, -inset, -inset), radius, radius)
