"""The lens beside the barrel: the scale around the sealing edge, enlarged to be read at arm's length."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from kiosk.core.apparatus.picture import Box, Line, Shape, Words
from kiosk.core.apparatus.scale_drawing import Graduation, graduations
from kiosk.core.apparatus.strokes import mm
from kiosk.core.apparatus.syringe_shape import SyringeShape, position_at
from kiosk.core.notation import number
from kiosk.core.units import Measure

LOUPE_WIDTH: Final = mm(24)
LOUPE_HEIGHT: Final = mm(26)
STRIP: Final = mm(12)
CORNER: Final = mm("1.2")
RIM: Final = mm("0.5")
LINE_GAP: Final = mm("3.2")
"""How far apart two lines are in the lens, about."""
NUMBER: Final = mm("3.2")


def loupe(
    shape: SyringeShape, at: Measure, edge: Decimal, left: Decimal, language: str, *, pointed: bool
) -> Iterator[Shape]:
    """Yield the lens, its top left at ``left``, level with ``edge``; ``pointed`` marks the line to reach."""
    top = edge - LOUPE_HEIGHT / 2
    times = magnification(shape)
    yield Box(left, top, LOUPE_WIDTH, LOUPE_HEIGHT, "paper", "", round=CORNER, tag="lens")
    yield from _strip(shape, edge, left, top, times)
    for line in _seen(shape, at, times):
        y = edge + (line.place - position_at(shape.syringe, at)) * times
        yield from _graduation(line, y, (edge, edge + shape.stopper * times), left, language)
    if pointed:
        yield Line(left, edge, left + STRIP, edge, mm("0.6"), "accent", tag="line to reach")
    rim = "accent" if pointed else "soft"
    yield Box(left, top, LOUPE_WIDTH, LOUPE_HEIGHT, "", rim, RIM, CORNER, tag="lens rim")


def magnification(shape: SyringeShape) -> Decimal:
    """Return how many times the lens enlarges: lines about ``LINE_GAP`` apart, two to eight times."""
    apart = position_at(shape.syringe, shape.syringe.graduation)
    return max(Decimal(2), min(Decimal(8), (LINE_GAP / apart).to_integral_value()))


def _strip(
    shape: SyringeShape, edge: Decimal, left: Decimal, top: Decimal, times: Decimal
) -> Iterator[Shape]:
    """Yield the enlarged inside of the barrel: liquid above the edge, rubber below, then the rod."""
    x, y, foot = left + RIM / 2, top + RIM / 2, top + LOUPE_HEIGHT - RIM / 2
    surface = max(y, edge - (edge - shape.zero + shape.shoulder) * times)
    rubber_foot = min(foot, edge + shape.stopper * times)
    wide = STRIP - RIM / 2
    yield Box(x, y, wide, foot - y, "glass", tag="lens barrel")
    if edge > shape.zero:
        yield Box(x, surface, wide, edge - surface, "liquid", tag="lens liquid")
    yield Box(x, edge, wide, rubber_foot - edge, "rubber", tag="lens stopper")
    yield Line(left + STRIP, y, left + STRIP, foot, mm("0.3"), "line", tag="lens wall")


def _seen(shape: SyringeShape, at: Measure, times: Decimal) -> Iterator[Graduation]:
    """Yield the lines that fall into the lens, clear of its rim."""
    middle = position_at(shape.syringe, at)
    reach = LOUPE_HEIGHT / 2 - mm("1.2")
    for line in graduations(shape.syringe):
        if abs(line.place - middle) * times <= reach:
            yield line


def _graduation(
    line: Graduation, y: Decimal, rubber: tuple[Decimal, Decimal], left: Decimal, language: str
) -> Iterator[Shape]:
    """Yield one enlarged line, and its number beside the strip."""
    share = {"numbered": "0.85", "halfway": "0.65", "plain": "0.45"}[line.rank]
    ink = "paper" if rubber[0] < y <= rubber[1] else "line"
    yield Line(left, y, left + STRIP * Decimal(share), y, mm("0.4"), ink, tag="lens graduation")
    if line.rank == "numbered":
        text = number(line.reading.value, language)
        yield Words(left + STRIP + mm("1.5"), y + NUMBER / 2, text, NUMBER, "text", tag="lens number")
