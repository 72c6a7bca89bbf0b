"""Days, moments and ages of a description, in ISO 8601; a moment names its zone, a day needs none."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, datetime, timedelta
from typing import Any

from kiosk.core.units import Measure, same_kind
from kiosk.feeds.worksheet_read import BadInput

OLDEST_YEARS = 130


def day(node: Any, path: str) -> date:
    """Return a day; a moment is taken by its own day."""
    found = _iso(node, path)
    return found.date() if isinstance(found, datetime) else found


def moment(node: Any, path: str) -> datetime:
    """Return a moment with its zone."""
    found = _iso(node, path)
    if not isinstance(found, datetime):
        raise BadInput(path, "time_missing")
    if found.utcoffset() is None:
        raise BadInput(path, "zone_missing")
    return found


def _iso(node: Any, path: str) -> date | datetime:
    """Return what an ISO text, or TOML's own date, says."""
    if isinstance(node, date):
        return node
    if not isinstance(node, str):
        raise BadInput(path, "wrong_type", wanted="type.moment")
    text = node.strip()
    try:
        return date.fromisoformat(text) if len(text) == 10 else datetime.fromisoformat(text)
    except ValueError as trouble:
        raise BadInput(path, "not_a_moment", text=text[:40]) from trouble


def born_of(age: Measure, today: date, path: str) -> date:
    """Return a birthday that makes somebody so old today: the age in whole months, or in days."""
    if same_kind(age.unit, "day"):
        return _within(today, int(age.to("day").value), path)
    if not same_kind(age.unit, "month"):
        raise BadInput(path, "unit_of_another_kind", unit=age.unit)
    months = int(age.to("month").value)
    if months > 12 * OLDEST_YEARS:
        raise BadInput(path, "beyond_bounds")
    year, month = divmod(today.year * 12 + today.month - 1 - months, 12)
    return date(year, month + 1, min(today.day, monthrange(year, month + 1)[1]))


def _within(today: date, days: int, path: str) -> date:
    """Return the day so many days ago."""
    if days > 366 * OLDEST_YEARS:
        raise BadInput(path, "beyond_bounds")
    return today - timedelta(days=days)
