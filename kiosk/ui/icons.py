"""Our own small shapes, kept as SVG files of one path each and drawn in any ink at any size.

Only straight and cubic strokes (M, L, C, Z, absolute) are used, so no SVG library is loaded.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

BOX = 24.0
"""Every shape lives in a square of 24 x 24."""

_PATH = re.compile(r'<path d="([^"]+)"[^>]*stroke-width="([0-9.]+)"')
_TOKEN = re.compile(r"[MLCZ]|-?[0-9.]+")
_TAKES = {"M": 1, "L": 1, "C": 3, "Z": 0}


def path_of(data: str) -> QPainterPath:
    """Return the path of an SVG ``d`` attribute. Raises ``ValueError`` for a command we do not use."""
    path = QPainterPath()
    draw: dict[str, Callable[..., None]] = {"M": path.moveTo, "L": path.lineTo, "C": path.cubicTo}
    tokens = _TOKEN.findall(data)
    at = 0
    while at < len(tokens):
        command = tokens[at]
        if command not in _TAKES:
            raise ValueError(f"not a stroke we use: {command!r}")
        numbers = [float(t) for t in tokens[at + 1 : at + 1 + 2 * _TAKES[command]]]
        at += 1 + 2 * _TAKES[command]
        if command == "Z":
            path.closeSubpath()
        else:
            draw[command](*[QPointF(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)])
    return path


class Icons:
    """The shapes of one folder, each read when first drawn."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._read: dict[str, tuple[QPainterPath, float]] = {}

    def shape(self, name: str) -> tuple[QPainterPath, float]:
        """Return a shape's path and stroke width. Raises ``OSError`` when there is no such file."""
        if name not in self._read:
            found = _PATH.search((self._folder / f"{name}.svg").read_text(encoding="utf-8"))
            if found is None:
                raise ValueError(f"{name}.svg is not one stroked path")
            self._read[name] = (path_of(found[1]), float(found[2]))
        return self._read[name]

    def draw(
        self,
        painter: QPainter,
        name: str,
        x: float,
        y: float,
        size: float,
        ink: QColor,
        fill: QColor | None = None,
    ) -> None:
        """Draw a shape into the square at ``x``, ``y`` of ``size`` dots."""
        path, width = self.shape(name)
        pen = QPen(ink, width)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(x, y)
        painter.scale(size / BOX, size / BOX)
        painter.setPen(pen)
        painter.setBrush(fill if fill is not None else Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
        painter.restore()
