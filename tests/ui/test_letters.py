"""The letter keyboard and the list to read."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from kiosk.pages.parts import Key
from kiosk.ui.letters import LetterPad
from kiosk.ui.lines import LineList
from tests.ui.sample_pages import english, french, letters, record


@pytest.fixture
def pad(qtbot, look, hands, say):
    made = LetterPad(look, hands, say)
    made.resize(round(look.mm(313)), round(look.mm(118)))
    made.show_part(letters(english).control)
    qtbot.addWidget(made)
    made.show()
    return made


def test_letters_are_handed_on(qtbot, pad, hands):
    for button in (pad.letters[0], pad.letters[25], pad.erase, *pad.under):
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert hands.pressed == [
        "letter:a", "letter:z", "erase", "turn-case", "layer:marks", "letter: ", "commit",
    ]  # fmt: skip


def test_a_real_keyboard_means_the_same_letters_and_shift_a_capital(pad):
    assert [pad.typed(c) for c in "aB -"] == ["letter:a", "letter:B", "letter: ", "letter:-"]
    assert pad.typed("7") == ""
    capitals = tuple(
        replace(k, name=f"letter:{k.label.upper()}", label=k.label.upper())
        for k in letters(english).control.letters
    )
    pad.show_part(replace(letters(english).control, letters=capitals))
    assert pad.typed("a") == "letter:A", "as the keyboard now shows it"
    assert (pad.entered(), pad.erased()) == ("commit", "erase")


def test_with_nothing_typed_there_is_nothing_to_end_erase_or_space(pad):
    pad.show_part(letters(english, "").control)
    assert (pad.entered(), pad.erased(), pad.typed(" ")) == ("", "", "")


def test_what_fits_stands_beside_what_is_typed_and_can_be_touched(qtbot, pad, hands, look):
    fits = (Key("product:a", "ceFAZolin 1 g powder"), Key("product:b", "cefTRIAXone 1 g powder"))
    pad.show_part(replace(letters(english).control, matches=fits))
    pad.resize(round(look.mm(313)), round(pad.least_height(look.mm(313))) + 1)
    for button in pad.matches:
        assert button.width() >= 60 * look.scale.life
        assert button.height() >= 20 * look.scale.life - 1
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert hands.pressed == ["product:a", "product:b"]
    assert pad.display.geometry().right() < pad.matches[0].geometry().left()
    assert pad.focus_chain()[:2] == pad.matches


@pytest.mark.parametrize("wide_mm", [200, 313])
@pytest.mark.parametrize("pick", [english, french])
def test_every_letter_can_be_touched(pad, look, wide_mm, pick):
    pad.show_part(letters(pick).control)
    width = look.mm(wide_mm)
    pad.resize(round(width), round(pad.least_height(width)) + 1)
    for button in (*pad.letters, pad.erase, *pad.under):
        assert button.width() >= 20 * look.scale.life - 1
        assert button.height() >= 20 * look.scale.life - 1
        assert pad.rect().contains(button.geometry())


def test_caption_and_text_are_read_out_and_the_end_of_a_long_text_is_seen(pad):
    assert pad.display.accessibleName() == "Name"
    assert pad.display.accessibleDescription() == "Maximiliane van Oo"
    long = "x" * 200
    pad.display.show_text("Name", long)
    one = pad.display.grab().toImage()
    pad.display.show_text("Name", long + "H")
    assert pad.display.grab().toImage() != one


@pytest.fixture
def lines(qtbot, look, hands, say):
    made = LineList(look, hands, say)
    made.resize(round(look.mm(313)), round(look.mm(100)))
    made.show_part(record(english).control)
    qtbot.addWidget(made)
    made.show()
    return made


def test_a_long_list_is_turned_page_by_page_and_nothing_is_skipped(qtbot, lines, hands):
    seen = list(range(*lines.shown))
    while lines.turner.on.isEnabled():
        qtbot.mouseClick(lines.turner.on, Qt.MouseButton.LeftButton)
        seen += range(*lines.shown)
    assert seen == list(range(14))
    assert hands.pressed == []


def test_a_short_list_is_not_turned(lines):
    lines.show_part(record(english, 3).control)
    assert lines.shown == (0, 3)
    assert not lines.turner.isVisible()


def test_an_empty_list_says_so(lines):
    lines.show_part(record(english, 0).control)
    assert lines.accessibleName() == "Nothing was recorded today."


def test_another_list_begins_at_its_beginning(qtbot, lines):
    qtbot.mouseClick(lines.turner.on, Qt.MouseButton.LeftButton)
    lines.show_part(record(french).control)
    assert lines.shown[0] == 0


def test_all_lines_are_read_out(lines):
    assert lines.accessibleName().count("\n") == 13
    assert "25 Nov, 14:00 Container taken glass ampoule, lot K7704" in lines.accessibleName()


def test_lines_without_a_time_use_the_whole_width(lines, look):
    timed = lines.grab().toImage()
    part = record(english).control
    lines.show_part(replace(part, lines=tuple(replace(line, at="") for line in part.lines)))
    assert lines.grab().toImage() != timed
