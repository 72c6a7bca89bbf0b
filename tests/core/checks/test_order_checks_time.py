"""Due now, not another day's, not too soon after the last."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest

from kiosk.core.findings import Level
from tests.core.checks.ward import MORPHINE, NOW, an_order, ids, the_finding


@pytest.mark.parametrize(
    ("from_now", "seen"),
    [
        (timedelta(minutes=10), []),
        (timedelta(hours=4), []),
        (timedelta(hours=4, seconds=1), ["due_early"]),
        (timedelta(hours=24), ["due_early"]),
        (timedelta(hours=24, seconds=1), ["due_other_day"]),
        (timedelta(hours=-2), []),
        (timedelta(hours=-2, seconds=-1), ["due_late"]),
        (timedelta(hours=-24, seconds=-1), ["due_other_day"]),
        (timedelta(days=365), ["due_other_day"]),
    ],
)
def test_when_a_dose_is_due(from_now: timedelta, seen: list[str]) -> None:
    assert ids(an_order(MORPHINE, "5 mg", due=NOW + from_now)) == seen


def test_another_day_stops_and_a_late_dose_is_a_caution() -> None:
    assert the_finding(an_order(due=NOW + timedelta(days=2))).level is Level.STOP
    assert the_finding(an_order(due=NOW - timedelta(hours=3))).level is Level.CAUTION


def test_the_same_moment_by_another_clock_is_the_same() -> None:
    elsewhere = timezone(timedelta(hours=11))
    assert ids(an_order(due=(NOW + timedelta(minutes=10)).astimezone(elsewhere))) == []


def test_a_time_without_its_zone_stops() -> None:
    naive = datetime(2026, 3, 15, 10, 0)  # noqa: DTZ001  (the fault under test)
    assert ids(an_order(due=naive)) == ["due_without_zone"]
    assert ids(an_order(due=naive, last_given=NOW)) == ["due_without_zone"]


# morphine here: at least 3 h between doses; the dose is due at 10:00
@pytest.mark.parametrize(
    ("last", "seen"),
    [
        ("07:00", []),
        ("07:01", ["given_too_recently"]),
        ("09:49", ["given_too_recently"]),
        ("09:51", ["last_given_in_future"]),
    ],
)
def test_the_least_interval_counts_to_the_time_it_is_due(last: str, seen: list[str]) -> None:
    hour, minute = map(int, last.split(":"))
    assert ids(an_order(last_given=NOW.replace(hour=hour, minute=minute))) == seen


def test_a_late_dose_counts_from_now() -> None:
    overdue = an_order(due=NOW - timedelta(hours=1), last_given=NOW - timedelta(hours=3, minutes=10))
    assert ids(overdue) == []


def test_the_finding_says_from_when_it_may_be_given() -> None:
    found = the_finding(an_order(last_given=NOW))
    assert found.facts["earliest"] == NOW + timedelta(hours=3)


def test_the_last_dose_without_a_zone_is_not_guessed_at() -> None:
    assert ids(an_order(last_given=datetime(2026, 3, 15, 9, 0))) == ["last_given_without_zone"]  # noqa: DTZ001
