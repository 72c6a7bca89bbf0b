"""Statement, scan wanted, step card, working and comparison under real clicks."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from PySide6.QtCore import Qt

from kiosk.ui.comparison import ComparisonPage, WorkingPage
from kiosk.ui.statement import GLIDE_MS, ScanPage, StatementPage, StepPage
from tests.ui.sample_pages import all_findings, comparison, english, step, stock, trouble, working


@pytest.fixture
def made(qtbot, look, hands, say):
    def make(kind, part, wide=137.0):
        page = kind(look, hands, say)
        qtbot.addWidget(page)
        page.show_part(part)
        page.resize(round(look.mm(wide)), round(page.height_for(look.mm(wide))) + 1)
        page.show()
        return page

    return make


def test_a_statement_hands_on_its_keys_and_enter_means_the_primary(qtbot, made, hands):
    page = made(StatementPage, all_findings(english).control)
    for button in page.row.buttons:
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert hands.pressed == ["back", "take"]
    assert page.entered() == "take"


def test_enter_never_means_a_grave_key(made):
    part = trouble(english).control
    page = made(StatementPage, replace(part, keys=tuple(k for k in part.keys if k.name == "discard")))
    assert page.entered() == ""


def test_a_statement_is_read_out(made):
    assert (
        "The disk of this counter is full." in made(StatementPage, trouble(english).control).accessibleName()
    )


def test_what_is_to_be_scanned_can_be_done_by_hand(qtbot, made, hands):
    page = made(ScanPage, stock(english).control)
    qtbot.mouseClick(page.row.buttons[0], Qt.MouseButton.LeftButton)
    assert hands.pressed == ["by_hand"]
    assert page.accessibleName() == "Scan the code on the ampoule or its tray"


def test_a_scan_field_is_set_closer_where_room_is_short(made):
    page = made(ScanPage, stock(english).control)
    assert page.least_height(page.width()) < page.height_for(page.width())
    page.resize(page.width(), round(page.least_height(page.width())) + 1)
    assert page.row.geometry().bottom() <= page.height()


def test_a_step_that_is_not_yet_over_cannot_be_done(qtbot, made, hands):
    page = made(StepPage, step(english, left=21).control)
    qtbot.mouseClick(page.row.buttons[0], Qt.MouseButton.LeftButton)
    assert (hands.pressed, page.entered()) == ([], "")
    page.show_part(step(english, left=0).control)
    qtbot.mouseClick(page.row.buttons[0], Qt.MouseButton.LeftButton)
    assert (hands.pressed, page.entered()) == (["done"], "done")


def test_every_second_is_seen(made):
    page = made(StepPage, step(english, left=21).control)
    seen = [page.grab().toImage()]
    for left in (20, 10, 0):
        page.show_part(step(english, left=left).control)
        seen.append(page.grab().toImage())
    assert all(a != b for a, b in pairwise(seen))


def test_the_bar_glides_to_the_next_second_within_a_fifth_of_one(qtbot, made):
    page = made(StepPage, step(english, left=30).control)
    page.show_part(step(english, left=15).control)
    assert page.share == 1.0
    qtbot.waitUntil(lambda: page.share == 0.5, timeout=1500)
    assert GLIDE_MS < 200


def test_with_motion_off_the_bar_stands_at_once(made, monkeypatch):
    page = made(StepPage, step(english, left=30).control)
    monkeypatch.setattr(page.look, "motion", False)
    page.show_part(step(english, left=15).control)
    assert page.share == 0.5


def test_a_step_without_a_time_has_no_timer(made):
    timed = made(StepPage, step(english).control)
    plain = made(StepPage, replace(step(english).control, wait_s=0, left_s=0))
    assert plain.height() < timed.height()


@pytest.mark.parametrize("wide", [110.0, 137.0, 230.0])
def test_the_working_shows_both_forms_and_goes_on(qtbot, made, hands, wide):
    page = made(WorkingPage, working(english).control, wide)
    said = page.accessibleName()
    assert "By units: 12.5 mg × (1 mL ÷ 25 mg); = (12.5 ÷ 25) mL; = 0.5 mL" in said
    assert "Desired over have" in said
    qtbot.mouseClick(page.row.buttons[0], Qt.MouseButton.LeftButton)
    assert hands.pressed == ["go_on"]


def test_side_by_side_the_forms_need_less_height(made):
    narrow, wide = (made(WorkingPage, working(english).control, w) for w in (120.0, 230.0))
    assert wide.height() < narrow.height()


def test_agreeing_and_differing_look_different_without_reading(made):
    agree = made(WorkingPage, working(english).control)
    part = replace(working(english).control, agrees=False)
    assert made(WorkingPage, part).grab().toImage() != agree.grab().toImage()


def test_a_comparison_says_where_and_has_no_figures(qtbot, made, hands):
    page = made(ComparisonPage, comparison(english).control)
    assert "Plunger: differ" in page.accessibleName()
    assert not any(character.isdigit() for character in page.accessibleName())
    qtbot.mouseClick(page.row.buttons[0], Qt.MouseButton.LeftButton)
    assert hands.pressed == ["go_on"]
