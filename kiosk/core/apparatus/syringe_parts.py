"""The parts of a syringe as shapes: barrel, liquid, plunger, flange, tip."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from kiosk.core.apparatus.needle_drawing import hub, steel
from kiosk.core.apparatus.picture import Box, Line, Outline, Shape
from kiosk.core.apparatus.strokes import Point, bend, mm, turned
from kiosk.core.apparatus.syringe_shape import TOP, WALL, SyringeShape
from kiosk.core.catalogue.devices import Tip


def _barrel_side(shape: SyringeShape, inside: bool) -> list[Point]:
    """Return the right-hand side of the barrel from the tip's base to the flange."""
    half = shape.bore / 2 if inside else shape.outer / 2
    top = shape.tip_base + (WALL if inside else mm(0))
    deep = shape.shoulder if inside else shape.shoulder + mm("0.4")
    mouth = mm("0.9") if inside else mm("2.4")
    return [*bend((min(mouth, half), top), (half, top), (half, top + deep), 8), (half, shape.flange)]


def barrel(shape: SyringeShape) -> Iterator[Shape]:
    """Yield the wall of the barrel; everything inside is drawn over it."""
    yield Outline(turned(shape.middle, _barrel_side(shape, inside=False)), fill="glass", tag="barrel")


def outline_of_barrel(shape: SyringeShape) -> Iterator[Shape]:
    """Yield the barrel's edge, drawn over everything inside."""
    side = turned(shape.middle, _barrel_side(shape, inside=False))
    yield Outline(side, stroke="line", stroke_width=mm("0.22"), tag="barrel edge")


def contents(shape: SyringeShape, edge: Decimal) -> Iterator[Shape]:
    """Yield the liquid between the tip and the sealing edge, filling the end and the tip's channel."""
    if edge <= shape.zero:
        return
    side = [point for point in _barrel_side(shape, inside=True) if point[1] < shape.flange]
    yield Outline(turned(shape.middle, [*side, (shape.bore / 2, edge)]), fill="liquid", tag="liquid")
    channel = mm("0.6")
    top = shape.tip_top + (mm(0) if shape.needle else mm("0.3"))
    high = shape.tip_base + WALL - top + mm("0.4")
    yield Box(shape.middle - channel / 2, top, channel, high, "liquid", tag="liquid in tip")


def plunger(shape: SyringeShape, edge: Decimal, end: Decimal, *, cut: bool) -> Iterator[Shape]:
    """Yield rod and stopper; the stopper's sealing edge, a full-width ring, stands at ``edge``."""
    yield from _rod(shape, edge, end, cut)
    half, high = shape.bore / 2, shape.stopper
    groove, lip = half - max(shape.bore * Decimal("0.055"), mm("0.3")), high * Decimal("0.05")
    dome = edge - shape.shoulder
    side = [
        *bend((mm("0.6"), dome), (half * Decimal("0.8"), dome), (half - mm("0.2"), edge), 8),
        (half, edge),
        (half, edge + high * Decimal("0.26")),
        (groove, edge + high * Decimal("0.26") + lip),
        (groove, edge + high * Decimal("0.74") - lip),
        (half, edge + high * Decimal("0.74")),
        (half, edge + high),
    ]
    hollow = (shape.middle - half, edge + high * Decimal("0.26"), half * 2, high * Decimal("0.48"))
    yield Box(*hollow, "soft", tag="groove")
    yield Outline(turned(shape.middle, side), fill="rubber", tag="stopper")
    ends = (shape.middle - half, edge, shape.middle + half, edge)
    yield Line(*ends, mm("0.18"), "line", tag="sealing edge")


def _rod(shape: SyringeShape, edge: Decimal, end: Decimal, cut: bool) -> Iterator[Shape]:
    """Yield the ribbed rod from the stopper down, with its thumb rest or cut off."""
    half = shape.bore * Decimal("0.36")
    top = edge + shape.stopper
    foot = end if cut else end - mm(2)
    yield Box(shape.middle - half, top, half * 2, foot - top, "glass", "faint", mm("0.18"), tag="rod")
    for share in ("-0.3", "0.3"):
        x = shape.middle + half * Decimal(share)
        yield Line(x, top, x, foot, mm("0.15"), "faint", tag="rod rib")
    if cut:
        yield from _cut(shape, half, foot)
    else:
        wide = max(shape.bore, mm(9)) + mm(3)
        rest = (shape.middle - wide / 2, foot, wide, mm(2))
        yield Box(*rest, "glass", "line", mm("0.2"), mm("0.8"), tag="thumb rest")


def _cut(shape: SyringeShape, half: Decimal, foot: Decimal) -> Iterator[Shape]:
    """Yield the wavy end of a rod that goes on outside the picture."""
    left, right = shape.middle - half - mm("0.4"), shape.middle + half + mm("0.4")
    mid, y = shape.middle, foot - mm("0.8")
    wave = [
        *bend((left, y), ((left + mid) / 2, y - mm("1.4")), (mid, y), 6),
        *bend((mid, y), ((right + mid) / 2, y + mm("1.4")), (right, y), 6),
    ]
    under = [(right, foot + mm("0.3")), (left, foot + mm("0.3"))]
    yield Outline(tuple(wave + under), fill="paper", tag="cut")
    for start, stop in pairwise(wave):
        yield Line(*start, *stop, mm("0.18"), "faint", tag="cut edge")


def flange(shape: SyringeShape) -> Iterator[Shape]:
    """Yield the finger flange."""
    left = shape.middle - shape.flange_width / 2
    place = (left, shape.flange, shape.flange_width, mm(2))
    yield Box(*place, "glass", "line", mm("0.22"), mm("0.9"), tag="flange")


def tip(shape: SyringeShape) -> Iterator[Shape]:
    """Yield what stands above the barrel: needle, hub, and the tip itself."""
    middle, top, base = shape.middle, shape.tip_top, shape.tip_base
    if shape.syringe.fixed_needle is not None:
        yield from steel(shape.syringe.fixed_needle, middle, top)
        side = [
            (mm("0.7"), top),
            (mm("1.0"), top + mm("1.4")),
            (mm("2.1"), base),
            (mm("2.1"), base + mm("0.2")),
        ]
        yield Outline(turned(middle, side), "glass", "line", mm("0.2"), tag="needle seat")
        return
    yield from _cone(shape)
    if shape.syringe.tip is Tip.LOCK:
        yield from _collar(middle, base)
    if shape.needle is not None:
        face = TOP + mm(shape.needle.length)
        yield from steel(shape.needle, middle, face)
        yield from hub(middle, face)


def _cone(shape: SyringeShape) -> Iterator[Shape]:
    """Yield the cone: 6 % taper of a slip or lock tip, wider and stepped for an oral one."""
    if shape.syringe.tip is Tip.ORAL:
        step = shape.tip_top + mm(6)
        wide = [(mm("2.9"), shape.tip_top), (mm("3.1"), step), (mm("4.1"), step), (mm("4.1"), shape.tip_base)]
        yield Outline(turned(shape.middle, wide), "glass", "line", mm("0.2"), tag="oral tip")
        return
    side = [(mm("1.95"), shape.tip_top), (mm("2.2"), shape.tip_base + mm("0.2"))]
    yield Outline(turned(shape.middle, side), "glass", "line", mm("0.2"), tag="tip")


def _collar(middle: Decimal, base: Decimal) -> Iterator[Shape]:
    """Yield the locking collar with its thread."""
    half, high = mm("3.9"), mm("7.2")
    place = (middle - half, base - high, half * 2, high + mm("0.2"))
    yield Box(*place, "glass", "line", mm("0.22"), mm("0.7"), tag="lock collar")
    for turn in range(3):
        y = base - high + mm("1.5") + turn * mm("1.9")
        yield Line(middle - half + mm("0.5"), y + mm("0.9"), middle + half - mm("0.5"), y, mm("0.2"), "faint")
