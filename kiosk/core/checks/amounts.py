"""What an order and the drug list's bounds come to for this patient, as plain amounts, for comparing.

The checks compare; they do not dose. None says that something needed (weight, height, a bridge between
units) is not there: the checks that ask for those things speak of them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.dose import bridge
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Order, Ordered
from kiosk.core.dose.ordered import one_dose
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

ONE_DOSE: Final = frozenset({"dose", "kg", "m2"})
ONE_DAY: Final = frozenset({"day", "kg/day", "m2/day"})


@dataclass(frozen=True, slots=True)
class Amounts:
    """From ``least`` to ``most`` of a drug: the same twice for a dose that is settled."""

    least: Measure
    most: Measure


def by_surface(rate: Measure) -> bool:
    """Say whether a rate goes by body surface."""
    return "m2" in rate.unit.split("/")[1:]


def in_unit(amount: Measure, unit: str, drug: Drug) -> Measure | None:
    """Return an amount in another unit, over the drug's own valence or molar mass where needed."""
    answer = bridge.in_unit(amount, unit, drug)
    return None if isinstance(answer, Refusal) else answer


def stated_measures(order: Order) -> tuple[Measure, ...]:
    """Return every amount or rate that the order states."""
    dose = order.dose
    match dose:
        case FixedDose():
            return (dose.amount,)
        case DoseRange():
            return (dose.low, dose.high, *([dose.chosen] if dose.chosen else []))
        case DosePerBody():
            bounds = (dose.maximum, dose.minimum, dose.daily_maximum)
            return (dose.rate, *(bound for bound in bounds if bound is not None))


def ordered_amounts(order: Order) -> Amounts | None:
    """Return the least and the most one dose of this order may be; None when it cannot be told."""
    dose = order.dose
    if isinstance(dose, DoseRange) and dose.chosen is None:
        least, most = (_comes_to(replace(dose, chosen=end), order) for end in (dose.low, dose.high))
    else:
        least = most = _comes_to(dose, order)
    return None if least is None or most is None else Amounts(least, most)


def _comes_to(dose: Ordered, order: Order) -> Measure | None:
    """Return what an order for this patient and drug would come to, were this the dose."""
    answer = one_dose(replace(order, dose=dose))
    return None if isinstance(answer, Refusal) else answer.amount


def for_patient(bound: Measure, order: Order) -> Measure | None:
    """Return what a bound (7 mg/kg, 60 mg/kg/day, 4 g) is for the patient; None when it cannot be told."""
    return _comes_to(DosePerBody(bound) if "/" in bound.unit else FixedDose(bound), order)


def applying_limits(order: Order, on: date) -> tuple[DoseLimit, ...]:
    """Return the drug list's bounds that are for this route and the patient's age on a day."""
    age = (on - order.patient.born).days
    return tuple(limit for limit in order.drug.limits if _is_for(limit, order.route.value, age))


def _is_for(limit: DoseLimit, route: str, age: int) -> bool:
    """Say whether a bound is for a route and an age in days."""
    old_enough = limit.min_age_days is None or age >= limit.min_age_days
    young_enough = limit.max_age_days is None or age <= limit.max_age_days
    return old_enough and young_enough and (not limit.routes or route in limit.routes)


def goes_by_body(order: Order, on: date) -> bool:
    """Say whether the dose, or a bound that applies to it, goes by body size."""
    bounds = applying_limits(order, on)
    return isinstance(order.dose, DosePerBody) or any(limit.per not in ("dose", "day") for limit in bounds)
