"""What one dose is, by the order: fixed, chosen in a range, or reckoned on the patient's size."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from kiosk.core.dose.body import surface_du_bois, surface_mosteller
from kiosk.core.dose.bounds import bounded
from kiosk.core.dose.bridge import VOLUME, kind_of
from kiosk.core.dose.order import DosePerBody, DoseRange, Order
from kiosk.core.dose.plan import Term, WorkingLine
from kiosk.core.dose.weight import dosing_weight
from kiosk.core.dose.working import both
from kiosk.core.findings import Finding, Refusal
from kiosk.core.units import Measure, known_unit

PER_WEIGHT: Final = frozenset({"kg", "lb", "g"})
PER_SURFACE: Final = "m2"
_TIMES: Final = frozenset({"h", "min", "s", "week"})


@dataclass(frozen=True, slots=True)
class Rate:
    """``per_body`` such as 5 mg/kg, or a plain amount when there is no body in it; ``daily`` as written."""

    amount_unit: str
    body: str
    per_body: Measure
    daily: bool


@dataclass(frozen=True, slots=True)
class OneDose:
    """One dose, in the unit it was ordered in, with its working for either form and what was noticed."""

    amount: Measure
    working: tuple[WorkingLine, ...] = ()
    findings: tuple[Finding, ...] = ()

    def led_by(self, working: tuple[WorkingLine, ...], findings: tuple[Finding, ...]) -> OneDose:
        """Return this dose with earlier lines and findings put before its own."""
        return replace(self, working=working + self.working, findings=findings + self.findings)


def one_dose(order: Order) -> OneDose | Refusal:
    """Return what one dose of this order is, exactly.

    Refusals: ``dose_unit_unknown``, ``dose_not_positive``, ``dose_not_chosen``,
    ``dose_range_contradicts``, ``dose_outside_range``, ``rate_not_understood``, ``rate_is_an_infusion``,
    ``doses_per_day_not_understood``, ``surface_formula_unknown``, those of ``bounded``,
    ``dosing_weight`` and ``body``.
    """
    ordered = order.dose
    if isinstance(ordered, DoseRange):
        chosen = _chosen(ordered)
        return chosen if isinstance(chosen, Refusal) else _amount_or_rate(chosen, order)
    if isinstance(ordered, DosePerBody):
        return _per_body(ordered, order)
    return _fixed(ordered.amount)


def _fixed(amount: Measure) -> OneDose | Refusal:
    """Return a plain amount as the dose."""
    trouble = _not_positive(amount)
    if trouble or kind_of(amount.unit) is None:
        return trouble or Refusal("dose_unit_unknown", {"unit": amount.unit})
    note = "ordered_as_volume" if kind_of(amount.unit) == VOLUME else "ordered"
    return OneDose(amount, both(note, amount))


def _not_positive(amount: Measure) -> Refusal | None:
    """Refuse what is not above zero, and a unit that could not even be shown."""
    if not known_unit(amount.unit):
        return Refusal("dose_unit_unknown", {"unit": amount.unit})
    return Refusal("dose_not_positive", {"dose": amount}) if amount.value <= 0 else None


def _chosen(ordered: DoseRange) -> Measure | Refusal:
    """Return the dose chosen in a range, once it lies inside it."""
    low, high, chosen = ordered.low, ordered.high, ordered.chosen
    trouble = _not_positive(low) or _not_positive(high)
    if trouble:
        return trouble
    if not _alike(low, high) or low > high:
        return Refusal("dose_range_contradicts", {"low": low, "high": high})
    if chosen is None:
        return Refusal("dose_not_chosen", {"low": low, "high": high})
    if not known_unit(chosen.unit) or not _alike(chosen, low):
        return Refusal("dose_unit_unknown", {"unit": chosen.unit})
    if not low <= chosen <= high:
        return Refusal("dose_outside_range", {"chosen": chosen, "low": low, "high": high})
    return chosen


def _alike(one: Measure, other: Measure) -> bool:
    """Say whether two figures of a range are both amounts, or rates for the same thing."""
    shape = _shape(one)
    return shape is not None and shape == _shape(other)


def _shape(figure: Measure) -> tuple[str | None, str, bool] | None:
    """Return kind, body and daily of a figure, or None for one that is neither amount nor rate."""
    if "/" not in figure.unit:
        return (kind_of(figure.unit), "", False) if kind_of(figure.unit) else None
    rate = read_rate(figure)
    if isinstance(rate, Refusal):
        return None
    body = "weight" if rate.body in PER_WEIGHT else rate.body
    return kind_of(rate.amount_unit), body or "none", rate.daily


def _amount_or_rate(chosen: Measure, order: Order) -> OneDose | Refusal:
    """Return the dose of a chosen figure, be it an amount or so much per kg."""
    return _per_body(DosePerBody(chosen), order) if "/" in chosen.unit else _fixed(chosen)


def read_rate(rate: Measure) -> Rate | Refusal:
    """Take apart a rate such as mg/kg, mg/kg/day, mg/m2/dose or mg/day.

    Refusals: ``rate_not_understood``, ``rate_is_an_infusion`` (per hour or minute: not one syringe's dose).
    """
    amount, *rest = rate.unit.split("/")
    if set(rest) & _TIMES:
        return Refusal("rate_is_an_infusion", {"unit": rate.unit})
    when = rest[1:] if rest and rest[0] in PER_WEIGHT | {PER_SURFACE} else rest
    body = rest[0] if when != rest else ""
    if kind_of(amount) is None or when not in ([], ["day"], ["dose"]) or not rest:
        return Refusal("rate_not_understood", {"unit": rate.unit})
    per_body = Measure(rate.value, f"{amount}/{body}" if body else amount)
    return Rate(amount, body, per_body, when == ["day"])


def _per_body(ordered: DosePerBody, order: Order) -> OneDose | Refusal:
    """Return rate x body, bounded by the day, divided into doses, bounded by the dose."""
    trouble = _not_positive(ordered.rate)
    rate = trouble or read_rate(ordered.rate)
    if isinstance(rate, Refusal):
        return rate
    if ordered.divided_into < 1 or (ordered.divided_into > 1 and not rate.daily):
        return Refusal(
            "doses_per_day_not_understood", {"doses": ordered.divided_into, "unit": ordered.rate.unit}
        )
    whole = _for_body(rate, ordered, order)
    return whole if isinstance(whole, Refusal) else bounded_dose(whole, ordered, rate, order)


def bounded_dose(whole: OneDose, ordered: DosePerBody, rate: Rate, order: Order) -> OneDose | Refusal:
    """Return the one dose out of what the rate gives, inside the order's own bounds."""
    within = bounded(whole.amount, ordered, daily=rate.daily, doses_per_day=order.doses_per_day)
    if isinstance(within, Refusal):
        return within
    return OneDose(within.amount, within.working, within.findings).led_by(whole.working, whole.findings)


def _for_body(rate: Rate, ordered: DosePerBody, order: Order) -> OneDose | Refusal:
    """Return the rate times what it is for: the weight, the surface, or nothing."""
    if not rate.body:
        return OneDose(rate.per_body, both("ordered", rate.per_body))
    size = _surface(ordered, order) if rate.body == PER_SURFACE else _weight(rate, order)
    if isinstance(size, Refusal):
        return size
    amount = rate.per_body.times(size.amount, rate.amount_unit)
    note = "dose_for_surface" if rate.body == PER_SURFACE else "dose_for_weight"
    last = both(note, size.amount, "×", ordered.rate, "=", amount)
    return OneDose(amount, last).led_by(size.working, size.findings)


def _weight(rate: Rate, order: Order) -> OneDose | Refusal:
    """Return the weight to reckon on, in the unit of the rate."""
    found = dosing_weight(order.patient, order.drug.weight_basis)
    if isinstance(found, Refusal):
        return found
    weight = found.weight.to(rate.body)
    same = () if weight == found.weight else both("weight_in_unit", found.weight, "=", weight)
    return OneDose(weight, found.working + same, found.findings)


def _surface(ordered: DosePerBody, order: Order) -> OneDose | Refusal:
    """Return the body surface by the formula the order names."""
    if order.patient.weighed is None or order.patient.height is None:
        return Refusal("height_missing" if order.patient.weighed else "weight_missing")
    height, weight = order.patient.height, order.patient.weighed.weight
    if ordered.surface_by not in ("mosteller", "du bois"):
        return Refusal("surface_formula_unknown", {"formula": ordered.surface_by})
    formula = surface_mosteller if ordered.surface_by == "mosteller" else surface_du_bois
    surface = formula(height, weight)
    if isinstance(surface, Refusal):
        return surface
    cm, kg = height.to("cm"), weight.to("kg")
    return OneDose(surface, both("surface", *surface_terms(ordered.surface_by, cm, kg), "=", surface))


def surface_terms(formula: str, height: Measure, weight: Measure) -> tuple[Term, ...]:
    """Return the formula with its figures: height in cm, weight in kg."""
    if formula == "mosteller":
        return "√", "(", height, "×", weight, "/", Fraction(3600), ")"
    exponents = Fraction(17, 40), Fraction(29, 40)
    return Fraction(7184, 10**6), "×", weight, "^", exponents[0], "×", height, "^", exponents[1]
