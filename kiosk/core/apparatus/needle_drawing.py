"""Needles, life-size: true length and thickness, hub, bevel, and the bore as a ring many times enlarged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Shape, Words
from kiosk.core.apparatus.strokes import bend, mm, picture, turned
from kiosk.core.catalogue.devices import InjectionNeedle
from kiosk.core.notation import number
from kiosk.core.units import Measure

COLUMN: Final = mm(21)
RULER: Final = mm(9)
RING_TIMES: Final = 8
HUB: Final = mm(15)
GAUGE_TEXT: Final = mm("4.4")
LENGTH_TEXT: Final = mm("3.4")
SMALL_TEXT: Final = mm(3)


def steel(needle: InjectionNeedle, middle: Decimal, face: Decimal) -> Iterator[Shape]:
    """Yield the steel tube standing on ``face`` (y of the hub's face), its bevel at the top.

    A needle whose outer width is not known is drawn as a dashed middle line: length is true, width unsaid.
    """
    long = mm(needle.length)
    top = face - long
    if needle.outer is None:
        pieces = int(long / 2)
        for piece in range(pieces):
            y = top + piece * mm(2)
            yield Line(middle, y, middle, y + mm("1.2"), mm("0.2"), "soft", tag="needle, width not known")
        return
    half = mm(needle.outer) / 2
    bevel = half * 2 * Decimal("2.8")
    points = (
        (middle + half, top),
        (middle + half, face),
        (middle - half, face),
        (middle - half, top + bevel),
    )
    yield Outline(points, "metal", "soft", mm("0.04"), tag="needle")


def hub(middle: Decimal, face: Decimal) -> Iterator[Shape]:
    """Yield a needle's hub hanging below its ``face``: nose, body, and the skirt that takes the tip."""
    side = [
        (mm("0.9"), face),
        *bend((mm("1.0"), face + mm("0.6")), (mm("1.3"), face + mm(4)), (mm("2.5"), face + mm(5)), 6),
        (mm("2.9"), face + HUB - mm("2.2")),
        (mm("3.6"), face + HUB - mm("2.2")),
        (mm("3.6"), face + HUB),
    ]
    yield Outline(turned(middle, side), "glass", "line", mm("0.2"), tag="hub")
    for share in ("-0.5", "0.5"):
        x = middle + mm("2.4") * Decimal(share)
        yield Line(x, face + mm("5.6"), x, face + HUB - mm("2.8"), mm("0.15"), "faint")


def ring(needle: InjectionNeedle, middle: Decimal, y: Decimal, times: int = RING_TIMES) -> Iterator[Shape]:
    """Yield the cut end of the tube, enlarged: steel around the bore."""
    if needle.outer is None:
        return
    for width, fill, stroke in ((needle.outer, "metal", "line"), (needle.bore, "paper", "line")):
        if width is not None:
            wide = mm(width) * times
            place = (middle - wide / 2, y - wide / 2, wide, wide)
            yield Box(*place, fill, stroke, mm("0.15"), wide / 2, tag="ring")


def needles_picture(
    needles: Sequence[InjectionNeedle],
    chosen: InjectionNeedle | None,
    *,
    language: str = "en",
    ring_word: str = "",
    title: str = "",
) -> Picture:
    """Return needles side by side, standing on one line, so that length and thickness compare by eye.

    ``ring_word`` is said under the enlarged cut ends, such as "cut end, 8 times enlarged".
    """
    longest = max((mm(n.length) for n in needles), default=mm(10))
    face = mm(4) + longest
    foot = face + HUB
    shapes: list[Shape] = list(_ruler(face, longest, RULER + COLUMN * len(needles), language))
    for turn, needle in enumerate(needles):
        middle = RULER + COLUMN * turn + COLUMN / 2
        if chosen is not None and needle.id == chosen.id:
            shapes += _marked(middle, foot)
        shapes += [*steel(needle, middle, face), *hub(middle, face), *_named(needle, middle, foot, language)]
        shapes += ring(needle, middle, foot + mm(29))
    height = foot + mm(36)
    if ring_word:
        shapes.append(Words(mm(1), height + mm(3), ring_word, SMALL_TEXT, "soft"))
        height += mm(5)
    return picture(RULER + COLUMN * max(len(needles), 1), height, shapes, title or _title(needles, language))


def _marked(middle: Decimal, foot: Decimal) -> Iterator[Shape]:
    """Yield the frame around the chosen needle, with a bar at its foot: form, not colour alone."""
    left = middle - COLUMN / 2 + mm("0.6")
    wide = COLUMN - mm("1.2")
    yield Box(left, mm(1), wide, foot + mm(34), "", "accent", mm("0.5"), mm(2), tag="chosen")
    yield Box(left + mm(3), foot + mm("32.9"), wide - mm(6), mm(1), "accent", tag="chosen bar")


def _named(needle: InjectionNeedle, middle: Decimal, foot: Decimal, language: str) -> Iterator[Shape]:
    """Yield gauge number, millimetres and inches: the numbers decide, never a colour."""
    lines = (
        (f"{needle.gauge} G", GAUGE_TEXT, True, mm(8)),
        (f"{number(whole_mm(needle.length), language)} mm", LENGTH_TEXT, False, mm(14)),
        (f"{needle.inch_text} in" if needle.inch_text else "", SMALL_TEXT, False, mm(19)),
    )
    for text, height, bold, down in lines:
        if text:
            yield Words(middle, foot + down, text, height, "text" if bold else "soft", "middle", bold)


def _ruler(face: Decimal, longest: Decimal, width: Decimal, language: str) -> Iterator[Shape]:
    """Yield level lines every ten millimetres above the needles' foot, with their numbers."""
    for tens in range(int(longest // 10) + 1):
        y = face - tens * 10
        yield Line(RULER - mm(1), y, width, y, mm("0.12"), "faint", tag="ruler")
        yield Words(RULER - mm(2), y + mm("1.1"), number(tens * 10, language), mm("2.2"), "soft", "end")


def _title(needles: Sequence[InjectionNeedle], language: str) -> str:
    """Return the accessible name: every needle by its numbers."""
    return ", ".join(f"{n.gauge} G {number(whole_mm(n.length), language)} mm" for n in needles)


def whole_mm(length: Measure) -> int:
    """Return a needle length in whole millimetres, halves up, as packs print it: for show alone."""
    return int(length.to("mm").value + Fraction(1, 2))
