"""What the door shows while nobody works: a barrel as tall as the screen, its scale, and a level at rest.

Decoration only, in the quietest inks; nothing is to be read off it. It takes the last fifth of a lying
screen and is left out where the page needs the room.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QLinearGradient, QPainter, QPen

from kiosk.ui.look import Look

SHARE = 0.19
STEP_MM = 6.5
LEVEL = 0.62


def draw_door(painter: QPainter, look: Look, place: QRectF, rtl: bool) -> None:
    """Draw the barrel into ``place``, off both its upper and lower edge."""
    wide = place.width() * SHARE
    left = place.left() + look.mm(24) if rtl else place.right() - wide - look.mm(24)
    barrel = QRectF(left, place.top() - look.mm(4), wide, place.height() + look.mm(8))
    level = _graduation(look, place, round(place.height() * LEVEL / look.mm(STEP_MM)))
    painter.save()
    painter.setClipRect(place)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_glass(look, barrel, "paper", "panel"))
    painter.drawRect(barrel)
    painter.setBrush(_glass(look, barrel, "panel", "wash"))
    painter.drawRect(QRectF(barrel.left(), level, wide, barrel.bottom() - level))
    painter.setPen(QPen(look.ink("accent"), look.mm(0.4)))
    painter.drawLine(QPointF(barrel.left(), level), QPointF(barrel.right(), level))
    _scale(painter, look, barrel, place, rtl)
    painter.restore()


def _graduation(look: Look, place: QRectF, n: int) -> float:
    """Return where the ``n``-th graduation lies."""
    return place.top() + (n + 0.5) * look.mm(STEP_MM)


def _glass(look: Look, barrel: QRectF, light: str, shade: str) -> QLinearGradient:
    """Return the light across the barrel."""
    sweep = QLinearGradient(barrel.topLeft(), barrel.topRight())
    sweep.setColorAt(0.0, look.ink(shade))
    sweep.setColorAt(0.3, look.ink(light))
    sweep.setColorAt(1.0, look.ink(shade))
    return sweep


def _scale(painter: QPainter, look: Look, barrel: QRectF, place: QRectF, rtl: bool) -> None:
    """Draw the walls and the graduations."""
    painter.setPen(QPen(look.ink("hair"), look.mm(0.9)))
    for x in (barrel.left(), barrel.right()):
        painter.drawLine(QPointF(x, barrel.top()), QPointF(x, barrel.bottom()))
    painter.setPen(QPen(look.ink("edge"), look.mm(0.5)))
    start, way = (barrel.right(), -1) if rtl else (barrel.left(), 1)
    for n in range(int(place.height() / look.mm(STEP_MM)) + 1):
        y = _graduation(look, place, n)
        long = barrel.width() * (0.46 if n % 5 == 2 else 0.26)
        painter.drawLine(QPointF(start + way * look.mm(2), y), QPointF(start + way * (look.mm(2) + long), y))
