"""Keys under real clicks: what is touched is handed on, once, and nothing else."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.pages.parts import Ground, Key, Page, Statement, Weight
from kiosk.ui.key_row import APART_MM, KeyRow
from kiosk.ui.keys import LEAST_MM, KeyButton


@pytest.fixture
def button(qtbot, look, hands):
    made = KeyButton(Key("go", "Go on", "then compare", spoken="Go on to the syringe"), look, hands)
    made.resize(made.sizeHint())
    qtbot.addWidget(made)
    made.show()
    return made


def test_a_click_hands_on_the_name_of_the_key(qtbot, button, hands):
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert hands.pressed == ["go"]


def test_a_finger_on_a_touch_panel_presses_it(qtbot, button, hands):
    panel = QTest.createTouchDevice()
    centre = button.rect().center()
    QTest.touchEvent(button, panel).press(0, centre).commit()
    QTest.touchEvent(button, panel).release(0, centre).commit()
    qtbot.waitUntil(lambda: hands.pressed == ["go"])


def test_a_finger_that_slides_off_presses_nothing(qtbot, button, hands):
    qtbot.mousePress(button, Qt.MouseButton.LeftButton)
    outside = button.rect().bottomRight() * 3
    qtbot.mouseMove(button, outside)
    qtbot.mouseRelease(button, Qt.MouseButton.LeftButton, pos=outside)
    assert hands.pressed == []


def test_a_key_that_is_off_cannot_be_touched(qtbot, button, hands):
    button.show_key(Key("go", "Go on", enabled=False))
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert hands.pressed == []


def test_a_touch_never_takes_the_focus(qtbot, row):
    row.show_keys((Key("a", "A"), Key("b", "B")))
    first, second = row.buttons
    first.setFocus()
    qtbot.waitUntil(first.hasFocus)
    qtbot.mouseClick(second, Qt.MouseButton.LeftButton)
    assert first.hasFocus()
    assert not second.hasFocus()


def test_a_key_is_named_for_those_who_listen(button):
    assert button.accessibleName() == "Go on to the syringe"
    assert button.accessibleDescription() == "then compare"
    button.show_key(Key("go", "Go on"))
    assert button.accessibleName() == "Go on"


def double(kind: QEvent.Type, button: KeyButton) -> QMouseEvent:
    centre = QPointF(button.rect().center())
    return QMouseEvent(
        kind,
        centre,
        button.mapToGlobal(centre),
        Qt.MouseButton.LeftButton,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )


def test_the_second_of_two_quick_taps_does_not_reach_a_key_that_came_in_between(button, hands):
    QApplication.sendEvent(button, double(QEvent.Type.MouseButtonDblClick, button))
    QApplication.sendEvent(button, double(QEvent.Type.MouseButtonRelease, button))
    assert hands.pressed == []


def test_two_quick_taps_on_one_key_are_two(qtbot, button, hands):
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    QApplication.sendEvent(button, double(QEvent.Type.MouseButtonDblClick, button))
    QApplication.sendEvent(button, double(QEvent.Type.MouseButtonRelease, button))
    assert hands.pressed == ["go", "go"]


def asks(page: str) -> Page:
    """A page of the keeper's desk with the same key in the same place as on any other there."""
    return Page(page, Ground.BENCH, "Which?", "", Statement((), ()), keys=(Key("back", "Back"),))


@pytest.mark.parametrize(("turns", "pressed"), [(True, 1), (False, 2)])
def test_a_key_that_stays_while_the_page_turns_takes_one_of_two_quick_taps(make_shell, hands, turns, pressed):
    """A tap too many on Back leads back once, not twice; on a page that stays every tap counts."""
    shell, then = make_shell(asks("first")), iter(("second", "third"))
    (button,) = shell.findChildren(KeyButton, "back")

    def press(name: str) -> None:
        hands.pressed.append(name)
        if turns:
            shell.show_page(asks(next(then)))

    hands.press = press
    at = button.mapTo(shell, button.rect().center())
    QTest.mouseDClick(shell.windowHandle(), Qt.MouseButton.LeftButton, pos=at)
    assert shell.findChildren(KeyButton, "back") == [button]
    assert hands.pressed == ["back"] * pressed
    QTest.mouseClick(shell.windowHandle(), Qt.MouseButton.LeftButton, pos=at)
    assert hands.pressed == ["back"] * (pressed + 1)


def test_a_key_is_large_enough_for_a_gloved_finger(button, look):
    assert button.sizeHint().height() >= look.mm(LEAST_MM) - 0.5
    assert button.sizeHint().width() >= look.mm(LEAST_MM) - 0.5


def test_every_state_is_drawn_differently(qtbot, look, hands):
    pictures = []
    for weight in Weight:
        for enabled in (True, False):
            button = KeyButton(Key("k", "Key", weight=weight, enabled=enabled), look, hands)
            button.resize(button.sizeHint())
            qtbot.addWidget(button)
            plain = button.grab().toImage()
            pictures.append(plain)
            if enabled:
                button.setDown(True)
                assert button.grab().toImage() != plain, "a touch must be seen"
                button.setDown(False)
    assert pictures[0] != pictures[2] != pictures[4]


@pytest.fixture
def row(qtbot, look, hands, say):
    made = KeyRow(look, hands, say)
    qtbot.addWidget(made)
    made.resize(round(look.mm(190)), round(look.mm(20)))
    made.show()
    return made


def test_a_grave_key_stands_apart_and_the_primary_last(row, look):
    row.show_keys(
        (
            Key("yes", "Yes", weight=Weight.PRIMARY),
            Key("bin", "Discard", weight=Weight.GRAVE),
            Key("no", "No"),
        )
    )
    assert [b.key.name for b in row.buttons] == ["bin", "no", "yes"]
    grave, plain, primary = (b.geometry() for b in row.buttons)
    assert plain.left() - grave.right() >= look.mm(APART_MM) - 1
    assert primary.left() - plain.right() >= look.mm(3) - 1
    assert grave.width() <= plain.width()


def test_keys_that_do_not_fit_in_one_row_stand_in_two(row, look):
    keys = tuple(Key(f"k{n}", "A rather long label for a key") for n in range(4))
    row.resize(round(look.mm(110)), round(look.mm(60)))
    row.show_keys(keys)
    assert len({b.geometry().top() for b in row.buttons}) > 1
    assert all(b.geometry().right() <= row.width() for b in row.buttons)


def test_a_key_of_another_name_is_another_button(row):
    row.show_keys((Key("a", "A"),))
    first = row.buttons[0]
    row.show_keys((Key("a", "A again"),))
    assert row.buttons[0] is first
    row.show_keys((Key("b", "B"),))
    assert row.buttons[0] is not first
    assert not first.isVisible()


def test_in_a_page_that_reads_from_the_right_the_primary_key_is_at_the_left(row):
    row.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    row.show_keys((Key("yes", "Yes", weight=Weight.PRIMARY), Key("no", "No")))
    plain, primary = (b.geometry() for b in row.buttons)
    assert primary.right() < plain.left()
