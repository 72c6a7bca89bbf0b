"""Gauge and length for the object column of a screen: narrow enough to stand there life-size."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final

from kiosk.core.apparatus.gauge_page import GAUGES, SHOWN_GAUGE
from kiosk.core.apparatus.needle_drawing import ring, steel, whole_mm
from kiosk.core.apparatus.picture import Line, Picture, Shape, Words
from kiosk.core.apparatus.strokes import mm, picture
from kiosk.core.catalogue.device_tables import DeviceTables, LengthClass, Tubing
from kiosk.core.catalogue.devices import InjectionNeedle
from kiosk.core.notation import number
from kiosk.core.units import Measure

WIDTH: Final = mm(76)
IN_A_ROW: Final = 7
STEEL: Final = Measure.of(20, "mm")
RING_TIMES: Final = 6
GAUGE_TEXT: Final = mm("4.2")
LENGTH_TEXT: Final = mm(3)
ROW: Final = mm(47)
EDGE: Final = mm("0.15")


def gauge_strip(tables: DeviceTables, words: Mapping[str, str]) -> Picture:
    """Return every gauge from 18 to 31 in two rows: steel life-size, number, cut end six times enlarged."""
    tubes = [tables.tubing[gauge] for gauge in GAUGES if gauge in tables.tubing]
    rows = [tubes[at : at + IN_A_ROW] for at in range(0, len(tubes), IN_A_ROW)]
    shapes: list[Shape] = []
    for turn, row in enumerate(rows):
        shapes += _gauges(row, mm(24) + ROW * turn)
    return picture(WIDTH, ROW * len(rows), shapes, words["picture.gauges.title"])


def _gauges(row: Sequence[Tubing], face: Decimal) -> Iterator[Shape]:
    """Yield one row of gauges standing on ``face``."""
    yield Line(mm(0), face, WIDTH, face, EDGE, "faint")
    for column, tube in enumerate(row):
        middle = _middle(column, IN_A_ROW)
        needle = InjectionNeedle(f"{tube.gauge}", tube.gauge, STEEL, tube.outer or tube.metric, tube.bore)
        yield from steel(needle, middle, face)
        yield Words(middle, face + mm(8), f"{tube.gauge}", GAUGE_TEXT, "text", "middle", bold=True)
        yield from ring(needle, middle, face + mm(15), RING_TIMES)


def length_strip(tables: DeviceTables, words: Mapping[str, str], language: str = "en") -> Picture:
    """Return every length in two rows: steel life-size, whole millimetres, inches."""
    classes, tube = tables.lengths, tables.tubing[SHOWN_GAUGE]
    rows = [classes[at : at + IN_A_ROW] for at in range(0, len(classes), IN_A_ROW)]
    shapes: list[Shape] = []
    foot = mm(0)
    for row in rows:
        face = foot + max(mm(one.exact) for one in row) + mm(4)
        shapes += _lengths(row, tube, face, language)
        foot = face + mm(16)
    return picture(WIDTH, foot, shapes, words["picture.lengths.title"])


def _lengths(row: Sequence[LengthClass], tube: Tubing, face: Decimal, language: str) -> Iterator[Shape]:
    """Yield one row of lengths standing on ``face``."""
    yield Line(mm(0), face, WIDTH, face, EDGE, "faint")
    for column, one in enumerate(row):
        middle = _middle(column, len(row))
        needle = InjectionNeedle(one.inch, tube.gauge, one.exact, tube.outer or tube.metric)
        yield from steel(needle, middle, face)
        about = number(whole_mm(one.exact), language)
        yield Words(middle, face + mm(7), about, GAUGE_TEXT, "text", "middle", bold=True)
        yield Words(middle, face + mm("12.5"), one.inch, LENGTH_TEXT, "soft", "middle")


def _middle(column: int, columns: int) -> Decimal:
    """Return the middle of a column."""
    return WIDTH / columns * column + WIDTH / columns / 2
