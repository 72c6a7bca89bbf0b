"""Dates and times as labels write them: the month in letters, so that day and month are never swapped."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta


def written_day(day: date, words: Mapping[str, str]) -> str:
    """Return a day such as ``3 Apr 1961``; ``words`` holds ``month.1`` to ``month.12``."""
    return f"{day.day} {words[f'month.{day.month}']} {day.year}"


def written_moment(moment: datetime, words: Mapping[str, str]) -> str:
    """Return a moment such as ``25 Nov 2026 14:05``, in the zone it carries, cut to the minute."""
    return f"{written_day(moment, words)} {moment:%H:%M}"


def written_limit(moment: datetime, words: Mapping[str, str]) -> str:
    """Return a moment to discard at; midnight is written as the last minute of the day before."""
    last = moment - timedelta(minutes=1) if moment.time() == time() else moment
    return written_moment(last, words)
