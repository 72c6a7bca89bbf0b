"""The picture of a syringe, measured: lines at their places, liquid to the edge, no figure when blank."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest

from kiosk.core.apparatus.drawing import position_at, scale_place, syringe_picture
from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Shape, Words
from kiosk.core.apparatus.scale_drawing import graduations
from kiosk.core.catalogue.devices import Tip
from tests.core.apparatus.samples import (
    FIVE,
    HALF,
    ONE,
    THREE,
    TRAY,
    a_needle,
    a_syringe,
    an_insulin_syringe,
    ml,
    units,
)

FINEST = Decimal("0.0002")
INSULIN_BARRELS = (
    an_insulin_syringe("100", "2"),
    an_insulin_syringe("50", every="5"),
    an_insulin_syringe("30", "0.5", every="5", scale="43", needle=a_needle(31, "6", outer="0.26")),
)
EVERY = (*TRAY, HALF, a_syringe("5", "0.2", tip=Tip.ORAL), *INSULIN_BARRELS)


def tagged(picture: Picture, tag: str) -> list[Shape]:
    return [shape for shape in picture.shapes if shape.tag.startswith(tag)]


def heights(shapes: list[Shape]) -> list[Decimal]:
    return [shape.y1 for shape in shapes if isinstance(shape, Line)]


@pytest.mark.parametrize("syringe", EVERY, ids=lambda s: s.id)
def test_every_graduation_stands_at_its_true_place(syringe: object) -> None:
    picture = syringe_picture(syringe, None)  # type: ignore[arg-type]
    zero = scale_place(syringe).zero_mm  # type: ignore[arg-type]
    found = heights(tagged(picture, "graduation:"))
    count = int(syringe.nominal.ratio(syringe.graduation))  # type: ignore[attr-defined]
    assert len(found) == count + 1
    step = Fraction(syringe.scale_length.value) / count  # type: ignore[attr-defined]
    for number, y in enumerate(found):
        assert abs(Fraction(y - zero) - number * step) <= Fraction(FINEST)


def test_numbered_lines_are_longest_and_halfway_lines_between() -> None:
    ranks = [g.rank for g in graduations(ONE)][:11]
    assert ranks == ["numbered", *["plain"] * 4, "halfway", *["plain"] * 4, "numbered"]
    lines = {s.tag: abs(s.x2 - s.x1) for s in syringe_picture(ONE, None).shapes if isinstance(s, Line)}
    assert lines["graduation:0.9"] > lines["graduation:0.85"] > lines["graduation:0.84"]


def test_the_numbers_are_those_printed_on_the_barrel() -> None:
    said = [s.text for s in tagged(syringe_picture(THREE, ml("1")), "scale number") if isinstance(s, Words)]
    assert said == ["0.5", "1", "1.5", "2", "2.5", "3"]
    french = [
        s.text
        for s in tagged(syringe_picture(THREE, ml("1"), language="fr"), "scale number")
        if isinstance(s, Words)
    ]
    assert french[0] == "0,5"


def test_insulin_is_numbered_in_units() -> None:
    said = [
        s.text
        for s in tagged(syringe_picture(INSULIN_BARRELS[0], units("20")), "scale number")
        if isinstance(s, Words)
    ]
    assert said == ["10", "20", "30", "40", "50", "60", "70", "80", "90", "100"]


@pytest.mark.parametrize("syringe", EVERY, ids=lambda s: s.id)
def test_liquid_and_stopper_meet_at_the_sealing_edge(syringe: object) -> None:
    line = syringe.graduation.scaled(7)  # type: ignore[attr-defined]
    picture = syringe_picture(syringe, line)  # type: ignore[arg-type]
    edge = scale_place(syringe).zero_mm + position_at(syringe, line)  # type: ignore[arg-type]
    (liquid,) = tagged(picture, "liquid")[:1]
    (seal,) = tagged(picture, "sealing edge")
    assert isinstance(liquid, Outline)
    assert isinstance(seal, Line)
    assert max(y for _, y in liquid.points) == edge == seal.y1 == seal.y2
    width = max(x for x, _ in liquid.points) - min(x for x, _ in liquid.points)
    assert abs(seal.x2 - seal.x1 - width) < FINEST


def test_an_empty_syringe_shows_no_liquid() -> None:
    assert tagged(syringe_picture(FIVE, None), "liquid") == []
    assert tagged(syringe_picture(FIVE, ml("0"), blank=True), "liquid") == []


def test_the_line_to_reach_is_said_and_pointed_at() -> None:
    picture = syringe_picture(THREE, ml("1"), notes=("sealing edge", "of the stopper"))
    (figure,) = tagged(picture, "line figure")
    assert isinstance(figure, Words)
    assert (figure.text, figure.bold) == ("1 mL", True)
    assert figure.height >= 5
    (pointer,) = tagged(picture, "pointer")
    assert isinstance(pointer, Line)
    assert pointer.y1 == scale_place(THREE).zero_mm + position_at(THREE, ml("1"))
    assert [s.text for s in tagged(picture, "note") if isinstance(s, Words)] == [
        "sealing edge",
        "of the stopper",
    ]
    without = syringe_picture(THREE, ml("1"), False)
    assert tagged(without, "line figure") == []


@pytest.mark.parametrize("syringe", EVERY, ids=lambda s: s.id)
def test_the_blank_picture_shows_no_figure_and_no_target(syringe: object) -> None:
    printed = {g.reading for g in graduations(syringe) if g.rank == "numbered"}  # type: ignore[arg-type]
    numbers = {str(r.decimal.normalize() + 0) for r in printed} | {
        f"{r.decimal.normalize():f}" for r in printed
    }
    picture = syringe_picture(syringe, syringe.graduation.scaled(7), blank=True, notes=("x",))  # type: ignore[arg-type,attr-defined]
    assert tagged(picture, "line figure") == tagged(picture, "line to reach") == tagged(picture, "note") == []
    assert all(s.text in numbers for s in picture.shapes if isinstance(s, Words))
    assert not any(getattr(s, "ink", "") == "accent" for s in picture.shapes)


def test_the_blank_picture_keeps_its_size_wherever_the_plunger_goes() -> None:
    sizes = {
        (p.width, p.height)
        for p in (syringe_picture(THREE, ml(v), blank=True) for v in ("0", "0.1", "1.5", "2.9", "3"))
    }
    assert len(sizes) == 1


def test_the_scale_stays_put_whatever_is_shown_beside_it() -> None:
    def first(picture: Picture) -> Decimal:
        return heights(tagged(picture, "graduation:0"))[0]

    pictures = [
        syringe_picture(THREE, ml("1")),
        syringe_picture(THREE, ml("2"), blank=True),
        syringe_picture(THREE, ml("3"), lens=False),
        syringe_picture(THREE, None, False),
    ]
    assert {first(p) for p in pictures} == {scale_place(THREE).zero_mm}


@pytest.mark.parametrize("syringe", EVERY, ids=lambda s: s.id)
@pytest.mark.parametrize("share", ["0", "0.1", "0.5", "1"])
def test_nothing_is_drawn_outside_the_picture(syringe: object, share: str) -> None:
    line = syringe.nominal.scaled(Fraction(share))  # type: ignore[attr-defined]
    for picture in (
        syringe_picture(syringe, line),  # type: ignore[arg-type]
        syringe_picture(syringe, line, blank=True),  # type: ignore[arg-type]
        syringe_picture(syringe, line, lens=False),  # type: ignore[arg-type]
    ):
        for x, y in (point for shape in picture.shapes for point in points(shape)):
            assert 0 <= x <= picture.width
            assert 0 <= y <= picture.height


def points(shape: Shape) -> Iterator[tuple[Decimal, Decimal]]:
    if isinstance(shape, Line):
        yield from ((shape.x1, shape.y1), (shape.x2, shape.y2))
    elif isinstance(shape, Box):
        yield from ((shape.x, shape.y), (shape.x + shape.w, shape.y + shape.h))
    elif isinstance(shape, Outline):
        yield from shape.points
    else:
        yield shape.x, shape.y


@pytest.mark.parametrize("syringe", EVERY, ids=lambda s: s.id)
def test_the_lens_enlarges_the_true_scale_around_the_edge(syringe: object) -> None:
    line = syringe.nominal.scaled(Fraction(1, 2))  # type: ignore[attr-defined]
    picture = syringe_picture(syringe, line)  # type: ignore[arg-type]
    edge = scale_place(syringe).zero_mm + position_at(syringe, line)  # type: ignore[arg-type]
    seen = sorted(y - edge for y in heights(tagged(picture, "lens graduation")))
    true = sorted(y - edge for y in heights(tagged(picture, "graduation:")))
    assert len(seen) >= 3
    apart = [b - a for a, b in pairwise(seen)]
    times = apart[0] / (true[1] - true[0])
    assert max(apart) - min(apart) < Decimal("0.02")
    assert Decimal("1.4") < times <= 8
    assert any(abs(y / times - t) < Decimal("0.001") for y in seen for t in true)


def test_a_printed_number_is_in_the_lens_wherever_the_plunger_stands() -> None:
    for step in range(1, 101):
        picture = syringe_picture(ONE, ml(str(Decimal(step) / 100)))
        assert tagged(picture, "lens number"), step


def test_a_fixed_needle_and_a_fitted_one_are_drawn_in_true_length_and_width() -> None:
    thin = INSULIN_BARRELS[2]
    for picture, length, width in (
        (syringe_picture(thin, units("7")), "6", "0.26"),
        (syringe_picture(THREE, ml("1"), needle=a_needle(23, "25", outer="0.6414")), "25", "0.6414"),
    ):
        (steel,) = tagged(picture, "needle")[:1]
        assert isinstance(steel, Outline)
        ys, xs = [y for _, y in steel.points], [x for x, _ in steel.points]
        assert max(ys) - min(ys) == Decimal(length)
        assert abs(max(xs) - min(xs) - Decimal(width)) <= FINEST


def test_each_tip_looks_its_own() -> None:
    tips = {
        tip: syringe_picture(a_syringe("3", "0.1", every="0.5", tip=tip), ml("1")) for tip in list(Tip)[:2]
    }
    assert tagged(tips[Tip.LOCK], "lock collar")
    assert not tagged(tips[Tip.SLIP], "lock collar")
    assert tagged(syringe_picture(a_syringe("3", "0.1", tip=Tip.ORAL), None), "oral tip")
    assert tagged(syringe_picture(INSULIN_BARRELS[0], None), "needle seat")
