"""The door's barrel: there while nobody works, and only there."""

from __future__ import annotations

from dataclasses import replace

from kiosk.pages.parts import Ground
from tests.ui.sample_pages import door, due, english, pin


def column(shell, share):
    """Return the colours down a column of the page, between its rule and its foot."""
    image = shell.grab().toImage()
    x = round(shell.width() * share)
    return [image.pixelColor(x, y).name() for y in range(60, 640)]


def test_the_door_shows_a_scale_and_a_level(make_shell):
    down = column(make_shell(door(english)), 0.76)
    assert len(set(down)) > 4, "glass, liquid and graduations"


def test_the_bench_does_not(make_shell):
    down = column(make_shell(replace(due(english), control=door(english).control)), 0.99)
    assert set(down) == {"#eeeae2"}
    shell = make_shell(replace(door(english), ground=Ground.BENCH))
    assert set(column(shell, 0.9)) == {shell.look.theme.ground["bench"].lower()}


def test_it_never_lies_under_the_bench(make_shell):
    shell = make_shell(pin(english))
    control = shell.bench.control.geometry().translated(shell.bench.pos())
    assert control.right() < shell.width() * 0.73
    assert len(set(column(shell, 0.76))) > 4


def test_from_right_to_left_it_changes_sides(make_shell):
    usual = make_shell(door(english))
    turned = make_shell(replace(door(english), right_to_left=True))
    assert len(set(column(usual, 0.85))) > 4
    assert len(set(column(turned, 0.15))) > 4


def test_a_standing_screen_keeps_its_room(make_shell):
    shell = make_shell(door(english), "800x1280")
    assert set(column(shell, 0.99)) == {shell.look.theme.ground["door"].lower()}
