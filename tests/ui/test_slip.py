"""The order slip: always whole, in every language, on every screen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.pages.parts import Mark
from kiosk.ui.slip import DENSITIES, FOOT_MM, SlipSheet
from tests.ui.conftest import SCREENS
from tests.ui.sample_pages import english, french, long_slip, slip, volume


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("pick", [english, french])
@pytest.mark.parametrize("order", [slip, long_slip])
def test_the_whole_order_is_on_the_slip(make_shell, screen, pick, order):
    shell = make_shell(replace(volume(pick), slip=order(pick)), screen)
    sheet = shell.slip
    width, height = sheet.width(), sheet.height() - sheet.mm(FOOT_MM)
    density = sheet.density(width, height)
    assert sheet.set_slip(None, width, density) <= height + 1
    assert sheet.unbroken(width, density), "a drug's name is never broken within a word"


def test_an_ordinary_order_is_set_with_large_lettering(make_shell):
    shell = make_shell(volume(english))
    density = shell.slip.density(shell.slip.width(), shell.slip.height() - shell.slip.mm(FOOT_MM))
    assert density.dose.cap >= 7
    assert density.lines.cap >= 4


def test_no_density_goes_under_three_millimetres():
    for density in DENSITIES:
        assert min(t.cap for t in (density.name, density.drug, density.dose, density.lines)) >= 3


def test_everything_on_the_slip_is_read_out(qtbot, look, hands, say):
    sheet = SlipSheet(look, hands, say)
    qtbot.addWidget(sheet)
    sheet.show_part(replace(slip(english), banner="SPOKEN ORDER"))
    said = sheet.accessibleName()
    for text in ("SPOKEN ORDER", "Ines Halvard", "no. 40 118", "prochlorPERazine", "12.5 mg", "once, now"):
        assert text in said
    assert "penicillin (rash, 2009)" in said
    assert "ampoule, lot K7704 14:09" in said


def test_a_mark_added_changes_the_slip(qtbot, look, hands, say):
    sheet = SlipSheet(look, hands, say)
    qtbot.addWidget(sheet)
    sheet.resize(round(look.mm(78)), round(look.mm(160)))
    sheet.show_part(slip(english, 0))
    before = sheet.grab().toImage()
    sheet.show_part(replace(slip(english, 0), marks=(Mark("wristband", "14:06"),)))
    assert sheet.grab().toImage() != before
