"""Setting the plunger: by keys, by arrows, by dragging the syringe or, finer, the lens."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from PySide6.QtCore import QPoint, Qt

from kiosk.core.apparatus.picture import Box, Picture
from kiosk.pages.parts import Key
from kiosk.ui.plunger import PlungerPage, moves_by
from kiosk.ui.plunger_views import LENS_SHOWS_MM, stopper_middle
from tests.ui.sample_pages import english, plunger

D = Decimal
PART = plunger(english).control


@pytest.fixture
def page(qtbot, look, hands, say):
    made = PlungerPage(look, hands, say)
    made.resize(round(look.mm(200)), round(look.mm(125)))
    made.show_part(PART)
    qtbot.addWidget(made)
    made.show()
    return made


def drag(qtbot, view, by: QPoint):
    start = view.rect().center()
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(view, start + by)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=start + by)


def millimetres(hands) -> float:
    kind, _, number = hands.typed[-1].partition(":")
    assert kind == "mm"
    return float(number)


def test_keys_move_by_half_a_line_and_by_five(qtbot, page, hands):
    for button in page.steps:
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert hands.pressed == ["plunger:-10", "plunger:-1", "plunger:1", "plunger:10"]


def test_keys_stand_from_emptying_to_filling_whatever_order_they_came_in(page):
    page.show_part(replace(PART, steps=tuple(reversed(PART.steps))))
    tops = [button.geometry().top() for button in page.steps]
    assert [moves_by(button.key.name) for button in page.steps] == [-10, -1, 1, 10]
    assert tops == sorted(tops)


@pytest.mark.parametrize(
    ("key", "name"),
    [
        (Qt.Key.Key_Up, "plunger:-1"),
        (Qt.Key.Key_Down, "plunger:1"),
        (Qt.Key.Key_PageUp, "plunger:-10"),
        (Qt.Key.Key_PageDown, "plunger:10"),
        (Qt.Key.Key_Home, ""),
    ],
)
def test_arrows_and_page_keys_move_it_too(page, key, name):
    assert page.moved(key) == name


def test_a_key_that_is_off_is_not_moved_by_an_arrow(page):
    steps = tuple(replace(key, enabled=False) for key in PART.steps)
    page.show_part(replace(PART, steps=steps))
    assert page.moved(Qt.Key.Key_Up) == ""


def test_dragging_the_syringe_moves_the_plunger_by_as_much(qtbot, page, hands, look):
    drag(qtbot, page.syringe, QPoint(0, round(5 * look.scale.life)))
    assert millimetres(hands) == pytest.approx(19.80 + 5, abs=0.2)


def test_dragging_in_the_lens_is_finer(qtbot, page, hands, look):
    dots = round(5 * look.scale.life)
    drag(qtbot, page.lens, QPoint(0, dots))
    moved = millimetres(hands) - 19.80
    glass = page.lens._glass().height()
    assert moved == pytest.approx(dots * LENS_SHOWS_MM / glass, abs=0.02)
    assert moved < 2.5


def test_a_drag_ends_at_either_end_of_the_scale(qtbot, page, hands):
    drag(qtbot, page.syringe, QPoint(0, 4000))
    assert millimetres(hands) == 44.0
    drag(qtbot, page.syringe, QPoint(0, -4000))
    assert millimetres(hands) == 0.0


def test_a_touch_without_moving_changes_nothing(qtbot, page, hands):
    qtbot.mouseClick(page.syringe, Qt.MouseButton.LeftButton)
    assert hands.typed == []


def test_the_lens_shows_the_sealing_edge_at_its_middle(page, look):
    glass = page.lens._glass()
    image = page.lens.grab().toImage()
    x = round(glass.center().x())
    rubber = [y for y in range(4, round(glass.bottom())) if dark(image, x, y)]
    assert rubber[0] == pytest.approx(glass.center().y(), abs=2)


def dark(image, x, y):
    return image.pixelColor(x, y).lightness() < 150


def test_the_lens_looks_at_the_stopper_where_the_barrel_is_off_centre():
    assert stopper_middle(PART) == pytest.approx(14.0)  # the sample's barrel stands 14 mm from its left edge
    bare = replace(PART, picture=Picture(D(30), D(60), (), "nothing drawn"))
    assert stopper_middle(bare) == 15.0


def test_reading_and_words_are_read_out_and_may_be_withheld(page):
    assert page.accessibleName() == "1.35 mL"
    assert page.accessibleDescription() == "one point three five millilitres"
    shown = page.lens._glass().height()
    page.show_part(replace(PART, reading="", words=""))
    assert page.accessibleName() == PART.picture.title
    assert page.lens._glass().height() > shown, "the lens takes the room of the reading"


def test_commit_and_by_number_are_handed_on(qtbot, page, hands):
    qtbot.mouseClick(page.by_number, Qt.MouseButton.LeftButton)
    qtbot.mouseClick(page.commit, Qt.MouseButton.LeftButton)
    assert hands.pressed == ["by_number", "commit"]
    assert page.entered() == "commit"


def test_a_syringe_that_lies_is_dragged_sideways(qtbot, look, hands, say):
    lying = Picture(D(110), D(24), (Box(D(30), D(8), D(3), D(9), fill="rubber"),), "lying")
    part = replace(PART, picture=lying, axis="x", zero_mm=D(10), scale_mm=D(60), at_mm=D(20))
    page = PlungerPage(look, hands, say)
    qtbot.addWidget(page)
    page.resize(round(look.mm(137)), round(look.mm(125)))
    page.show_part(part)
    page.show()
    assert stopper_middle(part) == 12.5
    drag(qtbot, page.syringe, QPoint(round(6 * look.scale.life), 0))
    assert millimetres(hands) == pytest.approx(26, abs=0.2)
    lefts = [button.geometry().left() for button in page.steps]
    assert lefts == sorted(lefts)
    assert page.syringe.geometry().bottom() < page.lens.geometry().top()
    assert len({bytes(button.grab().toImage().constBits()) for button in page.steps}) == 4, "four arrows"


def test_arrows_with_no_steps_mean_nothing(page):
    page.show_part(replace(PART, steps=(Key("plunger:1", ""),)))
    assert page.moved(Qt.Key.Key_Down) == ""
