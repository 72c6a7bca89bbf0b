"""The syringe, life-size: true graduations, liquid up to the plunger's sealing edge, the line to reach."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from kiosk.core.apparatus.loupe import LOUPE_WIDTH, lens_over, loupe
from kiosk.core.apparatus.picture import Box, Line, Picture, Shape, Words
from kiosk.core.apparatus.scale_drawing import printed_scale
from kiosk.core.apparatus.strokes import mm, picture, text_width
from kiosk.core.apparatus.syringe_parts import barrel, contents, flange, outline_of_barrel, plunger, tip
from kiosk.core.apparatus.syringe_shape import SyringeShape, shape_of
from kiosk.core.catalogue.devices import InjectionNeedle, Syringe
from kiosk.core.notation import write
from kiosk.core.units import Measure

LINE_TEXT: Final = mm(5)
NOTE_TEXT: Final = mm(3)
CUT_ROD: Final = mm(13)
REST_GAP: Final = mm(7)
MARGIN: Final = mm(2)
FIGURE_GAP: Final = mm("2.4")


def syringe_picture(
    syringe: Syringe,
    line: Measure | None,
    show_line_text: bool = True,
    *,
    blank: bool = False,
    language: str = "en",
    notes: Sequence[str] = (),
    needle: InjectionNeedle | None = None,
    lens: bool = True,
    title: str = "",
) -> Picture:
    """Return a syringe with its plunger at ``line`` (None: fully home).

    ``blank`` is the reading exercise: the plunger stands at ``line``, but no target and no figure is
    shown, and the picture keeps its size wherever the plunger goes. ``notes`` are short lines of words
    under the lens, such as which edge is read. ``needle`` is drawn fitted on a bare tip. ``lens`` shows
    the scale around the sealing edge enlarged.
    """
    shape = shape_of(syringe, needle)
    at = line if line is not None else syringe.nominal.scaled(0)
    edge = shape.at(at)
    foot = rod_end(shape, edge, cut=blank)
    shapes: list[Shape] = [
        *tip(shape),
        *barrel(shape),
        *contents(shape, edge),
        *plunger(shape, edge, foot, cut=blank),
        *printed_scale(shape, edge, language),
        *outline_of_barrel(shape),
        *flange(shape),
    ]
    left = shape.flange_width + 2 * MARGIN
    figure = line if show_line_text and not blank else None
    beside = [
        *(_lens(shape, edge, left, language, pointed=not blank, below=figure is not None) if lens else ()),
        *(_figure(shape, figure, notes, left, edge, language, lens=lens) if figure else ()),
    ]
    height = max(foot, lens_foot(beside)) + MARGIN
    return picture(_right(beside, left), height, shapes + beside, title or write(syringe.nominal, language))


def rod_end(shape: SyringeShape, edge: Decimal, *, cut: bool) -> Decimal:
    """Return the y where the drawing ends: below the thumb rest, or where the rod is cut off."""
    return shape.flange + CUT_ROD if cut else shape.flange + REST_GAP + (edge - shape.zero) + mm(2)


def _least_top(below: bool) -> Decimal:
    """Return how high the lens may stand: below the figure, where there is one."""
    return MARGIN + (LINE_TEXT + FIGURE_GAP if below else mm(0))


def _lens(
    shape: SyringeShape, edge: Decimal, left: Decimal, language: str, *, pointed: bool, below: bool
) -> Iterator[Shape]:
    """Yield the lens and the line that leads to it from the sealing edge."""
    yield _pointer(shape, edge, left, "accent" if pointed else "soft")
    yield from loupe(lens_over(shape, edge, left, _least_top(below), pointed=pointed), language)


def _pointer(shape: SyringeShape, edge: Decimal, to: Decimal, ink: str) -> Line:
    """Return the level line from the barrel at the sealing edge."""
    return Line(shape.middle + shape.outer / 2, edge, to, edge, mm("0.4"), ink, tag="pointer")


def _figure(
    shape: SyringeShape,
    line: Measure,
    notes: Sequence[str],
    left: Decimal,
    edge: Decimal,
    language: str,
    *,
    lens: bool,
) -> Iterator[Shape]:
    """Yield the figure to set, large, above the lens (or at a pointer), and the notes below."""
    held = lens_over(shape, edge, left, _least_top(True), pointed=True)
    baseline = held.top - FIGURE_GAP if lens else edge + LINE_TEXT / 2
    below = held.foot if lens else baseline + mm(1)
    if not lens:
        yield _pointer(shape, edge, left - mm(1), "accent")
    yield Words(left, baseline, write(line, language), LINE_TEXT, "accent", bold=True, tag="line figure")
    for turn, note in enumerate(notes):
        y = below + mm("5.6") + turn * NOTE_TEXT * Decimal("1.7")
        yield Words(left, y, note, NOTE_TEXT, "soft", tag="note")


def lens_foot(shapes: Sequence[Shape]) -> Decimal:
    """Return the y of the lowest thing beside the barrel; 0 where there is nothing."""
    boxes = [shape.y + shape.h for shape in shapes if isinstance(shape, Box)]
    words = [shape.y + mm(1) for shape in shapes if isinstance(shape, Words)]
    return max([*boxes, *words], default=mm(0))


def _right(shapes: Sequence[Shape], left: Decimal) -> Decimal:
    """Return how wide the picture is: the flange, then the lens and the words beside it."""
    words = [s.x + text_width(s.text, s.height) for s in shapes if isinstance(s, Words) and s.x >= left]
    lens = [left + LOUPE_WIDTH] if any(s.tag == "lens" for s in shapes) else []
    return max([left - MARGIN, *words, *lens]) + mm(1)
