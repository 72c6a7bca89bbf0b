"""Body weights of the growth reference at an age: what is middling, what is rare, what is barely possible."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.catalogue.check_tables import GrowthCurve
from kiosk.core.units import Measure

MEDIAN: Final = Decimal("0")
# The outer lines of a nine-centile chart, 0.4th and 99.6th: from memory; beyond 4 SDS rcpchgrowth advises.
RARE: Final = (Decimal("-2.67"), Decimal("2.67"))
FAR: Final = (Decimal("-4"), Decimal("4"))


@dataclass(frozen=True, slots=True)
class Span:
    """Weights (kg) from ``least`` to ``most``."""

    least: Measure
    most: Measure

    def holds(self, weight: Measure) -> bool:
        """Say whether a weight lies in the span."""
        return self.least <= weight <= self.most


def age_days(born: date, on: date) -> int:
    """Return the age in days; negative before birth."""
    return (on - born).days


def weight_on(curve: GrowthCurve, days: int) -> Measure | None:
    """Return the weight on a curve at an age in days, straight between its points; None outside them."""
    points = curve.points
    if not points or not points[0][0] <= days <= points[-1][0]:
        return None
    after = bisect_right(points, days, key=lambda point: point[0])
    if after == len(points):
        return points[-1][1]
    (from_day, low), (to_day, high) = points[after - 1], points[after]
    return low + (high - low).scaled(Fraction(days - from_day, to_day - from_day))


def _at(curves: Iterable[GrowthCurve], sex: str, sds: Decimal, days: int) -> list[Measure]:
    """Return the weights at one SDS: of one sex, or of both when the sex is not known."""
    meant = (c for c in curves if c.sds == sds and (c.sex == sex or sex not in ("female", "male")))
    return [weight for curve in meant if (weight := weight_on(curve, days)) is not None]


def span_at(
    curves: tuple[GrowthCurve, ...], sex: str, days: int, sds: tuple[Decimal, Decimal]
) -> Span | None:
    """Return the weights between two SDS at an age in days; the wider of both sexes when it is unknown.

    None where the reference ends (beyond 20 years).
    """
    low, high = _at(curves, sex, sds[0], days), _at(curves, sex, sds[1], days)
    return Span(min(low), max(high)) if low and high else None


def growth_between(curves: tuple[GrowthCurve, ...], sex: str, then: int, now: int) -> Fraction:
    """Return by how much the median body grows from one age in days to another; 1 once it is grown."""
    last = max((curve.points[-1][0] for curve in curves if curve.points), default=0)
    before = _at(curves, sex, MEDIAN, min(then, last))
    after = _at(curves, sex, MEDIAN, min(now, last))
    if not before or not after:
        return Fraction(1)
    return max(after).ratio(max(before))
