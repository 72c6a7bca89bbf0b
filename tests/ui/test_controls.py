"""Every control a page may have has its widget."""

from __future__ import annotations

from typing import get_args

import pytest

from kiosk.pages.parts import Control, InHand
from kiosk.ui.controls import WIDGETS, widget_class
from kiosk.ui.part import ControlWidget


@pytest.mark.parametrize("part", get_args(Control))
def test_every_control_has_a_widget_that_shows_it(part):
    kind = widget_class(part)
    assert issubclass(kind, ControlWidget)
    assert kind.show_part is not ControlWidget.show_part


def test_nothing_stands_in_the_list_that_is_no_control():
    assert set(WIDGETS) == set(get_args(Control))
    assert InHand not in WIDGETS


def test_a_control_that_shows_nothing_says_so(qtbot, look, hands, say):
    bare = ControlWidget(look, hands, say)
    qtbot.addWidget(bare)
    with pytest.raises(TypeError, match="ControlWidget shows no str"):
        bare.show_part("x")
