"""A picture as a one-page PDF of exactly its size: one millimetre of the picture is one on paper."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Shape, Words
from kiosk.printing.faces import POINTS_PER_MM, Fonts, faces
from kiosk.printing.picture_inks import ON_PAPER, STOPS, sweep

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.pdfgen.pathobject import PDFPathObject

STANDARD_FACES: Final = (("Helvetica", 0.718), ("Helvetica-Bold", 0.718))
"""Used only where no font files are given: name and height of capitals as a share of the size."""


def pdf(picture: Picture, inks: Mapping[str, str] = ON_PAPER, fonts: Fonts | None = None) -> bytes:
    """Return the PDF; the same picture always gives the same bytes."""
    return _Sheet(picture, inks, fonts).drawn()


class _Sheet:
    """One page being drawn; y grows downwards as in the picture."""

    def __init__(self, picture: Picture, inks: Mapping[str, str], fonts: Fonts | None) -> None:
        from reportlab.pdfgen.canvas import Canvas

        self._out = io.BytesIO()
        self._picture, self._inks = picture, inks
        self._faces = _faces(fonts)
        size = (float(picture.width) * POINTS_PER_MM, float(picture.height) * POINTS_PER_MM)
        first = self._faces[0][0]
        self._canvas: Canvas = Canvas(
            self._out,
            pagesize=size,
            invariant=1,
            initialFontName=first,  # type: ignore[arg-type]  # a name; the stubs say float
            initialFontSize=1,
        )
        self._canvas.setTitle(picture.title)
        self._canvas.scale(POINTS_PER_MM, POINTS_PER_MM)

    def drawn(self) -> bytes:
        """Draw every shape and finish the file."""
        for shape in self._picture.shapes:
            self._draw(shape)
        self._canvas.showPage()
        self._canvas.save()
        return self._out.getvalue()

    def _y(self, y: object) -> float:
        """Return a height counted from the foot of the page, as PDF does."""
        return float(self._picture.height) - float(y)  # type: ignore[arg-type]

    def _draw(self, shape: Shape) -> None:
        """Draw one shape."""
        if isinstance(shape, Words):
            self._words(shape)
        elif isinstance(shape, Line):
            self._canvas.setStrokeColor(self._inks[shape.ink])
            self._canvas.setLineWidth(float(shape.width))
            self._canvas.line(float(shape.x1), self._y(shape.y1), float(shape.x2), self._y(shape.y2))
        else:
            self._area(shape)

    def _words(self, words: Words) -> None:
        """Set a text whose capitals are exactly as high as asked."""
        name, cap = self._faces[1 if words.bold else 0]
        size = float(words.height) / cap
        self._canvas.setFillColor(self._inks[words.ink])
        self._canvas.setFont(name, size)
        wide = self._canvas.stringWidth(words.text, name, size)
        shift = {"start": 0.0, "middle": wide / 2, "end": wide}[words.anchor]
        self._canvas.drawString(float(words.x) - shift, self._y(words.y), words.text)

    def _area(self, shape: Box | Outline) -> None:
        """Fill and stroke a box or an outline; round materials are swept with light across."""
        left, top, right, foot = _bounds(shape)
        colours = sweep(shape.fill, self._inks) if shape.fill else None
        if colours is not None:
            self._canvas.saveState()
            self._canvas.clipPath(self._path(shape), stroke=0, fill=0)
            upright = foot - top >= right - left
            start = (left, self._y(top))
            end = (right, self._y(top)) if upright else (left, self._y(foot))
            self._canvas.linearGradient(*start, *end, list(colours), list(STOPS), extend=True)
            self._canvas.restoreState()
        elif shape.fill:
            self._canvas.setFillColor(self._inks[shape.fill])
            self._canvas.drawPath(self._path(shape), stroke=0, fill=1)
        if shape.stroke:
            self._canvas.setStrokeColor(self._inks[shape.stroke])
            self._canvas.setLineWidth(float(shape.stroke_width))
            self._canvas.setLineJoin(1)
            self._canvas.drawPath(self._path(shape), stroke=1, fill=0)

    def _path(self, shape: Box | Outline) -> PDFPathObject:
        """Return the edge of a box or an outline."""
        path = self._canvas.beginPath()
        if isinstance(shape, Box):
            wide, high, corner = float(shape.w), float(shape.h), float(shape.round)
            place = (float(shape.x), self._y(shape.y + shape.h), wide, high)
            if corner:
                path.roundRect(*place, min(corner, wide / 2, high / 2))
            else:
                path.rect(*place)
            return path
        first, *rest = shape.points
        path.moveTo(float(first[0]), self._y(first[1]))
        for x, y in rest:
            path.lineTo(float(x), self._y(y))
        path.close()
        return path


def _faces(fonts: Fonts | None) -> tuple[tuple[str, float], tuple[str, float]]:
    """Return name and cap share of the regular and the bold face."""
    if fonts is None:
        return STANDARD_FACES
    found = faces(fonts)
    return (found.regular.name, found.regular.cap), (found.bold.name, found.bold.cap)


def _bounds(shape: Box | Outline) -> tuple[float, float, float, float]:
    """Return left, top, right and foot of a shape."""
    if isinstance(shape, Box):
        left, top = float(shape.x), float(shape.y)
        return left, top, left + float(shape.w), top + float(shape.h)
    across = [float(x) for x, _ in shape.points]
    down = [float(y) for _, y in shape.points]
    return min(across), min(down), max(across), max(down)
