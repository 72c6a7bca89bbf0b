"""Lists: touched rows are handed on, refused ones cannot be touched, pages are turned on the screen alone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from kiosk.pages.parts import Key
from kiosk.ui.choices import ChoiceList, DuePage
from tests.ui.sample_pages import due, english, french, nothing_due, syringes


@pytest.fixture
def choices(qtbot, look, hands, say):
    made = ChoiceList(look, hands, say)
    made.resize(round(look.mm(137)), round(look.mm(140)))
    made.show_part(syringes(english).control)
    qtbot.addWidget(made)
    made.show()
    return made


def test_a_choice_is_handed_on(qtbot, choices, hands):
    qtbot.mouseClick(choices.rows[1], Qt.MouseButton.LeftButton)
    assert hands.pressed == ["syringe:3"]


def test_a_refused_choice_is_seen_says_why_and_cannot_be_touched(qtbot, choices, hands):
    refused = choices.rows[2]
    qtbot.mouseClick(refused, Qt.MouseButton.LeftButton)
    assert hands.pressed == []
    assert refused.isVisible()
    assert refused.accessibleDescription() == "0.5 mL lies below its first line"
    assert not refused.isEnabled()


def test_a_badge_goes_over_a_title_too_long_to_share_its_line(choices):
    part = syringes(english).control
    fits, *others = part.choices
    short = choices.rows[0].text_height(choices.rows[0].width())
    long = replace(fits, key=replace(fits.key, label="1 mL syringe, slip tip, a line every 0.01 mL of it"))
    bare = replace(long, badge="")
    heights = []
    for choice in (long, bare):
        choices.show_part(replace(part, choices=(choice, *others)))
        heights.append(choices.rows[0].text_height(choices.rows[0].width()))
    assert heights[0] > heights[1] > short - 1, "the badge takes a line of its own, the title keeps its width"


def test_rows_are_at_least_twenty_millimetres_high(choices, look):
    assert all(row.height() >= look.mm(20) - 1 for row in choices.rows)


def test_what_does_not_fit_is_turned_to_and_the_driver_hears_nothing(qtbot, choices, hands, look):
    choices.resize(choices.width(), round(look.mm(60)))
    assert [row.isVisible() for row in choices.rows] == [True, True, False, False]
    assert not choices.turner.back.isEnabled()
    qtbot.mouseClick(choices.turner.on, Qt.MouseButton.LeftButton)
    assert [row.isVisible() for row in choices.rows] == [False, False, True, True]
    assert not choices.turner.on.isEnabled()
    qtbot.mouseClick(choices.turner.back, Qt.MouseButton.LeftButton)
    assert [row.isVisible() for row in choices.rows] == [True, True, False, False]
    assert hands.pressed == []


def test_with_room_for_all_there_is_nothing_to_turn(choices):
    assert not choices.turner.isVisible()
    assert all(row.isVisible() for row in choices.rows)


def test_a_key_for_more_stands_under_the_rows(qtbot, choices, hands):
    choices.show_part(replace(syringes(english).control, more=Key("more", "Show all")))
    last = max(row.geometry().bottom() for row in choices.rows if row.isVisible())
    assert choices.more.geometry().top() > last
    qtbot.mouseClick(choices.more, Qt.MouseButton.LeftButton)
    assert hands.pressed == ["more"]


@pytest.fixture
def due_list(qtbot, look, hands, say):
    made = DuePage(look, hands, say)
    made.resize(round(look.mm(313)), round(look.mm(140)))
    made.show_part(due(english).control)
    qtbot.addWidget(made)
    made.show()
    return made


def test_an_order_due_is_taken_by_touch(qtbot, due_list, hands):
    qtbot.mouseClick(due_list.rows[2], Qt.MouseButton.LeftButton)
    qtbot.mouseClick(due_list.turns[0], Qt.MouseButton.LeftButton)
    assert hands.pressed == ["order:2", "due:later"]


def test_five_orders_are_seen_at_once(due_list):
    assert [row.isVisible() for row in due_list.rows] == [True] * 5
    assert not due_list.turner.isVisible()


def test_earlier_is_at_the_start_and_later_at_the_end(due_list):
    both = replace(due(french).control, earlier=Key("due:earlier", "Plus tôt"))
    due_list.show_part(both)
    earlier, later = (button.geometry() for button in due_list.turns)
    assert earlier.right() < later.left()


def test_an_empty_list_says_so(due_list):
    full = due_list.grab().toImage()
    due_list.show_part(nothing_due(english).control)
    assert due_list.accessibleName() == "Nothing is due before 20:00."
    assert due_list.grab().toImage() != full
    assert due_list.rows == []


def test_a_row_that_stays_keeps_its_button_and_one_that_goes_is_dismissed(due_list):
    kept, gone = due_list.rows[0], due_list.rows[4]
    part = due(english).control
    due_list.show_part(replace(part, rows=part.rows[:4]))
    assert due_list.rows[0] is kept
    assert not gone.isVisible()
