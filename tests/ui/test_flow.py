"""Setting text: what is measured is what is painted, and a number stays with its unit."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from kiosk.ui.flow import NBSP, Flow, bound
from kiosk.ui.look import TYPES, Type


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("draw up 1.5 mL now", f"draw up 1.5{NBSP}mL now"),
        ("12,5 mg dans 1 mL", f"12,5{NBSP}mg dans 1{NBSP}mL"),
        ("38 mm (1 1/2 in)", f"38{NBSP}mm (1{NBSP}1/2{NBSP}in)"),
        ("20 units", f"20{NBSP}units"),
        ("Quel volume ?", f"Quel volume{NBSP}?"),
        ("bay 3, bed 2", "bay 3, bed 2"),
    ],
)
def test_a_number_is_never_parted_from_its_unit(text, held):
    assert bound(text) == held


def test_a_narrow_column_breaks_before_the_number_not_after(look):
    flow = Flow(look, None, 0, 0, look.mm(31))
    one_line = Flow(look, None, 0, 0, look.mm(31)).write("draw up", "body")
    assert flow.write("draw up 1.5 mL", "body") > one_line  # two lines
    from kiosk.ui.flow import broken

    layout, count = broken("draw up 1.5 mL", look.font(TYPES["body"]), look.mm(31), "start", 30, False)
    assert count == 2
    second = layout.lineAt(1)
    assert layout.text()[second.textStart() :] == f"1.5{NBSP}mL"


def ink_rows(look, text, kind, width_mm=60.0):
    """Return the first and last row with ink, and the height the flow reported."""
    image = QImage(round(look.mm(width_mm)), round(look.mm(60)), QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    flow = Flow(look, painter, 0, 20, look.mm(width_mm))
    height = flow.write(text, kind)
    painter.end()
    dark = [
        y
        for y in range(image.height())
        if any(QColor(image.pixel(x, y)).lightness() < 140 for x in range(image.width()))
    ]
    return dark[0], dark[-1], height


@pytest.mark.parametrize("kind", ["body", "figure", "question", "small"])
def test_capitals_hang_from_the_pen_and_stand_on_the_reported_baseline(look, kind):
    first, last, height = ink_rows(look, "HEH", TYPES[kind])
    assert abs(first - 20) <= 1
    assert abs(last + 1 - (20 + height)) <= 1


def test_the_number_of_the_moment_is_at_least_twelve_millimetres_high(look):
    for kind in ("figure", "figure_small"):
        first, last, _ = ink_rows(look, "1357", TYPES[kind])
        assert (last + 1 - first) / look.scale.life >= 12.0


def test_no_lettering_is_under_three_millimetres_and_body_is_four():
    assert min(kind.cap for kind in TYPES.values()) >= 3.0
    assert TYPES["body"].cap >= 4.0
    assert TYPES["strong"].cap >= 4.0
    assert TYPES["help"].cap >= 4.0


def test_nothing_to_say_takes_no_room(look):
    assert Flow(look, None, 0, 0, 100).write("", "body") == 0


def test_a_pair_that_does_not_fit_on_one_line_stands_on_two(look):
    wide, narrow = Flow(look, None, 0, 0, look.mm(120)), Flow(look, None, 0, 0, look.mm(40))
    for flow in (wide, narrow):
        flow.pair("Prescription 2117", "prévu 14 h 30", "label", "small_strong")
    assert narrow.y > wide.y


def test_from_right_to_left_text_begins_at_the_right(look):
    image = QImage(400, 60, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    Flow(look, painter, 0, 20, 400, rtl=True).write("H", Type(4))
    painter.end()
    dark = [x for x in range(400) if any(QColor(image.pixel(x, y)).lightness() < 140 for y in range(60))]
    assert dark[0] > 350
