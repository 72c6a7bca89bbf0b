"""Findings: each level has its own shape, word and place; colour only underlines."""

from __future__ import annotations

from itertools import combinations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from kiosk.core.findings import Level
from kiosk.pages.parts import FindingCard
from kiosk.ui.findings import PLACES, SHAPES, FindingSheet, FindingStack

LEVELS = [level.value for level in Level]


def card(level: str, **words: str) -> FindingCard:
    said = {"level_word": "Word", "what": "What happened.", "why": "Why.", "now": "What now."} | words
    return FindingCard(level, **said)


def grey(look, hands, say, qtbot, level):
    sheet = FindingSheet(card(level), look, hands, say)
    qtbot.addWidget(sheet)
    sheet.resize(round(look.mm(130)), round(sheet.height_for(look.mm(130))))
    return sheet.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)


def outline(image: QImage) -> list[bool]:
    """Return where the shape's square is darker than its surroundings: the form without its colour."""
    ground = image.pixel(image.width() - 12, 12) & 0xFF
    return [abs((image.pixel(x, y) & 0xFF) - ground) > 40 for y in range(14, 60) for x in range(14, 64)]


def test_every_level_of_the_core_has_a_shape_and_a_place_of_its_own():
    assert set(SHAPES) == set(PLACES) == set(LEVELS)
    assert len(set(SHAPES.values())) == len(set(PLACES.values())) == len(LEVELS)


def test_without_colour_the_levels_still_differ_in_form(qtbot, look, hands, say):
    forms = {level: outline(grey(look, hands, say, qtbot, level)) for level in LEVELS}
    for one, other in combinations(LEVELS, 2):
        differing = sum(a != b for a, b in zip(forms[one], forms[other], strict=True))
        assert differing > 150, (one, other)


def test_a_finding_says_its_word_what_why_and_what_now(qtbot, look, hands, say):
    sheet = FindingSheet(card("stop", source="Table 4"), look, hands, say)
    qtbot.addWidget(sheet)
    assert sheet.accessibleName() == "Word: What happened."
    assert sheet.accessibleDescription() == "Why. What now. Table 4"


@pytest.mark.parametrize("compact", [False, True])
@pytest.mark.parametrize("text", ["what", "why", "now", "source", "level_word"])
def test_all_that_is_said_is_set_at_ease_and_closer(qtbot, look, hands, say, compact, text):
    if compact and text == "source":
        text = "what"  # set closer, the source is read out but not set
    pictures = []
    for words in ("Put it back.", "Take the other."):
        sheet = FindingSheet(card("caution", **{text: words}), look, hands, say)
        qtbot.addWidget(sheet)
        sheet.compact = compact
        sheet.resize(round(look.mm(130)), round(look.mm(70)))
        pictures.append(sheet.grab().toImage())
    assert pictures[0] != pictures[1]


def test_set_closer_a_finding_needs_less_room(qtbot, look, hands, say):
    sheet = FindingSheet(
        card("stop", why="A sentence of some length that says why it matters."), look, hands, say
    )
    qtbot.addWidget(sheet)
    easy = sheet.height_for(look.mm(120))
    sheet.compact = True
    assert sheet.height_for(look.mm(120)) < easy


def test_several_findings_are_turned_one_at_a_time_where_room_is_short(qtbot, look, hands, say):
    stack = FindingStack(look, hands, say)
    qtbot.addWidget(stack)
    cards = tuple(card("caution", what=f"Thing {n}.") for n in range(3))
    stack.resize(round(look.mm(137)), round(look.mm(46)))
    stack.show_cards(cards)
    stack.show()
    assert [s.isVisible() for s in stack.sheets] == [True, False, False]
    qtbot.mouseClick(stack.turner.on, Qt.MouseButton.LeftButton)
    qtbot.mouseClick(stack.turner.on, Qt.MouseButton.LeftButton)
    assert [s.isVisible() for s in stack.sheets] == [False, False, True]
    assert hands.pressed == []


def test_the_same_findings_shown_again_keep_their_place(qtbot, look, hands, say):
    stack = FindingStack(look, hands, say)
    qtbot.addWidget(stack)
    cards = (card("note"),)
    stack.show_cards(cards)
    first = stack.sheets[0]
    stack.show_cards(cards)
    assert stack.sheets[0] is first
    stack.show_cards(())
    assert not stack.isVisible()
