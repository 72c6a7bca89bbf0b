"""The printed scale: every graduation at its true place, longer lines with numbers, as on the barrel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.apparatus.picture import Line, Shape, Words
from kiosk.core.apparatus.strokes import HALF, mm
from kiosk.core.apparatus.syringe_shape import SyringeShape, position_at
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.notation import number
from kiosk.core.units import Measure

WALL_INSET: Final = mm("0.35")
"""How far inside the barrel's edge the lines begin."""
NUMBER_GAP: Final = mm("0.4")
STRADDLE: Final = Decimal("0.25")
"""A number is shown light once this share of its height, up and down from its middle, lies on rubber."""
RIM: Final = Decimal("0.1")
RIM_PLACES: Final = tuple((right, down) for right in (-1, 0, 1) for down in (-1, 0, 1) if right or down)
"""Eight light copies around a number make its rim, this share of its height wide."""


@dataclass(frozen=True, slots=True)
class Graduation:
    """One line of the scale: its reading, its place from the zero line (mm), numbered or halfway or plain."""

    reading: Measure
    place: Decimal
    rank: str


def graduations(syringe: Syringe) -> tuple[Graduation, ...]:
    """Return every line of the scale from zero to nominal. ``rank`` is numbered, halfway or plain."""
    count = syringe.nominal.ratio(syringe.graduation)
    lines = []
    for step in range(int(count) + 1):
        reading = syringe.graduation.scaled(step)
        lines.append(Graduation(reading, position_at(syringe, reading), _rank(syringe, reading)))
    return tuple(lines)


def _rank(syringe: Syringe, reading: Measure) -> str:
    """Return how long a line is: numbered ones are longest, those halfway between two less so."""
    share = reading.ratio(syringe.numbered_every)
    if share.denominator == 1 or reading.same(syringe.nominal):
        return "numbered"
    return "halfway" if share.denominator == 2 else "plain"


def number_height(shape: SyringeShape) -> Decimal:
    """Return how high the numbers of the scale are: as the barrel's width and their distance allow."""
    apart = position_at(shape.syringe, shape.syringe.numbered_every)
    numbered = (g.reading for g in graduations(shape.syringe) if g.rank == "numbered")
    widest = max(_digits_wide(_number(reading, "en")) for reading in numbered)
    room = shape.outer - WALL_INSET - line_length(shape, "numbered") - NUMBER_GAP - mm("0.3")
    return min(mm("2.5"), room / widest, apart * Decimal("0.62")).quantize(Decimal("0.01"))


def _digits_wide(text: str) -> Decimal:
    """Return how many capital heights wide a scale number is: digits are all alike, a point is narrow."""
    return sum((Decimal("0.4") if sign in ".," else Decimal("0.86") for sign in text), Decimal(0))


def printed_scale(shape: SyringeShape, edge: Decimal, language: str) -> Iterator[Shape]:
    """Yield the lines and numbers; those over the stopper, below ``edge`` (y), stand light on the rubber."""
    left = shape.middle - shape.outer / 2 + WALL_INSET
    wall = shape.middle - shape.bore / 2
    width = line_width(shape)
    high = number_height(shape)
    for line in graduations(shape.syringe):
        y = shape.zero + line.place
        over = edge < y <= edge + shape.stopper
        long = left + line_length(shape, line.rank)
        start, ink = (wall, "paper") if over else (left, "line")
        yield Line(start, y, long, y, width, ink, tag=f"graduation:{_number(line.reading, 'en')}")
        if line.rank == "numbered" and line.reading.value > 0:
            text = _number(line.reading, language)
            place = (long + NUMBER_GAP, y + high / 2, text, high)
            yield from _number_over(place, y, edge, shape.stopper)


def _number_over(
    place: tuple[Decimal, Decimal, str, Decimal], y: Decimal, edge: Decimal, stopper: Decimal
) -> Iterator[Words]:
    """Yield one number of the scale: light on rubber, dark elsewhere, with a light rim across an edge."""
    across, base, text, high = place
    reach = high * STRADDLE
    on_rubber = edge < y - reach and y + reach <= edge + stopper
    if not on_rubber and (abs(y - edge) < high or abs(y - edge - stopper) < high * HALF):
        rim = high * RIM
        for right, down in RIM_PLACES:
            yield Words(across + right * rim, base + down * rim, text, high, "paper", tag="number rim")
    yield Words(across, base, text, high, "paper" if on_rubber else "line", tag="scale number")


def line_length(shape: SyringeShape, rank: str) -> Decimal:
    """Return how long a line of the scale is."""
    share = {"numbered": "0.36", "halfway": "0.3", "plain": "0.22"}[rank]
    return (shape.outer * Decimal(share)).quantize(Decimal("0.01"))


def line_width(shape: SyringeShape) -> Decimal:
    """Return how thick the lines are: never more than a third of their distance."""
    apart = position_at(shape.syringe, shape.syringe.graduation)
    return min(mm("0.25"), apart / 3).quantize(Decimal("0.01"))


def _number(reading: Measure, language: str) -> str:
    """Return a scale number in safe writing, without its unit."""
    return number(Fraction(reading.value), language)
