"""Small files, small functions: what cannot be seen at a glance is not checked at a glance."""

from __future__ import annotations

from statistics import median

from tests.frame.sources import KIOSK, functions, modules

LONGEST_FILE = 300
LONGEST_FUNCTION = 40
MEDIAN_FUNCTION = 9


def test_no_file_is_longer_than_three_hundred_lines() -> None:
    lengths = {path: (KIOSK.parent / path).read_text(encoding="utf-8").count("\n") for path in modules()}
    assert {path: length for path, length in lengths.items() if length > LONGEST_FILE} == {}


def test_no_function_is_longer_than_forty_lines() -> None:
    lengths = {
        f"{path}:{node.lineno} {node.name}": (node.end_lineno or 0) - node.lineno + 1
        for path, node in functions()
    }
    assert {name: length for name, length in lengths.items() if length > LONGEST_FUNCTION} == {}
    assert median(lengths.values()) <= MEDIAN_FUNCTION


def test_no_room_is_an_empty_shell() -> None:
    rooms = [path for path in KIOSK.iterdir() if path.is_dir() and not path.name.startswith(("_", "."))]
    assert len(rooms) >= 8
    for room in rooms:
        assert any(path.stat().st_size > 500 for path in room.rglob("*.py")), room.name


def test_nothing_is_left_for_later() -> None:
    marks = ("TO" + "DO", "FIX" + "ME", "X" * 3, "NotImplemented" + "Error")
    for path in modules():
        text = (KIOSK.parent / path).read_text(encoding="utf-8")
        assert not any(mark in text for mark in marks), path
