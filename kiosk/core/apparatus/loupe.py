"""The lens beside the barrel: the scale around the sealing edge, enlarged to be read at arm's length.

It shows what is printed on the barrel and nothing else: no more numbers, no figure of the kiosk's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from kiosk.core.apparatus.picture import Box, Line, Shape, Words
from kiosk.core.apparatus.scale_drawing import Graduation, graduations
from kiosk.core.apparatus.strokes import mm
from kiosk.core.apparatus.syringe_shape import SyringeShape
from kiosk.core.notation import number

LOUPE_WIDTH: Final = mm(24)
LOUPE_HEIGHT: Final = mm(30)
STRIP: Final = mm(12)
CORNER: Final = mm("1.2")
RIM: Final = mm("0.5")
LINE_GAP: Final = mm("3.2")
"""How far apart two lines are in the lens, where the numbers allow it."""
NUMBER: Final = mm("3.2")
LEAST, MOST = Decimal("1.5"), Decimal(8)


@dataclass(frozen=True, slots=True)
class Lens:
    """Where the lens stands (left, top, in mm), what it is held over (y of the edge), how it enlarges."""

    shape: SyringeShape
    edge: Decimal
    left: Decimal
    top: Decimal
    times: Decimal
    pointed: bool

    @property
    def foot(self) -> Decimal:
        """The y of its lower end."""
        return self.top + LOUPE_HEIGHT

    def at(self, y: Decimal) -> Decimal:
        """Return where a height on the barrel is seen in the lens."""
        return self.edge + (y - self.edge) * self.times

    def shows(self, y: Decimal, margin: Decimal) -> bool:
        """Say whether something at ``y`` in the lens stands clear of its rim."""
        return self.top + margin <= y <= self.foot - margin


def lens_over(
    shape: SyringeShape, edge: Decimal, left: Decimal, least_top: Decimal, *, pointed: bool
) -> Lens:
    """Return the lens level with ``edge``, but never higher than ``least_top``."""
    top = max(edge - LOUPE_HEIGHT / 2, least_top)
    return Lens(shape, edge, left, top, magnification(shape), pointed)


def magnification(shape: SyringeShape) -> Decimal:
    """Return how many times the lens enlarges: lines ``LINE_GAP`` apart, yet a printed number in sight."""
    syringe = shape.syringe
    apart = shape.scale / mm(syringe.nominal.ratio(syringe.graduation))
    numbers = shape.scale / mm(syringe.nominal.ratio(syringe.numbered_every))
    wanted = min(LINE_GAP / apart, (LOUPE_HEIGHT / 2 - NUMBER) / (numbers / 2))
    return max(LEAST, min(MOST, wanted)).quantize(Decimal("0.1"))


def loupe(lens: Lens, language: str) -> Iterator[Shape]:
    """Yield the lens; where it is ``pointed`` the line to reach is marked."""
    yield Box(lens.left, lens.top, LOUPE_WIDTH, LOUPE_HEIGHT, "paper", "", round=CORNER, tag="lens")
    yield from _strip(lens)
    for line in graduations(lens.shape.syringe):
        yield from _graduation(lens, line, language)
    if lens.pointed:
        yield Line(
            lens.left, lens.edge, lens.left + STRIP, lens.edge, mm("0.6"), "accent", tag="line to reach"
        )
    rim = "accent" if lens.pointed else "soft"
    yield Box(lens.left, lens.top, LOUPE_WIDTH, LOUPE_HEIGHT, "", rim, RIM, CORNER, tag="lens rim")


def _strip(lens: Lens) -> Iterator[Shape]:
    """Yield the enlarged inside of the barrel: liquid above the edge, rubber below, then the rod."""
    x, top, foot = lens.left + RIM / 2, lens.top + RIM / 2, lens.foot - RIM / 2
    shape, wide = lens.shape, STRIP - RIM / 2
    surface = max(top, lens.at(shape.zero - shape.shoulder))
    rubber_foot = min(foot, lens.at(lens.edge + shape.stopper))
    yield Box(x, top, wide, foot - top, "glass", tag="lens barrel")
    if lens.edge > shape.zero:
        yield Box(x, surface, wide, lens.edge - surface, "liquid", tag="lens liquid")
    yield Box(x, lens.edge, wide, rubber_foot - lens.edge, "rubber", tag="lens stopper")
    yield Line(lens.left + STRIP, top, lens.left + STRIP, foot, mm("0.3"), "line", tag="lens wall")


def _graduation(lens: Lens, line: Graduation, language: str) -> Iterator[Shape]:
    """Yield one enlarged line, and its number beside the strip."""
    y = lens.at(lens.shape.zero + line.place)
    if not lens.shows(y, mm(1)):
        return
    share = {"numbered": "0.85", "halfway": "0.65", "plain": "0.45"}[line.rank]
    on_rubber = lens.edge < y <= lens.at(lens.edge + lens.shape.stopper)
    end = lens.left + STRIP * Decimal(share)
    yield Line(
        lens.left + RIM / 2, y, end, y, mm("0.4"), "paper" if on_rubber else "line", tag="lens graduation"
    )
    if line.rank == "numbered" and lens.shows(y, NUMBER * Decimal("0.8")):
        text = number(line.reading.value, language)
        yield Words(lens.left + STRIP + mm("1.5"), y + NUMBER / 2, text, NUMBER, "text", tag="lens number")
