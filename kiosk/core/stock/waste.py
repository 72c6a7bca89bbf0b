"""Waste: how much, why, what it was worth, and the month's report of it.

Value is a share of the container's price by volume; it is exact until the report rounds it once, to the
hundredth, halves up (common practice for money in a report, no source).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from kiosk.core.catalogue.container import Product
from kiosk.core.units import Measure


class Reason(StrEnum):
    """Why something was thrown away. Words under ``waste_reason``."""

    REMAINDER = "remainder"
    EXPIRED = "expired"
    IN_USE_OVER = "in use over"
    BROKEN = "broken"
    DISCARDED_SYRINGE = "discarded syringe"
    RECALLED = "recalled"
    UNACCOUNTED = "unaccounted for"


@dataclass(frozen=True, slots=True)
class Wasted:
    """One thing thrown away: of which product, how much (mL, or 1 for whole containers), why, when."""

    product: Product
    volume: Measure
    reason: Reason
    at: datetime
    by: str
    witness: str = ""


@dataclass(frozen=True, slots=True)
class Sum:
    """A line of the report: how often, how much in mL and in whole containers, and its value.

    ``value``, in ``currency``, is None when any of it has no price, or when its prices are in more than one
    currency (``mixed``): a sum with a hole in it would mislead.
    """

    times: int
    volume: Measure
    containers: Fraction
    value: Decimal | None
    currency: str = ""
    mixed: bool = False


@dataclass(frozen=True, slots=True)
class MonthReport:
    """The waste of one month: by reason, by product id, and in all."""

    year: int
    month: int
    by_reason: tuple[tuple[Reason, Sum], ...]
    by_product: tuple[tuple[str, Sum], ...]
    total: Sum


def worth(waste: Wasted) -> Fraction | None:
    """Return the exact value of what was thrown away; None when price or fill is not known."""
    product = waste.product
    if product.price is None:
        return None
    if waste.volume.unit == "1":
        return Fraction(product.price) * waste.volume.value
    if product.contents is None or product.contents.value <= 0:
        return None
    return Fraction(product.price) * waste.volume.ratio(product.contents)


def month_report(wastes: Iterable[Wasted], year: int, month: int) -> MonthReport:
    """Return the report of one month by the local date of each waste; largest value first, then by name."""
    mine = [w for w in wastes if (w.at.year, w.at.month) == (year, month)]
    reasons: dict[Reason, list[Wasted]] = defaultdict(list)
    products: dict[str, list[Wasted]] = defaultdict(list)
    for waste in mine:
        reasons[waste.reason].append(waste)
        products[waste.product.id].append(waste)
    by_reason = tuple((reason, summed(reasons[reason])) for reason in Reason if reasons[reason])
    by_product = sorted(
        ((name, summed(group)) for name, group in products.items()),
        key=lambda line: (-(line[1].value or Decimal(0)), line[0]),
    )
    return MonthReport(year, month, by_reason, tuple(by_product), summed(mine))


def summed(wastes: Iterable[Wasted]) -> Sum:
    """Return several wastes as one line."""
    kept = list(wastes)
    values = [worth(waste) for waste in kept]
    known = [value for value in values if value is not None]
    currencies = sorted({w.product.currency for w in kept if w.product.price is not None})
    whole = len(known) == len(values) and len(currencies) <= 1
    volumes = [w.volume.to("mL").value for w in kept if w.volume.unit != "1"]
    return Sum(
        times=len(kept),
        volume=Measure(sum(volumes, Fraction(0)), "mL"),
        containers=sum((w.volume.value for w in kept if w.volume.unit == "1"), Fraction(0)),
        value=_to_the_hundredth(sum(known, Fraction(0))) if whole else None,
        currency=currencies[0] if len(currencies) == 1 else "",
        mixed=len(currencies) > 1,
    )


def _to_the_hundredth(value: Fraction) -> Decimal:
    """Return money rounded once to the hundredth, halves up."""
    hundredths = int(value * 100 + Fraction(1, 2))
    return Decimal(hundredths) / 100


def by_day(wastes: Iterable[Wasted], year: int, month: int) -> tuple[tuple[int, Sum], ...]:
    """Return the sum of each day of a month on which something was thrown away, by its local date."""
    days: dict[int, list[Wasted]] = defaultdict(list)
    for waste in wastes:
        if (waste.at.year, waste.at.month) == (year, month):
            days[waste.at.day].append(waste)
    return tuple((day, summed(group)) for day, group in sorted(days.items()))
