"""Number and PIN entry: the pad, its keyboard, and the display in both arrangements."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from kiosk.ui.number_pad import NumberPad, PinPad
from tests.ui.sample_pages import english, number, pin, volume


@pytest.fixture
def pad(qtbot, look, hands, say):
    made = NumberPad(look, hands, say)
    made.resize(round(look.mm(137)), round(look.mm(125)))
    made.show_part(number(english, "0.5", "nought point five millilitres"))
    qtbot.addWidget(made)
    made.show()
    return made


def all_keys(pad):
    return [*pad.digits.values(), *(k for k in (pad.point, pad.erase, pad.commit) if k is not None)]


def test_digits_point_erase_and_commit_are_handed_on(qtbot, pad, hands):
    for button in (pad.digits["1"], pad.point, pad.digits["5"], pad.erase, pad.commit):
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert hands.pressed == ["digit:1", "point", "digit:5", "erase", "commit"]


def test_the_keyboard_means_the_same_keys(pad):
    assert [pad.typed(c) for c in "07.,"] == ["digit:0", "digit:7", "point", "point"]
    assert pad.typed("x") == ""
    assert pad.entered() == "commit"
    assert pad.erased() == "erase"


def test_enter_commits_nothing_while_there_is_nothing_to_commit(pad):
    pad.show_part(number(english, "", ""))
    assert pad.entered() == ""


def test_digits_stand_as_on_a_calculator_and_are_not_mirrored(qtbot, pad):
    for direction in (Qt.LayoutDirection.LeftToRight, Qt.LayoutDirection.RightToLeft):
        pad.setLayoutDirection(direction)
        pad.arrange()
        one, two, seven = (pad.digits[d].geometry() for d in "127")
        assert one.left() < two.left()
        assert seven.top() < one.top()


@pytest.mark.parametrize("high_mm", [125, 112, 100, 90])
def test_every_key_keeps_twenty_millimetres_and_three_between(pad, look, high_mm):
    pad.resize(round(look.mm(126)), round(look.mm(high_mm)))
    rects = [button.geometry() for button in all_keys(pad)]
    for rect in rects:
        assert rect.width() >= look.mm(20) - 1
        assert rect.height() >= look.mm(20) - 1
        assert pad.rect().contains(rect)
    for n, one in enumerate(rects):
        for other in rects[n + 1 :]:
            grown = one.adjusted(
                -round(look.mm(3)) + 2, -round(look.mm(3)) + 2, round(look.mm(3)) - 2, round(look.mm(3)) - 2
            )
            assert not grown.intersects(other)


def test_the_display_stands_over_the_pad_or_beside_it_where_room_is_short(pad, look):
    assert pad.display.geometry().bottom() < pad.digits["7"].geometry().top()
    pad.resize(pad.width(), round(look.mm(95)))
    assert pad.display.geometry().left() > pad.digits["9"].geometry().right()
    assert pad.display.geometry().bottom() < pad.commit.geometry().top()


def test_number_and_words_are_read_out(pad):
    assert pad.display.accessibleName() == "0.5 mL"
    assert pad.display.accessibleDescription() == "nought point five millilitres"


@pytest.mark.parametrize("typed", ["", "0.5", "1234.56"])
@pytest.mark.parametrize("size", [(137, 33), (137, 21), (45, 48)])
def test_the_number_is_twelve_millimetres_high_in_every_arrangement(pad, look, typed, size):
    display = pad.display
    display.show_number(typed, "mL", "words")
    display.resize(round(look.mm(size[0])), round(look.mm(size[1])))
    figure = display._figure(look.mm(14), display.width() - look.mm(12), beside=False)
    assert figure.cap >= 12


def test_the_words_change_the_picture_and_so_does_the_number(pad):
    before = pad.display.grab().toImage()
    pad.display.show_number("0.5", "mL", "five millilitres")
    between = pad.display.grab().toImage()
    pad.display.show_number("5", "mL", "five millilitres")
    assert before != between != pad.display.grab().toImage()


@pytest.fixture
def pin_pad(qtbot, look, hands, say):
    made = PinPad(look, hands, say)
    made.resize(round(look.mm(137)), round(look.mm(125)))
    made.show_part(pin(english).control)
    qtbot.addWidget(made)
    made.show()
    return made


def test_a_pin_shows_how_many_digits_and_never_which(pin_pad):
    assert pin_pad.display.accessibleName() == "R. Okonjo"
    assert pin_pad.display.accessibleDescription() == "3"
    three = pin_pad.display.grab().toImage()
    pin_pad.show_part(replace(pin(english).control, filled=4))
    assert pin_pad.display.grab().toImage() != three


def test_while_a_pin_is_checked_nothing_can_be_committed_or_erased(qtbot, pin_pad, hands):
    pin_pad.show_part(pin(english, busy=True).control)
    qtbot.mouseClick(pin_pad.commit, Qt.MouseButton.LeftButton)
    assert (pin_pad.entered(), pin_pad.erased(), hands.pressed) == ("", "", [])


def test_a_pin_has_no_point(pin_pad):
    assert pin_pad.typed(".") == ""


def test_the_sample_volume_page_is_the_real_thing():
    assert volume(english).control.typed == "0.5"
