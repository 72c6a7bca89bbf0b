"""Days go by the calendar, hours by the clock's true run.

Clock changes used: Europe/Berlin, 29 March 2026 02:00 to 03:00 and 25 October 2026 03:00 to 02:00 (EU summer
time rule: last Sunday of March and of October, 01:00 UTC).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.stock.moments import earliest, end_of, is_past, plus
from kiosk.core.units import Measure, WrongKind

BERLIN = ZoneInfo("Europe/Berlin")


def test_28_days_after_15_march_is_12_april() -> None:
    # TJC MM.03.01.01 EP 7 note: opened 15 March, the label says 12 April
    opened = datetime(2026, 3, 15, 14, 0, tzinfo=BERLIN)
    assert plus(opened, Measure.of(28, "day")) == datetime(2026, 4, 12, 14, 0, tzinfo=BERLIN)


@pytest.mark.parametrize(
    ("start", "hours", "there"),
    [
        (datetime(2026, 3, 29, 0, 30, tzinfo=BERLIN), 4, (5, 30)),  # the night that has 23 hours
        (datetime(2026, 10, 25, 0, 30, tzinfo=BERLIN), 4, (3, 30)),  # the night that has 25
        (datetime(2026, 5, 1, 0, 30, tzinfo=BERLIN), 4, (4, 30)),
    ],
)
def test_four_hours_are_four_hours_also_when_the_clocks_change(
    start: datetime, hours: int, there: tuple[int, int]
) -> None:
    end = plus(start, Measure.of(hours, "h"))
    assert (end.hour, end.minute) == there
    assert end.astimezone(UTC) - start.astimezone(UTC) == timedelta(hours=hours)


def test_a_week_is_seven_days_and_half_a_day_is_twelve_hours() -> None:
    start = datetime(2026, 3, 1, tzinfo=UTC)
    assert plus(start, Measure.of(1, "week")) == start + timedelta(days=7)
    assert plus(start, Measure.of("0.5", "day")) == start + timedelta(hours=12)
    assert plus(start, Measure.of(90, "min")) == start + timedelta(minutes=90)


def test_a_span_that_is_not_time_is_a_bug() -> None:
    with pytest.raises(WrongKind):
        plus(datetime(2026, 3, 1, tzinfo=UTC), Measure.of(1, "mL"))


def test_a_pack_is_good_to_the_end_of_its_last_day_where_the_counter_stands() -> None:
    now = datetime(2026, 3, 15, 3, 0, tzinfo=BERLIN)
    assert end_of(date(2026, 3, 31), now) == datetime(2026, 4, 1, 0, 0, tzinfo=BERLIN)


def test_moments_are_compared_as_instants_even_in_the_hour_that_comes_twice() -> None:
    first = datetime(2026, 10, 25, 2, 30, tzinfo=BERLIN, fold=0)
    second = datetime(2026, 10, 25, 2, 30, tzinfo=BERLIN, fold=1)
    assert not is_past(second, first)
    assert is_past(first, second)
    assert earliest(second, first).fold == 0


@given(st.integers(1_577_836_800, 2_208_988_800), st.integers(0, 10_000))  # the years 2020 to 2039
def test_minutes_always_add_up(seconds: int, minutes: int) -> None:
    start = datetime.fromtimestamp(seconds, UTC).astimezone(BERLIN)
    end = plus(start, Measure.of(minutes, "min"))
    assert end.astimezone(UTC) - start.astimezone(UTC) == timedelta(minutes=minutes)
    assert is_past(end, end)
