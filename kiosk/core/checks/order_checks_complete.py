"""Is the order whole, and does it agree with itself? What is missing or contradictory stops it."""

from __future__ import annotations

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.checks.amounts import stated_measures
from kiosk.core.checks.asking import saw
from kiosk.core.checks.check import OrderCase
from kiosk.core.dose.order import DosePerBody, DoseRange
from kiosk.core.findings import Finding, Level


def patient_name_missing(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: no name, so no patient."""
    return None if case.order.patient.name.strip() else saw("patient_name_missing", Level.STOP)


def patient_number_missing(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: one identifier is not two."""
    return None if case.order.patient.number.strip() else saw("patient_number_missing", Level.STOP)


def patient_dates(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: born or weighed in the future, or weighed before birth."""
    patient, today = case.order.patient, case.now.date()
    if patient.born > today:
        return saw("born_in_future", Level.STOP, born=patient.born)
    for weighed in (*patient.earlier, *([patient.weighed] if patient.weighed else [])):
        if not patient.born <= weighed.on <= today:
            return saw("weighed_impossible_day", Level.STOP, weighed_on=weighed.on, born=patient.born)
    return None


def prescriber_missing(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: nobody answers for this order; a spoken one also needs whom it was read back to."""
    if case.order.prescriber.strip():
        return None
    return saw("spoken_without_prescriber" if case.order.spoken else "prescriber_missing", Level.STOP)


def dose_not_positive(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: a dose of nothing or less."""
    wrong = next((stated for stated in stated_measures(case.order) if stated.value <= 0), None)
    return None if wrong is None else saw("dose_not_above_zero", Level.STOP, dose=wrong)


def dose_contradicts_itself(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: a range upside down, a choice outside it, a minimum above the maximum."""
    dose = case.order.dose
    if isinstance(dose, DoseRange):
        return _range_contradicts(dose)
    if isinstance(dose, DosePerBody) and dose.minimum is not None and dose.maximum is not None:
        if not dose.minimum.is_like(dose.maximum):
            return saw("dose_units_differ", Level.STOP, one=dose.minimum, other=dose.maximum)
        if dose.minimum > dose.maximum:
            return saw("dose_range_reversed", Level.STOP, low=dose.minimum, high=dose.maximum)
    return None


def _range_contradicts(dose: DoseRange) -> Finding | None:
    """Compare the ends of a range with each other and with the dose chosen."""
    for other in (dose.high, *([dose.chosen] if dose.chosen else [])):
        if not dose.low.is_like(other):
            return saw("dose_units_differ", Level.STOP, one=dose.low, other=other)
    if dose.low > dose.high:
        return saw("dose_range_reversed", Level.STOP, low=dose.low, high=dose.high)
    if dose.chosen is not None and not dose.low <= dose.chosen <= dose.high:
        return saw("dose_outside_its_range", Level.STOP, chosen=dose.chosen, low=dose.low, high=dose.high)
    return None


def doses_a_day_contradict(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: no doses a day, more than there are hours, or the day divided otherwise than it is given."""
    order = case.order
    divided = order.dose.divided_into if isinstance(order.dose, DosePerBody) else 1
    times = order.doses_per_day
    for count in (divided, *([times] if times is not None else [])):
        if not 1 <= count <= tables.policy.figures.doses_a_day.value.value:
            return saw("doses_a_day_impossible", Level.STOP, times=count)
    by_day = isinstance(order.dose, DosePerBody) and "day" in order.dose.rate.unit.split("/")
    if by_day and times is not None and divided != times:
        return saw("doses_a_day_differ", Level.STOP, divided=divided, times=times)
    return None
