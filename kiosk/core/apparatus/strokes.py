"""Helpers for drawing in millimetres: points, bends, mirrored outlines. Exact decimals throughout."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Final, TypeAlias

from kiosk.core.apparatus.picture import Line, Outline, Picture, Shape, Words
from kiosk.core.units import Measure

Point: TypeAlias = tuple[Decimal, Decimal]
HALF: Final = Decimal("0.5")
FINE: Final = Decimal("0.0001")
"""Places are kept to a ten-thousandth of a millimetre: far below a dot of any printer."""


def mm(value: str | int | Decimal | Fraction | Measure) -> Decimal:
    """Return a length as a Decimal of millimetres, to ``FINE``."""
    if isinstance(value, Measure):
        value = value.to("mm").value
    if isinstance(value, Fraction):
        value = Decimal(value.numerator) / Decimal(value.denominator)
    return Decimal(value).quantize(FINE)


def bend(start: Point, towards: Point, end: Point, pieces: int = 10) -> list[Point]:
    """Return the points of a curve that leaves ``start`` towards one point and arrives at ``end`` from it."""
    found: list[Point] = []
    for number in range(pieces + 1):
        t = Decimal(number) / pieces
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t**2
        x = a * start[0] + b * towards[0] + c * end[0]
        y = a * start[1] + b * towards[1] + c * end[1]
        found.append((x.quantize(FINE), y.quantize(FINE)))
    return found


def turned(middle: Decimal, right_side: Sequence[Point]) -> tuple[Point, ...]:
    """Return a closed outline that is the same on both sides of ``middle``.

    ``right_side`` runs from top to bottom; x counts from the middle.
    """
    right = [(middle + x, y) for x, y in right_side]
    left = [(middle - x, y) for x, y in reversed(right_side)]
    return tuple(right + left)


def text_width(text: str, height: Decimal) -> Decimal:
    """Return about how wide a text of this capital height is, for laying out: never for measuring."""
    return Decimal(len(text)) * height * Decimal("0.86")


def picture(width: Decimal, height: Decimal, shapes: Sequence[Shape], title: str) -> Picture:
    """Return a picture of these shapes, its size rounded up to a tenth of a millimetre."""
    tenth = Decimal("0.1")
    return Picture(-(-width // tenth) * tenth, -(-height // tenth) * tenth, tuple(shapes), title)


def moved(shape: Shape, right: Decimal, down: Decimal) -> Shape:
    """Return a shape moved by so many millimetres."""
    if isinstance(shape, Line):
        x1, x2, y1, y2 = shape.x1 + right, shape.x2 + right, shape.y1 + down, shape.y2 + down
        return replace(shape, x1=x1, y1=y1, x2=x2, y2=y2)
    if isinstance(shape, Outline):
        return replace(shape, points=tuple((x + right, y + down) for x, y in shape.points))
    return replace(shape, x=shape.x + right, y=shape.y + down)


def check_measure(left: Decimal, y: Decimal, words: str, text_height: Decimal) -> Iterator[Shape]:
    """Yield a line of exactly 100 mm with its words, so that a print can be checked with a ruler."""
    end = left + mm(100)
    yield Line(left, y, end, y, mm("0.3"), "line", tag="100 mm")
    for x in (left, end):
        yield Line(x, y - mm("1.5"), x, y + mm("1.5"), mm("0.3"), "line")
    yield Words(end + mm(3), y + mm(1), words, text_height, "soft")
