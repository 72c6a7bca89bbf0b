"""Needles side by side: true length and thickness, numbers in words, the chosen one framed."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kiosk.core.apparatus.drawing import container_picture, gauge_page, needles_picture
from kiosk.core.apparatus.needle_drawing import whole_mm
from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Words
from kiosk.core.catalogue.container import Form
from kiosk.tables.words import words
from tests.core.apparatus.samples import a_needle, mm, tables
from tests.core.apparatus.test_syringe_drawing import points, tagged

ROW = (
    a_needle(25, "15.875", "5/8", outer="0.5144", bore="0.26"),
    a_needle(21, "38.1", "1 1/2", outer="0.8192", bore="0.514"),
    a_needle(31, "6", "15/64", outer="0.2604", bore="0.133"),
)


def said(picture: Picture) -> list[str]:
    return [shape.text for shape in picture.shapes if isinstance(shape, Words)]


def test_length_and_thickness_are_true_and_all_stand_on_one_line() -> None:
    steel = [s for s in tagged(needles_picture(ROW, None), "needle") if isinstance(s, Outline)]
    for needle, drawn in zip(ROW, steel, strict=True):
        ys, xs = [y for _, y in drawn.points], [x for x, _ in drawn.points]
        assert max(ys) - min(ys) == needle.length.decimal
        assert needle.outer is not None
        assert abs(max(xs) - min(xs) - needle.outer.decimal) <= Decimal("0.0002")
    assert len({max(y for _, y in drawn.points) for drawn in steel}) == 1


def test_the_numbers_are_written_under_each() -> None:
    assert {"25 G", "16 mm", "5/8 in", "21 G", "38 mm", "1 1/2 in", "31 G", "6 mm"} <= set(
        said(needles_picture(ROW, ROW[0]))
    )


def test_the_chosen_one_has_a_frame_and_a_bar_not_a_colour_alone() -> None:
    marked = needles_picture(ROW, ROW[1])
    assert len(tagged(marked, "chosen")) == 2
    assert tagged(needles_picture(ROW, None), "chosen") == []
    (frame, _bar) = tagged(marked, "chosen")
    steel = [s for s in tagged(marked, "needle") if isinstance(s, Outline)][1]
    assert isinstance(frame, Box)
    assert frame.x < min(x for x, _ in steel.points) < frame.x + frame.w


def test_cut_ends_show_outside_and_bore_eight_times_enlarged() -> None:
    rings = [
        s for s in tagged(needles_picture(ROW, None, ring_word="cut ends"), "ring") if isinstance(s, Box)
    ]
    assert [r.w for r in rings[:2]] == [Decimal("0.5144") * 8, Decimal("0.26") * 8]


def test_a_width_nobody_knows_is_dashed_not_guessed() -> None:
    picture = needles_picture((a_needle(40, "25"),), None)
    assert tagged(picture, "needle, width not known")
    assert tagged(picture, "ring") == []


def test_packs_print_whole_millimetres() -> None:
    assert [whole_mm(mm(t)) for t in ("15.875", "25.4", "38.1", "12.7", "9.53", "12.5")] == [
        16,
        25,
        38,
        13,
        10,
        13,
    ]


def test_with_nothing_on_the_counter_there_is_still_a_picture() -> None:
    assert needles_picture((), None).width > 0


@pytest.mark.parametrize("form", list(Form))
@pytest.mark.parametrize("left", ["0", "0.05", "0.5", "1", "7"])
def test_every_container_is_drawn_inside_its_picture(form: Form, left: str) -> None:
    picture = container_picture(form, left=Decimal(left))
    assert picture.title == form.value
    for x, y in (point for shape in picture.shapes for point in points(shape)):
        assert 0 <= x <= picture.width
        assert 0 <= y <= picture.height


def test_a_fuller_vial_stands_higher() -> None:
    levels = []
    for left in ("0.2", "0.8"):
        (surface,) = tagged(container_picture(Form.MULTI_DOSE_VIAL, left=Decimal(left)), "surface")
        assert isinstance(surface, Line)
        levels.append(surface.y1)
    assert levels[0] > levels[1]


@pytest.mark.parametrize("language", ["en", "fr"])
def test_the_teaching_page_shows_every_gauge_and_length_life_size(language: str) -> None:
    picture = gauge_page(tables(), words(language), language)
    steel = [s for s in tagged(picture, "needle") if isinstance(s, Outline)]
    assert len(steel) == 14 + 14
    widths = [max(x for x, _ in s.points) - min(x for x, _ in s.points) for s in steel[:14]]
    for gauge, width in zip(range(18, 32), widths, strict=True):
        outer = tables().tubing[gauge].outer
        assert outer is not None
        assert abs(width - outer.decimal) <= Decimal("0.0002")
    assert widths == sorted(widths, reverse=True)
    lengths = [max(y for _, y in s.points) - min(y for _, y in s.points) for s in steel[14:]]
    assert lengths == [one.exact.decimal for one in tables().lengths]
    assert {str(g) for g in range(18, 32)} <= set(said(picture))
    (ruler,) = tagged(picture, "100 mm")
    assert isinstance(ruler, Line)
    assert ruler.x2 - ruler.x1 == 100
    for x, y in (point for shape in picture.shapes for point in points(shape)):
        assert 0 <= x <= picture.width
        assert 0 <= y <= picture.height
