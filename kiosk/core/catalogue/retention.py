"""How long what names a patient is kept: calendar months after the last use, a child's until an age."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Retention:
    """The figures of retention.csv as a site has them in force. Months are calendar months."""

    identifiers: Measure
    identifiers_child: Measure
    tries: Measure
    papers: Measure
    record: Measure

    def forgotten_from(self, last_used: date, born: date) -> date:
        """Return the first day on which a patient's identifiers are due to be erased."""
        return max(
            months_after(last_used, _months(self.identifiers)),
            months_after(born, _months(self.identifiers_child)),
        )

    def tries_before(self, now: datetime) -> datetime:
        """Return the moment before which a wrong try is no longer kept."""
        return now - _days(self.tries)

    def papers_before(self, now: datetime) -> datetime:
        """Return the moment before which a paper in the counter's folders is no longer kept."""
        return now - _days(self.papers)

    def record_until(self, last_entry: date) -> date:
        """Return the day until which the whole record is kept, going by its last entry."""
        return months_after(last_entry, _months(self.record))


def months_after(day: date, months: int) -> date:
    """Return the day so many calendar months on; one that a month lacks is its last day."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _months(span: Measure) -> int:
    """Return a whole number of months, begun ones counted."""
    return -int(-span.to("month").value // 1)


def _days(span: Measure) -> timedelta:
    """Return a span of time as such."""
    return timedelta(seconds=float(span.to("s").value))
