"""Typing on a page: keys of the page where they match, else plain typing; held keys type nothing."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kiosk.ui.keys import KeyButton
from kiosk.ui.typist import PageTypist
from tests.ui.sample_pages import english, plunger, stock, syringes, volume


@pytest.fixture
def typist(make_shell, hands):
    def make(page):
        shell = make_shell(page)
        shell.activateWindow()
        return shell, PageTypist(hands, lambda: shell.bench.control)

    return make


def test_digits_are_the_pads_keys_and_enter_commits(typist, hands):
    _, hand = typist(volume(english))
    for character in "1,5\n":
        hand.character(character, repeats=False)
    hand.backspace()
    assert hands.pressed == ["digit:1", "point", "digit:5", "commit", "erase"]
    assert hands.typed == []


def test_letters_that_are_no_keys_are_typed(typist, hands):
    _, hand = typist(volume(english))
    hand.character("k", repeats=False)
    assert (hands.pressed, hands.typed) == ([], ["k"])


def test_on_a_page_without_a_pad_everything_is_typed(typist, hands):
    _, hand = typist(stock(english))
    for character in "42\n":
        hand.character(character, repeats=False)
    hand.backspace()
    assert hands.typed == ["4", "2", "\n", "\b"]


def test_a_key_held_down_types_nothing(typist, hands):
    _, hand = typist(volume(english))
    for _ in range(5):
        hand.character("1", repeats=True)
    assert (hands.pressed, hands.typed) == ([], [])


@pytest.mark.parametrize("stroke", ["\n", " "])
def test_enter_and_space_press_the_key_that_has_the_focus(typist, hands, stroke):
    shell, hand = typist(syringes(english))
    shell.bench.control.rows[1].setFocus()
    hand.character(stroke, repeats=False)
    assert hands.pressed == ["syringe:3"]


def test_enter_on_the_stop_key_stops_and_does_not_commit(typist, hands):
    shell, hand = typist(volume(english))
    shell.foot.stop.setFocus()
    hand.character("\n", repeats=False)
    assert hands.pressed == ["stop"]


def test_arrows_move_the_plunger_where_there_is_one_else_the_focus(typist, hands):
    _, hand = typist(plunger(english))
    hand.steer(Qt.Key.Key_Down)
    assert hands.pressed == ["plunger:1"]
    shell, hand = typist(syringes(english))
    shell.bench.control.rows[0].setFocus()
    hand.steer(Qt.Key.Key_Down)
    assert QApplication.focusWidget() is shell.bench.control.rows[1]
    hand.steer(Qt.Key.Key_Up)
    assert QApplication.focusWidget() is shell.bench.control.rows[0]


def test_a_page_worked_by_the_keyboard_alone(typist, hands):
    shell, hand = typist(syringes(english))
    for _ in range(20):
        if isinstance(QApplication.focusWidget(), KeyButton):
            break
        hand.steer(Qt.Key.Key_Down)
    hand.character("\n", repeats=False)
    assert hands.pressed == ["syringe:1"]
    assert shell.bench.control.rows[0].hasFocus()
