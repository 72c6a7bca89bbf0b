"""Draws ``Picture`` values with a painter: any number of dots per millimetre, never rounded to dots.

Glass, liquid, rubber and metal get a soft light across their narrower side, as a round thing has; every
other ink is flat. Shapes stay where their millimetres say: nothing is nudged to whole dots.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QLinearGradient, QPainter, QPen, QPolygonF

from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Shape, Words
from kiosk.ui.look import Look

ROUND_INKS = {"glass": (1.10, 0.93), "liquid": (1.06, 0.91), "rubber": (1.22, 0.80), "metal": (1.30, 0.78)}
"""How much a round material lightens where the light falls and darkens at its edges."""

TYPE_SIZE = 100
"""Letters are set at this size and scaled: exact heights at any scale."""


def draw_picture(
    painter: QPainter, picture: Picture, look: Look, origin: QPointF, dots_per_mm: float, rtl: bool = False
) -> None:
    """Draw a picture with its top left corner at ``origin``. A picture is never mirrored."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
    painter.translate(origin)
    painter.scale(dots_per_mm, dots_per_mm)
    for shape in picture.shapes:
        _draw(painter, shape, look, 1 / dots_per_mm)
    painter.restore()


def _draw(painter: QPainter, shape: Shape, look: Look, dot: float) -> None:
    """Draw one shape; ``dot`` is one dot in mm, the least width of a stroke."""
    if isinstance(shape, Line):
        pen = QPen(look.picture_ink(shape.ink), max(float(shape.width), dot))
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLine(QPointF(float(shape.x1), float(shape.y1)), QPointF(float(shape.x2), float(shape.y2)))
    elif isinstance(shape, Box):
        rect = QRectF(float(shape.x), float(shape.y), float(shape.w), float(shape.h))
        _prepare(painter, look, shape.fill, shape.stroke, float(shape.stroke_width), rect, dot)
        painter.drawRoundedRect(rect, float(shape.round), float(shape.round))
    elif isinstance(shape, Outline):
        polygon = QPolygonF([QPointF(float(x), float(y)) for x, y in shape.points])
        stroke = float(shape.stroke_width)
        _prepare(painter, look, shape.fill, shape.stroke, stroke, polygon.boundingRect(), dot)
        painter.drawPolygon(polygon)
    else:
        _letters(painter, shape, look)


def _prepare(
    painter: QPainter, look: Look, fill: str, stroke: str, width: float, rect: QRectF, dot: float
) -> None:
    """Set brush and pen for a shape within ``rect``."""
    painter.setBrush(_brush(look, fill, rect) if fill else QBrush(Qt.BrushStyle.NoBrush))
    if stroke:
        pen = QPen(look.picture_ink(stroke), max(width, dot))
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
    else:
        painter.setPen(Qt.PenStyle.NoPen)


def _brush(look: Look, ink: str, rect: QRectF) -> QBrush:
    """Return a flat brush, or a lit one for a round material."""
    colour = look.picture_ink(ink)
    if ink not in ROUND_INKS:
        return QBrush(colour)
    upright = rect.height() >= rect.width()
    end = QPointF(rect.right(), rect.top()) if upright else QPointF(rect.left(), rect.bottom())
    light, shade = ROUND_INKS[ink]
    sweep = QLinearGradient(rect.topLeft(), end)
    sweep.setColorAt(0.0, _lit(colour, shade))
    sweep.setColorAt(0.28, _lit(colour, light))
    sweep.setColorAt(0.60, colour)
    sweep.setColorAt(1.0, _lit(colour, shade))
    return QBrush(sweep)


def _lit(colour: QColor, share: float) -> QColor:
    """Return a colour lightened (share above 1) or darkened."""
    return colour.lighter(round(share * 100)) if share >= 1 else colour.darker(round(100 / share))


def _letters(painter: QPainter, words: Words, look: Look) -> None:
    """Set text so that its capitals are exactly ``height`` mm high, the baseline at y."""
    font = look.faces.sized("semibold" if words.bold else "regular", TYPE_SIZE)
    size = float(words.height) / (TYPE_SIZE * look.faces.cap_share)
    wide = QFontMetricsF(font).horizontalAdvance(words.text)
    shift = {"start": 0.0, "middle": wide / 2, "end": wide}[words.anchor]
    painter.save()
    painter.translate(float(words.x), float(words.y))
    painter.scale(size, size)
    painter.setFont(font)
    painter.setPen(look.picture_ink(words.ink))
    painter.drawText(QPointF(-shift, 0), words.text)
    painter.restore()


def right_of(picture: Picture, below: float) -> float:
    """Return how far right anything is drawn at or under ``below``, in mm."""
    reach = [_reach(shape) for shape in picture.shapes]
    return max((right for right, bottom in reach if bottom >= below), default=0.0)


def _reach(shape: Shape) -> tuple[float, float]:
    """Return the right edge and the lower edge of a shape; letters are reckoned wide."""
    if isinstance(shape, Line):
        return float(max(shape.x1, shape.x2)), float(max(shape.y1, shape.y2))
    if isinstance(shape, Box):
        return float(shape.x + shape.w), float(shape.y + shape.h)
    if isinstance(shape, Outline):
        return float(max(x for x, _ in shape.points)), float(max(y for _, y in shape.points))
    wide = float(shape.height) * 0.95 * len(shape.text)
    share = {"start": 1.0, "middle": 0.5, "end": 0.0}[shape.anchor]
    return float(shape.x) + wide * share, float(shape.y)
