"""A rule of true millimetres along an edge: so that life-size can be seen to be so."""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPen

from kiosk.ui.look import Look


def tick_mm(n: int) -> float:
    """Return how long the ``n``-th millimetre's tick is, in bench mm."""
    return 4.4 if n % 10 == 0 else 3.0 if n % 5 == 0 else 1.6


def _pen(look: Look) -> QPen:
    """Return the fine pen of a rule."""
    return QPen(look.ink("edge"), max(1.0, look.scale.life * 0.15))


def rule_down(painter: QPainter, look: Look, edge: float, top: float, bottom: float, inward: int) -> None:
    """Draw a rule down an upright edge; ``inward`` is 1 to the right of it, -1 to the left."""
    painter.setPen(_pen(look))
    for n in range(int((bottom - top) / look.scale.life) + 1):
        y = top + n * look.scale.life
        painter.drawLine(QPointF(edge, y), QPointF(edge + inward * look.mm(tick_mm(n)), y))


def rule_along(painter: QPainter, look: Look, left: float, right: float, top: float) -> None:
    """Draw a rule along an upper edge, ticks hanging down."""
    painter.setPen(_pen(look))
    for n in range(int((right - left) / look.scale.life) + 1):
        x = left + n * look.scale.life
        painter.drawLine(QPointF(x, top), QPointF(x, top + look.mm(tick_mm(n))))
