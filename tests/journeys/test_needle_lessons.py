"""From the needle page one looks up what gauge and length mean, and comes back to the same choice."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.core.apparatus.drawing import gauge_strip, length_strip
from kiosk.core.apparatus.picture import Outline, Picture, Words
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Lines
from kiosk.tables.device_tables import device_tables
from kiosk.tables.words import words
from kiosk.walkthrough.journeys import choose, sign_on, symbol, take_up, type_figure
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand


@pytest.mark.parametrize("language", ["en", "fr"])
def test_gauges_and_lengths_are_looked_up_and_left_again(tmp_path: Path, language: str) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock, language)
    hand = DriverHand(driver, clock, home.labels)
    sign_on(hand, the_cast(), "preparer")
    take_up(hand, "O01")
    hand.press("take-up")
    hand.scan(symbol(container("C002")))
    type_figure(hand, "1")
    hand.press("commit")
    hand.press("go-on")
    choose(hand, "syringe")
    choose(hand, "draw-up-device")
    before = hand.wait("needle")
    hand.press("gauges")
    lesson = hand.wait("gauges")
    assert isinstance(lesson.control, Lines)
    assert [line.at for line in lesson.control.lines] == [f"{gauge} G" for gauge in range(18, 32)]
    hand.press("lengths")
    hand.wait("lengths")
    hand.press("gauges")
    hand.press("back")
    assert hand.page() == before
    store.close()


def heights(picture: Picture) -> list[float]:
    """The heights of the steel in a picture, in mm."""
    tubes = [s for s in picture.shapes if isinstance(s, Outline) and s.tag == "needle"]
    return [float(max(y for _, y in tube.points) - min(y for _, y in tube.points)) for tube in tubes]


def widths(picture: Picture) -> list[float]:
    tubes = [s for s in picture.shapes if isinstance(s, Outline) and s.tag == "needle"]
    return [float(max(x for x, _ in tube.points) - min(x for x, _ in tube.points)) for tube in tubes]


def test_the_strips_are_life_size_and_narrow_enough_for_the_object_column() -> None:
    tables, entries = device_tables(), words("en")
    gauges, lengths = gauge_strip(tables, entries), length_strip(tables, entries)
    # Nominal outer widths of regular tubing, 18 G to 31 G: needle_nominal_bore.csv.
    outer = [1.27, 1.067, 0.908, 0.819, 0.718, 0.641, 0.565, 0.514, 0.464, 0.413, 0.362, 0.337, 0.311, 0.26]
    assert widths(gauges) == pytest.approx(outer, abs=0.001)
    # An inch is 25.4 mm: 5/32 in and 2 in are the shortest and the longest. Hand arithmetic.
    assert heights(lengths)[0] == pytest.approx(3.97, abs=0.01)
    assert heights(lengths)[-1] == pytest.approx(50.8, abs=0.001)
    for picture in (gauges, lengths):
        assert picture.width <= 78
        assert all(s.height >= 3 for s in picture.shapes if isinstance(s, Words))
