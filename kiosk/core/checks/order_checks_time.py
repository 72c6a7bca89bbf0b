"""Is it the right time: due now, not another day's dose, not too soon after the last one?"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from fractions import Fraction

from kiosk.core.catalogue.check_tables import Figure, OrderTables
from kiosk.core.checks.asking import saw
from kiosk.core.checks.check import OrderCase
from kiosk.core.findings import Finding, Level
from kiosk.core.stock.moments import plus
from kiosk.core.units import Measure


def has_zone(moment: datetime) -> bool:
    """Say whether a moment names its time zone; one that does not cannot be compared with the clock."""
    return moment.utcoffset() is not None


def due_time_plausible(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop a dose of another day; caution when it is early enough to go stale, or late."""
    due, figures = case.order.due, tables.policy.figures
    if not has_zone(due):
        return saw("due_without_zone", Level.STOP)
    ahead = due.astimezone(UTC) - case.now.astimezone(UTC)
    if _longer(abs(ahead), figures.due_other_day):
        return saw("due_other_day", Level.STOP, figures.due_other_day.source, due=due)
    if _longer(ahead, figures.due_early):
        return saw(
            "due_early", Level.CAUTION, figures.due_early.source, due=due, early=figures.due_early.value
        )
    if _longer(-ahead, figures.due_late):
        return saw("due_late", Level.CAUTION, figures.due_late.source, due=due, late=figures.due_late.value)
    return None


def _longer(span: timedelta, figure: Figure) -> bool:
    """Say whether a span of time exceeds a figure of the policy."""
    seconds = Measure(Fraction(span // timedelta(microseconds=1), 1_000_000), "s")
    return seconds > figure.value


def given_too_recently(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: by the time this dose is due the drug's least interval has not passed."""
    last, interval, due = case.order.last_given, case.order.drug.least_interval, case.order.due
    if last is None or not has_zone(due):
        return None
    if not has_zone(last):
        return saw("last_given_without_zone", Level.STOP)
    if last.astimezone(UTC) > case.now.astimezone(UTC):
        return saw("last_given_in_future", Level.STOP, last_given=last)
    if interval is None:
        return None
    earliest = plus(last, interval)
    given_at = max(due.astimezone(UTC), case.now.astimezone(UTC))
    if given_at >= earliest.astimezone(UTC):
        return None
    source = case.order.drug.source or "the site's drug list"
    return saw(
        "given_too_recently", Level.STOP, source, last_given=last, interval=interval, earliest=earliest
    )
