"""What a guide asks of a patient: age in days and completed months, weight, body mass index."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from kiosk.core.catalogue.basis import AgeSpan, WeightSpan
from kiosk.core.catalogue.people import Patient
from kiosk.core.units import Measure


def completed_months(born: date, on: date) -> int:
    """Return the months completed on a day; a child born on the 31st completes one on the last of a month."""
    months = (on.year - born.year) * 12 + on.month - born.month
    return months if on.day >= born.day or _is_last_of_month(on) else months - 1


def _is_last_of_month(day: date) -> bool:
    """Say whether the next day is in another month."""
    return date.fromordinal(day.toordinal() + 1).month != day.month


def of_age(span: AgeSpan, born: date, on: date) -> bool:
    """Say whether somebody born then is of the span's age on a day."""
    days, months = (on - born).days, completed_months(born, on)
    old_enough = (span.from_days is None or days >= span.from_days) and (
        span.from_months is None or months >= span.from_months
    )
    young_enough = (span.until_days is None or days < span.until_days) and (
        span.until_months is None or months < span.until_months
    )
    return old_enough and young_enough


def of_weight(span: WeightSpan, weight: Measure) -> bool:
    """Say whether a body weight lies in the span, minding which bounds belong to it."""
    return (
        (span.at_least is None or weight >= span.at_least)
        and (span.above is None or weight > span.above)
        and (span.at_most is None or weight <= span.at_most)
        and (span.below is None or weight < span.below)
    )


def weight_of(patient: Patient) -> Measure | None:
    """Return the last body weight, where one was measured."""
    return patient.weighed.weight if patient.weighed else None


def body_mass_index(patient: Patient) -> Fraction | None:
    """Return weight over height squared in kg/m2, where both are known."""
    weight = weight_of(patient)
    if weight is None or patient.height is None or patient.height.value == 0:
        return None
    return weight.to("kg").value / patient.height.to("m").value ** 2
