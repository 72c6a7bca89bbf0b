"""Reads the days and moments of our lists.

* a day: ``2026-04-30``; a moment: ``2026-04-30T14:00+02:00``, never without its offset;
* counted from now, in lists that are made for the day they are read: ``+45 d``, ``-3 y 20 d``, ``-90 min``.
"""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import UTC, date, datetime, timedelta
from typing import Final

_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d")
_PART: Final = re.compile(r"(\d{1,6}) (y|d|h|min)")
_COUNTED: Final = re.compile(rf"([+-]){_PART.pattern}(?: {_PART.pattern})?")


def day(text: str, now: datetime | None) -> date | None:
    """Return a calendar day, written out or, where ``now`` is given, counted from it; else None."""
    if _DAY.fullmatch(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            return None
    moved = _counted(text, now, ("y", "d"))
    return moved.date() if moved else None


def moment(text: str, now: datetime | None) -> datetime | None:
    """Return an aware moment, written out with its offset or counted from ``now``; else None."""
    if not text.startswith(("+", "-")):
        try:
            found = datetime.fromisoformat(text)
        except ValueError:
            return None
        return found if found.tzinfo is not None else None
    return _counted(text, now, ("d", "h", "min"))


def write_moment(value: datetime) -> str:
    """Return a moment in the form that ``moment`` reads."""
    return value.isoformat(timespec="auto")


def _counted(text: str, now: datetime | None, units: tuple[str, ...]) -> datetime | None:
    """Return ``now`` moved by a count such as ``-3 y 20 d``; days by the calendar, hours as elapsed time."""
    found = _COUNTED.fullmatch(text)
    if not found or now is None:
        return None
    sign = -1 if found[1] == "-" else 1
    moved = now
    for count, unit in _PART.findall(text):
        if unit not in units:
            return None
        try:
            moved = _move(moved, sign * int(count), unit)
        except (OverflowError, ValueError):
            return None
    return moved


def _move(moment: datetime, count: int, unit: str) -> datetime:
    """Return a moment so many years, days, hours or minutes away; 29 February becomes the 28th if need be."""
    if unit == "y":
        year = moment.year + count
        return moment.replace(year=year, day=min(moment.day, monthrange(year, moment.month)[1]))
    if unit == "d":
        return moment + timedelta(days=count)
    span = timedelta(hours=count) if unit == "h" else timedelta(minutes=count)
    return (moment.astimezone(UTC) + span).astimezone(moment.tzinfo)
