"""The page that teaches gauge and length: every gauge from 18 to 31 and every length, life-size."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final

from kiosk.core.apparatus.needle_drawing import ring, steel
from kiosk.core.apparatus.picture import Line, Picture, Shape, Words
from kiosk.core.apparatus.strokes import check_measure, mm, picture
from kiosk.core.catalogue.device_tables import DeviceTables, LengthClass, Tubing
from kiosk.core.catalogue.devices import InjectionNeedle
from kiosk.core.notation import number
from kiosk.core.units import Measure

GAUGES: Final = range(18, 32)
HEADS: Final = mm(30)
COLUMN: Final = mm("11.6")
SHOWN_LENGTH: Final = Measure.of(25, "mm")
SHOWN_GAUGE: Final = 23
RING_TIMES: Final = 8
WIDTH: Final = HEADS + COLUMN * 14 + mm(2)
ROW_TEXT: Final = mm("2.5")


def gauge_page(tables: DeviceTables, words: Mapping[str, str], language: str = "en") -> Picture:
    """Return the page, 190 mm wide. ``words`` are the flat words of the language (``picture.*``)."""
    tubes = [tables.tubing[gauge] for gauge in GAUGES if gauge in tables.tubing]
    shapes: list[Shape] = [
        Words(mm(1), mm(9), words["picture.gauges.title"], mm("5.4"), bold=True),
        Words(mm(1), mm(17), words["picture.gauges.lead"], mm("2.9"), "soft"),
        *_gauges(tubes, words, language),
        Words(mm(1), mm(116), words["picture.lengths.title"], mm("5.4"), bold=True),
        Words(mm(1), mm(124), words["picture.lengths.lead"], mm("2.9"), "soft"),
        *_lengths(tables.lengths, tables.tubing[SHOWN_GAUGE], words, language),
        *check_measure(HEADS, mm(218), words["picture.hundred_mm"], ROW_TEXT),
    ]
    return picture(WIDTH, mm(226), shapes, words["picture.gauges.title"])


def _middle(column: int) -> Decimal:
    """Return the middle of a column."""
    return HEADS + COLUMN * column + COLUMN / 2


def _gauges(tubes: Sequence[Tubing], words: Mapping[str, str], language: str) -> Iterator[Shape]:
    """Yield every gauge as a life-size needle, its number, its enlarged cut end and its sizes."""
    face = mm(60)
    yield Line(HEADS, face, WIDTH - mm(2), face, mm("0.15"), "faint")
    heads = (
        (mm(44), "life_size"),
        (mm(69), "gauge"),
        (mm(83), "cut_end"),
        (mm(96), "outer"),
        (mm(103), "bore"),
    )
    for y, name in heads:
        yield Words(HEADS - mm(2), y, words[f"picture.gauges.{name}"], ROW_TEXT, "soft", "end")
    for column, tube in enumerate(tubes):
        needle = InjectionNeedle(
            f"{tube.gauge}", tube.gauge, SHOWN_LENGTH, tube.outer or tube.metric, tube.bore
        )
        middle = _middle(column)
        yield from steel(needle, middle, face)
        yield Words(middle, mm("69.8"), f"{tube.gauge}", mm("4.2"), "text", "middle", bold=True)
        yield from ring(needle, middle, mm(82), RING_TIMES)
        for y, size in ((mm(96), needle.outer), (mm(103), needle.bore)):
            if size is not None:
                yield Words(middle, y, _two_places(size, language), ROW_TEXT, "text", "middle")


def _lengths(
    classes: Sequence[LengthClass], tube: Tubing, words: Mapping[str, str], language: str
) -> Iterator[Shape]:
    """Yield every length as a life-size needle, with inches and millimetres."""
    face = mm(184)
    yield Line(HEADS, face, WIDTH - mm(2), face, mm("0.15"), "faint")
    for y, name in ((mm(160), "life_size"), (mm(192), "inch"), (mm(200), "mm"), (mm(207), "labelled")):
        yield Words(HEADS - mm(2), y, words[f"picture.lengths.{name}"], ROW_TEXT, "soft", "end")
    for column, one in enumerate(classes):
        middle = _middle(column)
        yield from steel(
            InjectionNeedle(one.inch, tube.gauge, one.exact, tube.outer or tube.metric), middle, face
        )
        yield Words(middle, mm("192"), one.inch, mm("2.9"), "text", "middle", bold=True)
        yield Words(middle, mm(200), number(one.exact.value, language), ROW_TEXT, "text", "middle")
        labelled = ", ".join(number(m.value, language) for m in one.labelled)
        yield Words(middle, mm(207), labelled, ROW_TEXT, "soft", "middle")


def _two_places(size: Measure, language: str) -> str:
    """Return a width to a hundredth of a millimetre."""
    return number(round(size.value, 2), language)
