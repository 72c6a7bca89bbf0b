"""Adding spans to moments and comparing moments, right across a change of the clocks.

Days and weeks are calendar spans: a vial opened on 15 March at 14:00 is good until 12 April at 14:00 by
the wall clock. Hours and minutes are elapsed time: four hours are four hours, also in the night in which
the clocks change.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from kiosk.core.catalogue.container import Container
from kiosk.core.units import Measure

_CALENDAR: Final = {"day": 1, "week": 7}


def plus(moment: datetime, span: Measure) -> datetime:
    """Return the moment ``span`` after an aware ``moment``, in the same time zone.

    Raises ``WrongKind`` when the span is not one of time.
    """
    days = span.value * _CALENDAR.get(span.unit, 0)
    if days and days.denominator == 1:
        return moment + timedelta(days=int(days))
    elapsed = timedelta(microseconds=int(span.to("s").value * 1_000_000))
    return (moment.astimezone(UTC) + elapsed).astimezone(moment.tzinfo)


def end_of(day: date, like: datetime) -> datetime:
    """Return the first moment after ``day`` in the time zone of ``like``: a pack is good through its day."""
    return datetime.combine(day + timedelta(days=1), time(), tzinfo=like.tzinfo)


def is_past(moment: datetime, now: datetime) -> bool:
    """Say whether ``now`` has reached ``moment``; both aware, compared as instants."""
    return now.astimezone(UTC) >= moment.astimezone(UTC)


def in_zone(container: Container, now: datetime) -> Container:
    """Return a container with its moments in the zone of the counter's clock, as people read them."""
    opened, until = container.opened_at, container.discard_after
    return replace(
        container,
        opened_at=None if opened is None else opened.astimezone(now.tzinfo),
        discard_after=None if until is None else until.astimezone(now.tzinfo),
    )


def earliest(*moments: datetime) -> datetime:
    """Return the first of some aware moments, compared as instants."""
    return min(moments, key=lambda moment: moment.astimezone(UTC))
