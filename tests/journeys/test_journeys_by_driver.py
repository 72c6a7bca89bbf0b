"""Whole journeys without a window: driver, desk, real SQLite, real label, read back from its PDF."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.hardware.clock import SetClock
from kiosk.walkthrough.journeys import JOURNEYS, Journey
from tests.counter import NOW
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand


@pytest.mark.parametrize("language", ["en", "fr"])
@pytest.mark.parametrize("journey", JOURNEYS, ids=lambda journey: journey.name)
def test_the_journey_goes_from_order_to_rest(journey: Journey, language: str, tmp_path: Path) -> None:
    clock = SetClock(NOW)
    home = fresh(tmp_path)
    store, driver = opened(home, clock, language)
    journey.goes(DriverHand(driver, clock, home.labels), the_cast())
    store.close()
