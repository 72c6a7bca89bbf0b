"""The stage row: words, in order, with what was decided, and a number is never cut in half."""

from __future__ import annotations

import pytest

from kiosk.pages.parts import StageMark
from kiosk.ui.stages import DECIDED, INDENT_MM, StageRow
from tests.ui.sample_pages import english, french, stages


@pytest.fixture
def row(qtbot, look, hands, say):
    made = StageRow(look, hands, say)
    made.margin = look.mm(6)
    qtbot.addWidget(made)
    return made


@pytest.mark.parametrize("pick", [english, french])
@pytest.mark.parametrize(("width", "rows"), [(1280, 1), (800, 2)])
def test_ten_stages_stand_in_one_row_lying_and_at_most_two_standing(row, pick, width, rows):
    row.show_part(stages(pick, 5))
    row.resize(width, round(row.height_for(width)))
    assert len(row.rows(width)) <= rows
    for part in row.rows(width):
        wide = row.widths(part, width - 2 * row.margin)
        assert sum(wide) <= width - 2 * row.margin + 1
        for stage, room in zip(part, wide, strict=True):
            assert room >= row._least(stage) - 1, "every name is whole"


def test_what_was_decided_is_read_out_with_its_stage(row):
    row.show_part(stages(english, 3))
    assert "Stock: 12.5 mg in 1 mL" in row.accessibleName()
    assert row.accessibleName().count("\n") == 9


def test_a_figure_that_does_not_fit_is_left_out_not_cut(row, look):
    long = (
        StageMark("A", "a very long thing that was decided here and there 12.5 mg", "done"),
        StageMark("B", "", "now"),
    )
    row.show_part(long)
    room = look.mm(60)
    wide = row.widths(long, room)
    flow = row.flow(None, 0, 0, 0)
    assert flow.measure(long[0].decided, DECIDED) > wide[0] - look.mm(INDENT_MM)
    row.resize(round(room), round(row.height_for(room)))
    short = row.grab().toImage()
    row.show_part((StageMark("A", "", "done"), long[1]))
    assert row.grab().toImage() == short


def test_the_scale_fills_as_the_work_goes_on(row):
    pictures = []
    for now in (1, 5, 9):
        row.show_part(stages(english, now))
        row.resize(1280, round(row.height_for(1280)))
        image = row.grab().toImage()
        accent = row.look.theme.ink["accent"].lower()
        pictures.append(sum(image.pixelColor(x, 1).name() == accent for x in range(1280)))
    assert pictures[0] < pictures[1] < pictures[2] == 1280


def test_no_stages_take_no_room(row):
    row.show_part(())
    assert row.height_for(1280) == 0
