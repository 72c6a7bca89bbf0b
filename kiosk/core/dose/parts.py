"""One dose shared out over several syringes: what one of them carries."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from kiosk.core.dose.order import Order
from kiosk.core.dose.ordered import OneDose
from kiosk.core.dose.working import both
from kiosk.core.units import Measure


def part_of(whole: OneDose, order: Order) -> OneDose:
    """Return what one of the equal parts of a dose is, with its working; the dose itself if it is whole."""
    if order.parts == 1:
        return whole
    share = whole.amount.scaled(Fraction(1, order.parts))
    line = both("part_of_dose", whole.amount, "/", Fraction(order.parts), "=", share)
    return replace(whole, amount=share, working=whole.working + line)


def whole_of(part: Measure, order: Order) -> Measure:
    """Return the whole dose of which ``part`` is one equal part."""
    return part.scaled(order.parts)


def part_id(order: str, part: int) -> str:
    """Return the id under which one part of an order is listed: the order's own for the first."""
    return order if part == 1 else f"{order}-{part}"
