"""The page of one planned syringe, life-size: the barrel set to its line, its needle, needles to compare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final

from kiosk.core.apparatus.needle_drawing import needles_picture
from kiosk.core.apparatus.picture import Picture, Shape, Words
from kiosk.core.apparatus.strokes import check_measure, mm, moved, picture, text_width
from kiosk.core.apparatus.syringe_drawing import syringe_picture
from kiosk.core.catalogue.devices import InjectionNeedle, Syringe
from kiosk.core.units import Measure

SIDE: Final = mm(5)
CAPTION: Final = mm("4.4")
SMALL_CAPTION: Final = mm("3.2")
CAPTION_STEP: Final = mm(7)
GAP: Final = mm(8)
MEASURE_TEXT: Final = mm("2.9")
FOOT: Final = mm(12)


def set_picture(
    syringe: Syringe,
    line: Measure,
    needles: Sequence[InjectionNeedle],
    words: Mapping[str, str],
    *,
    captions: Sequence[str] = (),
    language: str = "en",
) -> Picture:
    """Return the page. ``needles`` stand beside the barrel, the first is on it; none for a bare or fixed tip.

    ``words`` are the flat words of the language (``picture.*``); ``captions`` stand above, the first of
    them is the picture's name. Where a needle has no outer width it is drawn dashed.
    """
    fitted = needles[0] if needles else None
    edge = (words["picture.edge_1"], words["picture.edge_2"])
    barrel = syringe_picture(syringe, line, needle=fitted, notes=edge, language=language)
    parts = [barrel]
    if needles:
        parts.append(needles_picture(needles, fitted, language=language, ring_word=words["picture.ring"]))
    top = SIDE + CAPTION_STEP * len(captions)
    shapes = [*_captions(captions), *_side_by_side(parts, top)]
    y = top + max(part.height for part in parts) + FOOT / 2
    shapes += check_measure(SIDE, y, words["picture.hundred_mm"], MEASURE_TEXT)
    title = captions[0] if captions else barrel.title
    return picture(_width(parts, shapes), y + FOOT / 2, shapes, title)


def _captions(captions: Sequence[str]) -> Iterator[Shape]:
    """Yield the lines above: the first bold."""
    for turn, text in enumerate(captions):
        y = SIDE + CAPTION + CAPTION_STEP * turn
        height, ink = (CAPTION, "text") if turn == 0 else (SMALL_CAPTION, "soft")
        yield Words(SIDE, y, text, height, ink, bold=turn == 0, tag="caption")


def _side_by_side(parts: Sequence[Picture], top: Decimal) -> Iterator[Shape]:
    """Yield the shapes of pictures beside one another."""
    left = SIDE
    for part in parts:
        yield from (moved(shape, left, top) for shape in part.shapes)
        left = left + part.width + GAP


def _width(parts: Sequence[Picture], shapes: Sequence[Shape]) -> Decimal:
    """Return how wide the page is: the pictures, or the longest line of words."""
    pictures = sum((part.width + GAP for part in parts), mm(0)) - GAP
    texts = [
        shape.x + text_width(shape.text, shape.height)
        for shape in shapes
        if isinstance(shape, Words) and shape.anchor == "start"
    ]
    return max(SIDE + pictures, *texts, mm(0)) + SIDE
