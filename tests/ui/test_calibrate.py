"""Calibration: a rectangle fitted to a bank card gives the screen's true millimetres."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF, Qt, QTimer

from kiosk.ui.calibrate import calibrate, fitted
from kiosk.ui.keys import KeyButton
from kiosk.ui.settings import Settings


@pytest.fixture
def page(qtbot, shipped, say):
    made = calibrate(shipped, say, Settings(), 96 / 25.4, QRectF(0, 0, 1280, 800))
    qtbot.addWidget(made)
    return made


def touch(qtbot, page, name):
    qtbot.mouseClick(page.findChild(KeyButton, name), Qt.MouseButton.LeftButton)


def test_it_begins_with_what_the_screen_claims(page):
    # 85.60 mm at 96 dots per inch: 85.60 * 96 / 25.4 = 323.5 dots; ID-1 is 53.98 mm high
    assert page.card_width in (323, 324)
    assert page.card().height() == pytest.approx(page.card_width * 53.98 / 85.60)


def test_fitting_by_touch_changes_dots_per_millimetre(qtbot, page):
    start = page.card_width
    for name in ("card:10", "card:10", "card:1", "card:-10", "card:-1", "card:-1"):
        touch(qtbot, page, name)
    assert page.card_width == start + 9
    touch(qtbot, page, "card:keep")
    assert page.over
    assert page.kept == pytest.approx((start + 9) / 85.60)


def test_fitting_by_the_keyboard(qtbot, page):
    start = page.card_width
    for key in (Qt.Key.Key_Up, Qt.Key.Key_Right, Qt.Key.Key_Left, Qt.Key.Key_Down, Qt.Key.Key_Right):
        qtbot.keyClick(page, key)
    assert page.card_width == start + 1
    qtbot.keyClick(page, Qt.Key.Key_Return)
    assert page.kept is not None


def test_leaving_keeps_what_was(qtbot, page):
    QTimer.singleShot(0, lambda: touch(qtbot, page, "card:leave"))
    assert fitted(page, Settings(dots_per_mm=5.0)) == Settings(dots_per_mm=5.0)


def test_keeping_is_written_into_the_settings(qtbot, page):
    QTimer.singleShot(0, lambda: touch(qtbot, page, "card:keep"))
    assert fitted(page, Settings()).dots_per_mm == pytest.approx(page.card_width / 85.60)


def test_the_card_and_the_keys_do_not_cover_each_other(page):
    for key in page.findChildren(KeyButton):
        place = key.mapTo(page, key.rect().topLeft())
        assert place.y() > page.card().bottom()
        assert place.y() + key.height() <= page.height()
