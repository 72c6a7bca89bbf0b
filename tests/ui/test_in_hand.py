"""The object column: life-size wherever it fits, and never said to be so when it is not."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from PySide6.QtGui import QColor

from kiosk.core.apparatus.picture import Box, Picture
from kiosk.pages.parts import InHand
from kiosk.ui.in_hand import ObjectColumn
from tests.ui.conftest import SCREENS
from tests.ui.sample_pages import container, english, french, hand, syringes

D = Decimal


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("part", [hand, container])
@pytest.mark.parametrize("pick", [english, french])
def test_syringe_and_ampoule_are_life_size_on_every_screen(make_shell, screen, part, pick):
    column = make_shell(replace(syringes(pick), in_hand=part(pick)), screen).in_hand
    placing = column.placing(part(pick).picture)
    assert placing.life
    assert placing.dots == SCREENS[screen][2]


def measured(look, hands, say, qtbot, picture: Picture) -> float:
    """Return the height of a flat box as it stands on the screen, in dots."""
    column = ObjectColumn(look, hands, say)
    qtbot.addWidget(column)
    column.resize(round(look.mm(100)), round(look.mm(150)))
    column.show_part(InHand("In your hand", "life size", picture, "A thing"))
    image = column.grab().toImage()
    ink = QColor(look.theme.picture["accent"])
    middle = [image.pixelColor(image.width() // 2 - 12, y) for y in range(image.height())]
    return sum(colour == ink for colour in middle)


@pytest.mark.parametrize("high", [20, 57, 85])
def test_fifty_seven_millimetres_are_fifty_seven_millimetres_on_the_glass(look, hands, say, qtbot, high):
    box = Box(D(0), D(0), D(30), D(high), fill="accent")
    rows = measured(look, hands, say, qtbot, Picture(D(30), D(high), (box,), "box"))
    assert rows / look.scale.life == pytest.approx(high, abs=2 / look.scale.life)


def test_what_is_too_long_is_drawn_smaller_and_says_so(look, hands, say, qtbot):
    long = Picture(D(30), D(400), (Box(D(0), D(0), D(30), D(400), fill="accent"),), "long")
    column = ObjectColumn(look, hands, say)
    qtbot.addWidget(column)
    column.resize(round(look.mm(100)), round(look.mm(150)))
    part = InHand("In your hand", "life size", long, "A thing", reduced_word="drawn smaller")
    column.show_part(part)
    placing = column.placing(long)
    assert not placing.life
    assert placing.dots < look.scale.life
    said_smaller = column.grab().toImage()
    column.show_part(replace(part, reduced_word=""))
    assert column.grab().toImage() != said_smaller, "the word for drawn smaller stands in the head"
    column.show_part(replace(part, scale_word="another word"))
    assert column.grab().toImage() == said_smaller, "the word for life-size does not"


def test_words_go_beside_a_tall_picture_so_that_it_stays_life_size(look, hands, say, qtbot):
    drawn = (Box(D(4), D(0), D(12), D(125), fill="glass"), Box(D(16), D(0), D(44), D(40), fill="glass"))
    tall = Picture(D(60), D(125), drawn, "tall, with something beside its upper half")
    column = ObjectColumn(look, hands, say)
    qtbot.addWidget(column)
    column.resize(round(look.mm(100)), round(look.mm(150)))
    column.show_part(InHand("In your hand", "life size", tall, "A thing", ("one", "two", "three")))
    placing = column.placing(tall)
    assert placing.life
    assert placing.words_x >= placing.x + 16 * look.scale.life, "the words stand clear of the lower half"
    assert placing.words_width >= look.mm(36)


def test_a_picture_that_is_not_to_scale_has_no_rule_of_millimetres(look, hands, say, qtbot):
    column = ObjectColumn(look, hands, say)
    qtbot.addWidget(column)
    column.resize(round(look.mm(100)), round(look.mm(150)))
    part = container(english)
    column.show_part(part)
    ruled = column.grab().toImage()
    column.show_part(replace(part, to_scale=False))
    plain = column.grab().toImage()
    edge = range(ruled.width() - 12, ruled.width() - 4)
    assert len({ruled.pixel(x, y) for x in edge for y in range(100, 300)}) > 1
    assert len({plain.pixel(x, y) for x in edge for y in range(100, 300)}) == 1


def test_the_object_is_read_out(look, hands, say, qtbot):
    column = ObjectColumn(look, hands, say)
    qtbot.addWidget(column)
    column.show_part(hand(english))
    assert "3 mL syringe" in column.accessibleName()
    assert "0.45 to 0.55 mL, so 5.6 to 6.9 mg" in column.accessibleName()
