"""Is it the right size: the drug's own unit, inside the drug list's bounds, no decimal place slipped?"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.checks.amounts import (
    ONE_DAY,
    ONE_DOSE,
    Amounts,
    applying_limits,
    for_patient,
    in_unit,
    ordered_amounts,
    stated_measures,
)
from kiosk.core.checks.asking import saw
from kiosk.core.checks.check import OrderCase
from kiosk.core.dose.bridge import VOLUME, kind_of
from kiosk.core.dose.order import DosePerBody, Order
from kiosk.core.findings import Finding, Level
from kiosk.core.units import Measure

DRUG_LIST: Final = "the site's drug list"


def unit_not_of_drug(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop a unit that this drug is not measured in; caution a volume, which says no dose.

    Vaccines and diluents are ordered by volume, and rightly.
    """
    drug = case.order.drug
    for stated in stated_measures(case.order):
        head = stated.unit.split("/")[0]
        if in_unit(Measure(stated.value, head), drug.measured_in, drug) is not None:
            continue
        if kind_of(head) == VOLUME and drug.classes & tables.by_volume:
            continue
        if kind_of(head) == VOLUME and not drug.is_insulin:
            return saw("dose_as_volume", Level.CAUTION, DRUG_LIST, drug=drug.name, dose=stated)
        return saw("unit_not_of_drug", Level.STOP, DRUG_LIST, drug=drug.name, dose=stated)
    return None


def route_not_listed(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: the drug list bounds this drug for other routes only."""
    limits, route = case.order.drug.limits, case.order.route.value
    if not limits or any(not limit.routes or route in limit.routes for limit in limits):
        return None
    return saw("route_not_listed", Level.STOP, DRUG_LIST, drug=case.order.drug.name, route=route)


def no_limit_at_this_age(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Caution: the drug list bounds this drug at other ages only, so the size of the dose is unchecked."""
    order = case.order
    if route_not_listed(tables, case) or not order.drug.limits or applying_limits(order, case.now.date()):
        return None
    return saw("no_limit_at_this_age", Level.CAUTION, DRUG_LIST, drug=order.drug.name)


def no_limit_listed(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Note: the drug list has no bounds for this drug at all."""
    drug = case.order.drug
    return None if drug.limits else saw("no_limit_listed", Level.NOTE, DRUG_LIST, drug=drug.name)


@dataclass(frozen=True, slots=True)
class Off:
    """A dose, the bound it breaks, and by how much (above 1: so many times too far)."""

    dose: Measure
    bound: Measure
    times: Fraction
    source: str

    @property
    def powers(self) -> int:
        """How many decimal places the dose is off, to the nearest: 2.9 times is none, 3.2 times is one."""
        powers, rest = 0, self.times
        while rest * rest >= 10:
            powers, rest = powers + 1, rest / 10
        return powers


def dose_above_limit(tables: OrderTables, case: OrderCase) -> Finding | None:
    """One dose above what the list allows: a slipped point, a wrong unit, too much, or a rounding up."""
    amounts = ordered_amounts(case.order)
    if amounts is None:
        return None
    off = furthest_above(amounts.most, case.order, case.now.date(), ONE_DOSE)
    if off is None:
        return None
    if off.powers:
        return _slipped("dose_tenfold_above", "dose_thousandfold_above", off)
    return _too_much("dose_slightly_above_limit", "dose_above_limit", off, tables)


def dose_below_limit(tables: OrderTables, case: OrderCase) -> Finding | None:
    """One dose below what the list gives: a slipped point, a wrong unit, or simply little."""
    amounts = ordered_amounts(case.order)
    if amounts is None or amounts.least.value <= 0:
        return None
    off = _furthest_below(amounts.least, case.order, case.now.date())
    if off is None:
        return None
    if off.powers:
        return _slipped("dose_tenfold_below", "dose_thousandfold_below", off)
    return saw("dose_below_limit", Level.CAUTION, off.source, dose=off.dose, limit=off.bound)


def _slipped(tenfold: str, thousandfold: str, off: Off) -> Finding:
    """Return the stop that names the slip: ten, a hundred times, or the thousand between two units."""
    kind = tenfold if off.powers < 3 else thousandfold
    times = Decimal(10) ** off.powers
    return saw(kind, Level.STOP, off.source, dose=off.dose, limit=off.bound, times=times)


def _too_much(slightly: str, much: str, off: Off, tables: OrderTables) -> Finding:
    """Stop what is above a bound; a second person where it is so little above that rounding did it."""
    little = off.times - 1 <= tables.policy.figures.limit_rounding.value.value
    kind, level = (slightly, Level.SECOND_PERSON) if little else (much, Level.STOP)
    return saw(kind, level, off.source, dose=off.dose, limit=off.bound)


def _sides(bound: Measure | None, dose: Measure, order: Order) -> tuple[Measure, Measure] | None:
    """Return the dose and a bound for this patient in the bound's unit; None where one is unknown."""
    amount = None if bound is None else for_patient(bound, order)
    if amount is None or amount.value <= 0:
        return None
    same = in_unit(dose, amount.unit, order.drug)
    return None if same is None else (same, amount)


def furthest_above(dose: Measure, order: Order, on: date, per: frozenset[str]) -> Off | None:
    """Return the upper bound that a dose exceeds by most."""
    found = []
    for limit in applying_limits(order, on):
        sides = _sides(limit.high, dose, order) if limit.per in per else None
        if sides is not None and sides[0] > sides[1]:
            found.append(Off(dose, sides[1], sides[0].ratio(sides[1]), limit.source or DRUG_LIST))
    return max(found, key=lambda off: off.times, default=None)


def _furthest_below(dose: Measure, order: Order, on: date) -> Off | None:
    """Return the lower bound of one dose that is missed by most."""
    found = []
    for limit in applying_limits(order, on):
        sides = _sides(limit.low, dose, order) if limit.per in ONE_DOSE else None
        if sides is not None and sides[0] < sides[1]:
            found.append(Off(dose, sides[1], sides[1].ratio(sides[0]), limit.source or DRUG_LIST))
    return max(found, key=lambda off: off.times, default=None)


def day_total_above_limit(tables: OrderTables, case: OrderCase) -> Finding | None:
    """The day above what the list allows: what was given and this dose, or this dose as often as ordered.

    A dose that is stopped for itself need not be stopped for the day as well: one fault, one finding.
    """
    alone = dose_above_limit(tables, case)
    if alone is not None and alone.level is Level.STOP:
        return None
    amounts = ordered_amounts(case.order)
    total = None if amounts is None else day_total(case.order, amounts)
    if total is None:
        return None
    off = furthest_above(total, case.order, case.now.date(), ONE_DAY)
    if off is None:
        return None
    return _too_much("day_total_slightly_above_limit", "day_total_above_limit", off, tables)


def day_total(order: Order, amounts: Amounts) -> Measure | None:
    """Return the larger of what the day will have come to and what the order asks of a day."""
    dose = amounts.most
    as_ordered = dose.scaled(order.doses_per_day or 1)
    given = order.given_today
    before = Measure(Fraction(0), dose.unit) if given is None else in_unit(given, dose.unit, order.drug)
    return as_ordered if before is None else max(as_ordered, before + dose)


def day_total_above_order(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: with what was given today this dose exceeds the day's maximum that the order itself sets."""
    order = case.order
    most = order.dose.daily_maximum if isinstance(order.dose, DosePerBody) else None
    amounts = ordered_amounts(order)
    if most is None or amounts is None:
        return None
    total = day_total(order, amounts)
    bound = in_unit(most, amounts.most.unit, order.drug)
    if total is None or bound is None or total <= bound:
        return None
    return saw("day_total_above_order", Level.STOP, dose=total, limit=bound)
