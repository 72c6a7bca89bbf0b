"""Containers as one knows them by their outline: ampoules, vials, powder, prefilled. Not to scale."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from typing import Final

from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Shape
from kiosk.core.apparatus.strokes import Point, bend, mm, picture, turned
from kiosk.core.catalogue.container import Form

MIDDLE: Final = mm(20)
WIDTH: Final = mm(40)
EDGE: Final = mm("0.28")


def container_picture(form: Form, *, left: Decimal = Decimal("0.8"), title: str = "") -> Picture:
    """Return the outline of a container of one form; ``left`` is how full it is, as a share."""
    shapes, height = DRAWN[form](min(max(left, Decimal(0)), Decimal(1)))
    return picture(WIDTH, height, shapes, title or form.value)


def _glass_ampoule(left: Decimal) -> tuple[Sequence[Shape], Decimal]:
    """Return a glass ampoule: stem, pinched neck with its break mark, shoulders, flat foot."""
    half, stem, neck = mm("7.5"), mm("2.6"), mm("1.9")
    side: list[Point] = [
        *bend((mm(0), mm(3)), (stem, mm(3)), (stem, mm("5.5")), 6),
        *bend((stem, mm(12)), (stem, mm(16)), (mm("3.7"), mm(20)), 8),
        *bend((mm("3.7"), mm(20)), (mm("4.3"), mm(22)), (mm("4.2"), mm(23)), 4),
        *bend((mm("4.2"), mm(23)), (mm("3.6"), mm("27.4")), (neck, mm(28)), 6),
        *bend((neck, mm(29)), (mm("2.4"), mm("32.4")), (half - mm("1.4"), mm("34.6")), 8),
        *bend((half - mm("1.4"), mm("34.6")), (half, mm("35.4")), (half, mm("37.6")), 6),
        (half, mm(74)),
        *bend((half, mm(74)), (half, mm(76)), (half - mm(2), mm(76)), 4),
    ]
    shapes = [
        *_vessel(side, mm("0.7"), _level(mm(36), mm(75), left)),
        Box(
            MIDDLE - mm("3.1"), mm("27.9"), mm("6.2"), mm("1.2"), "accent", round=mm("0.6"), tag="break ring"
        ),
        *_label(half, mm(44), mm(18)),
    ]
    return shapes, mm(79)


def _plastic_ampoule(left: Decimal) -> tuple[Sequence[Shape], Decimal]:
    """Return a plastic ampoule: flat wings, twist-off head, soft body."""
    half = mm(8)
    side: list[Point] = [
        *bend((mm("2.2"), mm(18)), (mm("2.4"), mm("23.4")), (half - mm("1.6"), mm(26)), 8),
        *bend((half - mm("1.6"), mm(26)), (half, mm(27)), (half, mm(30)), 6),
        (half, mm(70)),
        *bend((half, mm(70)), (half, mm(74)), (half - mm(4), mm(74)), 6),
    ]
    head = (MIDDLE - mm(7), mm(3), mm(14), mm(11))
    shapes: list[Shape] = [
        Box(*head, "glass", "line", EDGE, mm(2), tag="twist-off head"),
        Line(MIDDLE - mm(4), mm(6), MIDDLE + mm(4), mm(6), mm("0.25"), "faint"),
        Line(MIDDLE - mm(4), mm("8.5"), MIDDLE + mm(4), mm("8.5"), mm("0.25"), "faint"),
        Line(MIDDLE - mm(4), mm(11), MIDDLE + mm(4), mm(11), mm("0.25"), "faint"),
        Box(MIDDLE - mm("2.2"), mm(14), mm("4.4"), mm("4.2"), "glass", "line", EDGE),
        *_vessel(side, mm("0.9"), _level(mm(27), mm(73), left)),
        *_label(half, mm(38), mm(18)),
    ]
    return shapes, mm(77)


def _vial(left: Decimal, *, half: Decimal, foot: Decimal, several: bool) -> tuple[Sequence[Shape], Decimal]:
    """Return a stoppered vial; one for several doses is wider and its label is ruled for dates."""
    shapes = [
        *_vessel(_vial_side(half, foot), mm("0.9"), _level(mm(24), foot - mm(1), left)),
        *_crown(),
        *_label(half, mm(32), foot - mm(44)),
    ]
    if several:
        shapes += [
            Line(MIDDLE - half + mm(3), y, MIDDLE + half - mm(3), y, mm("0.2"), "faint", tag="date line")
            for y in (foot - mm("18.5"), foot - mm("15.5"))
        ]
    return shapes, foot + mm(3)


def _single_dose_vial(left: Decimal) -> tuple[Sequence[Shape], Decimal]:
    """Return a small vial for one dose."""
    return _vial(left, half=mm("8.5"), foot=mm(56), several=False)


def _multi_dose_vial(left: Decimal) -> tuple[Sequence[Shape], Decimal]:
    """Return a larger vial for several doses."""
    return _vial(left, half=mm("12.5"), foot=mm(66), several=True)


def _powder_vial(left: Decimal) -> tuple[Sequence[Shape], Decimal]:
    """Return a vial with a cake of powder on its floor and no liquid."""
    half, foot = mm("11.5"), mm(62)
    inside = half - mm("0.9")
    floor = foot - mm("0.9")
    cake = [
        *bend(
            (mm(0), floor - mm(8)),
            (inside * Decimal("0.6"), floor - mm("8.6")),
            (inside, floor - mm("6.4")),
            8,
        ),
        (inside, floor - mm(2)),
        *bend((inside, floor - mm(2)), (inside, floor), (inside - mm(2), floor), 4),
    ]
    shapes = [
        *_vessel(_vial_side(half, foot), mm("0.9"), None),
        Outline(turned(MIDDLE, cake), "paper", "faint", mm("0.25"), tag="powder"),
        *_crown(),
        *_label(half, mm(30), mm(17)),
        Outline(turned(MIDDLE, _vial_side(half, foot)), stroke="line", stroke_width=EDGE),
    ]
    return shapes, foot + mm(3)


def _prefilled(left: Decimal) -> tuple[Sequence[Shape], Decimal]:
    """Return a prefilled syringe under its tip cap."""
    half = mm("4.6")
    side: list[Point] = [*bend((mm("2.2"), mm(19)), (half, mm(19)), (half, mm(22)), 6), (half, mm(64))]
    stopper = mm(22) + (mm(36) * left).quantize(Decimal("0.01"))
    shapes: list[Shape] = [
        Box(MIDDLE - mm("2.2"), mm(15), mm("4.4"), mm("4.4"), "glass", "line", EDGE),
        Box(MIDDLE - mm(3), mm(4), mm(6), mm(13), "rubber", "line", EDGE, mm("1.2"), tag="tip cap"),
        *(Line(MIDDLE - mm(2), mm(y), MIDDLE + mm(2), mm(y), mm("0.25"), "faint") for y in (7, 9, 11, 13)),
        Outline(turned(MIDDLE, side), "glass", tag="barrel"),
        *_liquid(side, mm("0.7"), mm("19.7"), stopper),
        Box(MIDDLE - mm("1.6"), stopper + mm(5), mm("3.2"), mm(80) - stopper, "glass", "faint", mm("0.18")),
        Box(MIDDLE - half + mm("0.7"), stopper, (half - mm("0.7")) * 2, mm(5), "rubber", round=mm("0.5")),
        Outline(turned(MIDDLE, side), stroke="line", stroke_width=EDGE),
        *_label(half, mm(30), mm(16)),
        Box(MIDDLE - mm(10), mm(64), mm(20), mm("2.2"), "glass", "line", EDGE, mm(1), tag="flange"),
        Box(MIDDLE - mm(6), mm(84), mm(12), mm(2), "glass", "line", EDGE, mm("0.8"), tag="thumb rest"),
    ]
    return shapes, mm(88)


def _vial_side(half: Decimal, foot: Decimal) -> list[Point]:
    """Return the right-hand side of a vial's glass: neck, shoulder, wall, rounded foot."""
    neck = half * Decimal("0.58")
    return [
        (neck, mm(13)),
        (neck, mm(17)),
        *bend((neck, mm(17)), (neck, mm("19.5")), (half - mm(2), mm(21)), 6),
        *bend((half - mm(2), mm(21)), (half, mm("21.6")), (half, mm(25)), 6),
        (half, foot - mm("2.5")),
        *bend((half, foot - mm("2.5")), (half, foot), (half - mm("2.5"), foot), 6),
    ]


def _crown() -> Iterator[Shape]:
    """Yield the crimped cap with the stopper's target in it."""
    yield Box(MIDDLE - mm("8.2"), mm(5), mm("16.4"), mm(8), "metal", "line", EDGE, mm(1), tag="crimp")
    yield Line(MIDDLE - mm("8.2"), mm("7.4"), MIDDLE + mm("8.2"), mm("7.4"), mm("0.2"), "faint")
    yield Box(
        MIDDLE - mm("3.4"), mm(3), mm("6.8"), mm(2), "rubber", "line", mm("0.2"), mm("0.8"), tag="stopper"
    )
    yield Box(MIDDLE - mm(7), mm(13), mm(14), mm("1.6"), "metal", "line", mm("0.2"), mm("0.5"))


def _level(top: Decimal, foot: Decimal, left: Decimal) -> Decimal:
    """Return the y of the liquid's surface."""
    return foot - ((foot - top) * left).quantize(Decimal("0.01"))


def _vessel(side: Sequence[Point], wall: Decimal, level: Decimal | None) -> Iterator[Shape]:
    """Yield glass, liquid below ``level`` and the edge of a vessel whose right side is given."""
    yield Outline(turned(MIDDLE, side), "glass", tag="glass")
    if level is not None:
        foot = max(y for _, y in side) - wall
        yield from _liquid(side, wall, level, foot)
        wide = max(x for x, y in side if y >= level) - wall
        yield Line(MIDDLE - wide, level, MIDDLE + wide, level, mm("0.25"), "soft", tag="surface")
    yield Outline(turned(MIDDLE, side), stroke="line", stroke_width=EDGE, tag="edge")


def _liquid(side: Sequence[Point], wall: Decimal, top: Decimal, foot: Decimal) -> Iterator[Shape]:
    """Yield the liquid between two heights inside a wall."""
    inside = [(max(x - wall, mm(0)), y) for x, y in side if top < y < foot]
    if not inside or foot <= top:
        return
    first, last = (inside[0][0], top), (inside[-1][0], foot)
    yield Outline(turned(MIDDLE, [first, *inside, last]), "liquid", tag="liquid")


def _label(half: Decimal, top: Decimal, high: Decimal) -> Iterator[Shape]:
    """Yield a paper label around the body: a band, a bold bar for the name, thin lines for the rest."""
    left, wide = MIDDLE - half + mm("0.14"), half * 2 - mm("0.28")
    yield Box(left, top, wide, high, "paper", "faint", mm("0.15"), tag="label")
    yield Box(left, top, wide, mm("1.6"), "accent", tag="label bar")
    inner = left + mm("1.6")
    yield Box(inner, top + mm("3.6"), wide * Decimal("0.62"), mm("1.5"), "text", round=mm("0.3"))
    for turn, share in enumerate(("0.72", "0.5")):
        y = top + mm("7.2") + turn * mm("2.4")
        if y < top + high - mm("1.2"):
            yield Line(inner, y, inner + wide * Decimal(share), y, mm("0.4"), "faint")


DRAWN: Final[dict[Form, Callable[[Decimal], tuple[Sequence[Shape], Decimal]]]] = {
    Form.GLASS_AMPOULE: _glass_ampoule,
    Form.PLASTIC_AMPOULE: _plastic_ampoule,
    Form.SINGLE_DOSE_VIAL: _single_dose_vial,
    Form.MULTI_DOSE_VIAL: _multi_dose_vial,
    Form.POWDER_VIAL: _powder_vial,
    Form.PREFILLED: _prefilled,
}
