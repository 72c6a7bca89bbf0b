"""Every sample page on every screen, in both languages and themes: whole, touchable, named, reachable."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from PySide6.QtCore import QMargins, QPoint, QRect, Qt
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.pages.parts import Ground
from kiosk.ui.findings import FindingSheet
from kiosk.ui.keys import KeyButton
from kiosk.ui.part import PartWidget
from tests.ui.conftest import SCREENS
from tests.ui.sample_pages import SAMPLES, all_findings, check_volume, due, english, french, stock, volume

PICKS = {"en": english, "fr": french}
PAGES = sorted(SAMPLES)
SILENT = {"Bench", "FindingStack", "KeyRow", "Turner", "NumberPad", "PinPad", "ChoiceList", "LetterPad"}
"""Parts that only hold others; what they hold is read out."""


def seen(shell: QWidget, kind: type[QWidget]) -> list[QWidget]:
    return [w for w in shell.findChildren(kind) if w.isVisible()]


def on_shell(widget: QWidget, shell: QWidget) -> QRect:
    return QRect(widget.mapTo(shell, QPoint(0, 0)), widget.size())


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("language", PICKS)
@pytest.mark.parametrize("screen", SCREENS)
def test_every_key_is_whole_large_and_apart_from_its_neighbours(make_shell, page, language, screen):
    shell = make_shell(SAMPLES[page](PICKS[language]), screen)
    keys = seen(shell, KeyButton)
    least = 20 * shell.look.scale.life
    margin = QMargins(*[round(3 * shell.look.scale.life) - 2] * 4)
    rects = {key: on_shell(key, shell) for key in keys}
    for key, rect in rects.items():
        assert shell.rect().contains(rect), key.objectName()
        assert key.parentWidget().rect().adjusted(-1, -1, 1, 1).contains(key.geometry()), key.objectName()
        assert rect.width() >= least - 1, key.objectName()
        assert rect.height() >= least - 1, key.objectName()
        assert key.picture or key.height() >= key.text_height(key.width()) + 4, "the label is whole"
    for one, other in combinations(keys, 2):
        assert not rects[one].marginsAdded(margin).intersects(rects[other]), (one.key, other.key)


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("language", PICKS)
@pytest.mark.parametrize("screen", SCREENS)
def test_no_part_is_cut_off_or_lies_over_another(make_shell, page, language, screen):
    shell = make_shell(SAMPLES[page](PICKS[language]), screen)
    parts = [shell.stages, shell.slip, shell.in_hand, shell.notes, shell.foot]
    bench = shell.bench
    parts += [bench.over, bench.heading, bench.between, bench.control, bench.under, bench.keys]
    there = [p for p in parts if p.isVisible() and p.width() > 1]
    for part in there:
        rect = on_shell(part, shell)
        assert shell.rect().contains(rect), part
        needs = part.least_height(part.width()) if part not in (shell.slip, shell.in_hand) else 0
        assert part.height() >= needs - 1, part
    for one, other in combinations(there, 2):
        assert not on_shell(one, shell).intersects(on_shell(other, shell)), (one, other)
    for sheet in seen(shell, FindingSheet):
        assert sheet.height() >= sheet.height_for(sheet.width()) - 1


@pytest.mark.parametrize("page", PAGES)
def test_whatever_can_be_seen_has_a_name_for_those_who_listen(make_shell, page):
    shell = make_shell(SAMPLES[page](english))
    for key in seen(shell, KeyButton):
        assert key.accessibleName().strip(), key.objectName()
    for part in seen(shell, PartWidget):
        silent = type(part).__name__ in SILENT
        assert silent or part.accessibleName().strip(), type(part).__name__


@pytest.mark.parametrize("page", PAGES)
def test_the_tab_key_reaches_every_key_and_comes_round(qtbot, make_shell, page):
    shell = make_shell(SAMPLES[page](english))
    shell.activateWindow()
    wanted = {key.objectName() for key in seen(shell, KeyButton) if key.isEnabled()}
    reached: list[str] = []
    for _ in range(3 * len(wanted) + 6):
        shell.focusNextChild()
        focus = QApplication.focusWidget()
        if isinstance(focus, KeyButton):
            reached.append(focus.objectName())
    assert set(reached) == wanted


def test_the_keyboard_goes_through_the_bench_before_the_stop_key(qtbot, make_shell):
    shell = make_shell(volume(english))
    shell.activateWindow()
    order = []
    for _ in range(15):
        shell.focusNextChild()
        order.append(QApplication.focusWidget().objectName())
    assert order[0] == "number"
    assert order[-1] == "stop"
    assert order.index("commit") == len(order) - 2


@pytest.mark.parametrize("theme", ["day", "night"])
def test_each_ground_is_painted(make_shell, theme):
    for ground in Ground:
        shell = make_shell(replace(stock(english), ground=ground), theme=theme)
        image = shell.grab().toImage()
        below = shell.bench.geometry().bottomLeft() - QPoint(-4, 4)
        assert image.pixelColor(below).name() == shell.look.theme.ground[ground.value].lower()


def test_the_places_do_not_move_from_page_to_page(make_shell):
    shell = make_shell(volume(english))
    places = {name: getattr(shell, name).geometry() for name in ("slip", "foot", "stages")}
    shell.show_page(stock(english))
    assert {name: getattr(shell, name).geometry() for name in places} == places


def test_the_same_page_again_does_nothing(make_shell):
    shell = make_shell(volume(english))
    control = shell.bench.control
    shell.show_page(volume(english))
    assert shell.bench.control is control


def test_a_figure_typed_keeps_the_control_and_another_page_does_not(make_shell):
    shell = make_shell(volume(english))
    control = shell.bench.control
    shell.show_page(volume(english, "0.55"))
    assert shell.bench.control is control
    assert control.display.typed == "0.55"
    shell.show_page(check_volume(english))
    assert shell.bench.control is not control, "a touch begun on one page must not end on the next"


def test_a_second_persons_name_stands_large(make_shell):
    usual, checker = make_shell(volume(english)), make_shell(check_volume(english))
    assert checker.foot._who_type().cap > usual.foot._who_type().cap


def test_levels_stand_in_their_own_places(make_shell):
    shell = make_shell(all_findings(english))
    tops = {s.card.level: on_shell(s, shell) for s in seen(shell, FindingSheet)}
    control = on_shell(shell.bench.control, shell)
    assert tops["caution"].bottom() < control.top()
    assert tops["second person"].top() > control.bottom()
    assert tops["note"].left() > control.right()


def test_notes_stand_on_the_bench_where_there_is_no_object(make_shell):
    shell = make_shell(replace(all_findings(english), in_hand=None))
    levels = {s.card.level for s in seen(shell, FindingSheet)}
    assert levels == {"caution", "second person", "note"}
    assert not shell.notes.isVisible()


def test_what_a_scan_was_taken_for_is_said_in_the_foot(make_shell):
    heard = make_shell(stock(english))
    assert "Wristband of Ines Halvard" in heard.foot.accessibleName()
    before = heard.foot.grab().toImage()
    heard.show_page(replace(stock(english), heard=""))
    assert heard.foot.grab().toImage() != before


def test_the_lab_says_so_on_every_page(make_shell):
    plain = make_shell(due(english)).grab().toImage()
    shell = make_shell(replace(due(english), banner="TRAINING, NOT FOR USE"))
    assert shell.grab().toImage().copy(0, 0, 1280, 24) != plain.copy(0, 0, 1280, 24)


def test_from_right_to_left_everything_changes_sides_but_numbers_and_pictures(make_shell):
    shell = make_shell(replace(volume(english), right_to_left=True))
    assert shell.layoutDirection() == Qt.LayoutDirection.RightToLeft
    assert on_shell(shell.slip, shell).left() > on_shell(shell.bench, shell).right()
    assert on_shell(shell.in_hand, shell).right() < on_shell(shell.bench, shell).left()
    assert on_shell(shell.foot.stop, shell).left() < 100
    pad = shell.bench.control
    assert pad.digits["1"].x() < pad.digits["2"].x()
    assert pad.commit.x() < pad.digits["1"].x()
