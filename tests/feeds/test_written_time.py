"""Days and moments of lists, written out or counted from the day they are read."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.feeds.written_time import day, moment, write_moment

NOW = datetime(2026, 3, 15, 3, 0, tzinfo=ZoneInfo("Europe/Berlin"))


@pytest.mark.parametrize(
    ("text", "on"),
    [
        ("2026-04-30", date(2026, 4, 30)),
        ("+45 d", date(2026, 4, 29)),
        ("-6 d", date(2026, 3, 9)),
        ("-45 y 40 d", date(1981, 2, 3)),
        ("+1 y", date(2027, 3, 15)),
        ("+0 d", date(2026, 3, 15)),
    ],
)
def test_a_day(text: str, on: date) -> None:
    assert day(text, NOW) == on


def test_a_year_from_29_february_is_the_28th() -> None:
    leap = datetime(2028, 2, 29, 12, 0, tzinfo=UTC)
    assert day("-1 y", leap) == date(2027, 2, 28)
    assert day("-4 y", leap) == date(2024, 2, 29)


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("2026-04-30T14:00+02:00", datetime(2026, 4, 30, 12, 0, tzinfo=UTC)),
        ("+20 min", datetime(2026, 3, 15, 2, 20, tzinfo=UTC)),
        ("-27 d 20 h", datetime(2026, 2, 15, 6, 0, tzinfo=UTC)),
        ("+4 h", datetime(2026, 3, 15, 6, 0, tzinfo=UTC)),
    ],
)
def test_a_moment(text: str, at: datetime) -> None:
    assert moment(text, NOW) == at


def test_hours_are_elapsed_time_over_a_change_of_the_clocks() -> None:
    before = datetime(2026, 3, 29, 0, 30, tzinfo=ZoneInfo("Europe/Berlin"))  # the night that has 23 hours
    found = moment("+4 h", before)
    assert found is not None
    assert found.astimezone(UTC) - before.astimezone(UTC) == timedelta(hours=4)
    assert found.hour == 5


@pytest.mark.parametrize(
    "text",
    [
        "",
        "45 d",
        "+45",
        "+ 45 d",
        "+45d",
        "+1 w",
        "30.04.2026",
        "2026-02-30",
        "2026-13-01",
        "+9999 y",
        "+4 h",
    ],
)
def test_what_is_no_day_is_none(text: str) -> None:
    assert day(text, NOW) is None


@pytest.mark.parametrize("text", ["", "14:00", "2026-04-30T14:00", "2026-04-30", "+1 y", "+20"])
def test_what_is_no_moment_is_none(text: str) -> None:
    assert moment(text, NOW) is None


@pytest.mark.parametrize("text", ["+45 d", "-3 d"])
def test_counting_needs_something_to_count_from(text: str) -> None:
    assert day(text, None) is None
    assert moment(text, None) is None


@given(st.integers(0, 4_000_000_000), st.integers(-14 * 60, 14 * 60))
def test_a_moment_comes_back_as_it_was(seconds: int, offset: int) -> None:
    at = datetime.fromtimestamp(seconds, timezone(timedelta(minutes=offset)))
    assert moment(write_moment(at), None) == at


@given(st.text(max_size=30))
def test_no_text_raises(text: str) -> None:
    day(text, NOW)
    moment(text, NOW)
