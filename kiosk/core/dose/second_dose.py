"""The second computation's reading of an order: what one dose is, in smallest units.

Figures from the same publications as the first computation's (Mosteller 1987, Du Bois 1916, Devine
1974; from memory), written down again here; roots by decimal logarithms instead of whole numbers.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.catalogue.people import Patient
from kiosk.core.dose.order import DosePerBody, DoseRange, Order
from kiosk.core.dose.second_table import AMOUNTS, Stuck, above_zero, size, smallest
from kiosk.core.units import Measure

_RATE: Final = re.compile(r"([A-Za-z]+)(?:/(kg|lb|g|m2))?(?:/(day|dose))?")
_SURFACE_STEP: Final = Decimal("1e-12")
_DEVINE_KG: Final = {"male": Decimal("50"), "female": Decimal("45.5")}


def desired(order: Order) -> tuple[str, Fraction]:
    """Return kind and size of one dose. Raises ``Stuck``."""
    ordered = order.dose
    if isinstance(ordered, DosePerBody):
        return _by_body(ordered, order)
    if isinstance(ordered, DoseRange):
        chosen = _inside(ordered)
        return _by_body(DosePerBody(chosen), order) if "/" in chosen.unit else _plain(chosen)
    return _plain(ordered.amount)


def _plain(amount: Measure) -> tuple[str, Fraction]:
    """Return a plain amount."""
    kind = size(amount.unit)[0]
    if kind not in AMOUNTS:
        raise Stuck("no amount")
    return kind, smallest(amount.value, amount.unit)


def _inside(ordered: DoseRange) -> Measure:
    """Return the chosen dose when it lies in the range; rates are compared like amounts."""
    if ordered.chosen is None:
        raise Stuck("not chosen")
    low, chosen, high = (_comparable(each) for each in (ordered.low, ordered.chosen, ordered.high))
    if not low[0] == chosen[0] == high[0] or not low[1] <= chosen[1] <= high[1]:
        raise Stuck("range")
    return ordered.chosen


def _comparable(figure: Measure) -> tuple[tuple[str, str], Fraction]:
    """Return what a figure of a range is so much of, and how much."""
    amount, body, when = _parts(figure.unit)
    kind, each = size(amount)
    per = Fraction(1) if body in ("", "m2") else size(body)[1]
    named = "weight" if body in ("kg", "lb", "g") else body
    return (kind, f"{named}/{when.removeprefix('dose')}"), above_zero(figure.value, "range") * each / per


def _parts(unit: str) -> tuple[str, str, str]:
    """Return amount, body and time of a rate such as mg/kg/day."""
    match = _RATE.fullmatch(unit)
    if match is None:
        raise Stuck(f"rate {unit}")
    return match.group(1), match.group(2) or "", match.group(3) or ""


def _by_body(ordered: DosePerBody, order: Order) -> tuple[str, Fraction]:
    """Return rate x body / doses, held between the order's own bounds."""
    amount, body, when = _parts(ordered.rate.unit)
    kind, rate = _plain(Measure(ordered.rate.value, amount))
    if not body and not when:
        raise Stuck("no rate")
    if ordered.divided_into < 1 or (ordered.divided_into > 1 and when != "day"):
        raise Stuck("doses")
    if order.doses_per_day is not None and order.doses_per_day < 1:
        raise Stuck("doses")
    doses = ordered.divided_into if when == "day" else order.doses_per_day or 1
    dose = rate * _body(body, ordered, order) / ordered.divided_into
    return kind, _held(dose, ordered, kind, doses)


def _held(dose: Fraction, ordered: DosePerBody, kind: str, doses: int) -> Fraction:
    """Return the dose pushed to the nearest bound it lies beyond."""
    least = _bound(ordered.minimum, kind) or Fraction(0)
    day = _bound(ordered.daily_maximum, kind)
    tops = [top for top in (_bound(ordered.maximum, kind), day and day / doses) if top]
    most = min(tops) if tops else max(dose, least)
    if least > most:
        raise Stuck("bounds")
    return sorted((least, dose, most))[1]


def _bound(bound: Measure | None, kind: str) -> Fraction | None:
    """Return a bound in smallest units."""
    return None if bound is None else smallest(bound.value, bound.unit, kind)


def _body(body: str, ordered: DosePerBody, order: Order) -> Fraction:
    """Return how many of the rate's body units the patient is: kg, lb, g, m2; one when there is none."""
    if not body:
        return Fraction(1)
    if body == "m2":
        return _surface(order.patient, ordered.surface_by)
    return _weight(order.patient, order.drug.weight_basis) / size(body)[1]


def _actual(patient: Patient) -> Fraction:
    """Return the weight in nanograms."""
    if patient.weighed is None:
        raise Stuck("weight")
    return smallest(patient.weighed.weight.value, patient.weighed.weight.unit, "mass")


def _tall(patient: Patient) -> Fraction:
    """Return the height in hundredths of a millimetre."""
    if patient.height is None:
        raise Stuck("height")
    return smallest(patient.height.value, patient.height.unit, "length")


def _weight(patient: Patient, basis: str) -> Fraction:
    """Return the weight to reckon on in nanograms; never more than the patient weighs."""
    actual = _actual(patient)
    if basis == "actual":
        return actual
    inches_over = _tall(patient) / size("in")[1] - 60
    if patient.sex not in _DEVINE_KG or inches_over < 0 or basis not in ("ideal", "adjusted"):
        raise Stuck("ideal weight")
    ideal = (Fraction(_DEVINE_KG[patient.sex]) + Fraction("2.3") * inches_over) * size("kg")[1]
    share = Fraction(0) if basis == "ideal" else Fraction("0.4")
    return min(actual, ideal * (1 - share) + actual * share)


def _surface(patient: Patient, formula: str) -> Fraction:
    """Return the body surface in m2 to twelve decimals, ties up, by logarithms or the square root."""
    weight, height = _actual(patient) / size("kg")[1], _tall(patient) / size("cm")[1]
    if formula not in ("mosteller", "du bois"):
        raise Stuck("formula")
    far = Context(prec=60 + 2 * len(str(int(weight * height))), rounding=ROUND_HALF_UP)
    kg, cm = (far.divide(Decimal(x.numerator), Decimal(x.denominator)) for x in (weight, height))
    if formula == "mosteller":
        surface = far.sqrt(far.divide(far.multiply(kg, cm), Decimal(3600)))
    else:
        logarithm = far.add(
            far.multiply(Decimal("0.425"), far.ln(kg)), far.multiply(Decimal("0.725"), far.ln(cm))
        )
        surface = far.multiply(Decimal("0.007184"), far.exp(logarithm))
    return above_zero(far.quantize(surface, _SURFACE_STEP), "surface")
