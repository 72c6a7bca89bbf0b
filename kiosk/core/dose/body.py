"""Body size: surface by Mosteller, Du Bois and others, ideal weight by Devine, adjusted weight.

The surface is an irrational number; it is taken to ``SURFACE_PLACES`` decimals of a square metre (ties
up), far finer than any dose can show: by whole-number roots, or by decimals of forty digits.

Sources (figures from memory): Mosteller RD, N Engl J Med 1987;317:1098; Du Bois D, Du Bois EF, Arch
Intern Med 1916;17:863; Haycock GB and others, J Pediatr 1978;93:62; Gehan EA, George SL, Cancer
Chemother Rep 1970;54:225; Costeff H, Arch Dis Child 1966;41:681 (by weight alone); Devine BJ, Drug Intell
Clin Pharm 1974;8:650. The factor 0.4 of the adjusted weight is common practice.
"""

from __future__ import annotations

from decimal import Context, Decimal
from fractions import Fraction
from math import isqrt
from typing import Final

from kiosk.core.dose.holds import shown
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure, known_unit, same_kind

SURFACE_PLACES: Final = 12
ADJUSTED_SHARE: Final = Fraction(4, 10)
_DEVINE_BASE: Final = {"male": Fraction(50), "female": Fraction(91, 2)}  # kg at 60 inches
_DEVINE_PER_INCH: Final = Fraction(23, 10)  # kg
_DEVINE_FROM: Final = Fraction(60)  # inches
_DU_BOIS: Final = Fraction(7184, 10**6)
_HAYCOCK: Final = Fraction(24265, 10**6)
_GEHAN: Final = Fraction(235, 10**4)
_PRECISE: Final = Context(prec=40)


def surface_mosteller(height: Measure, weight: Measure) -> Measure | Refusal:
    """Return the body surface in m2: the square root of (cm x kg / 3600).

    Refusals: ``height_not_understood``, ``weight_not_understood``.
    """
    size = _size(height, weight)
    if isinstance(size, Refusal):
        return size
    cm, kg = size
    return _surface(root(cm * kg / 3600, 2), weight)


def surface_du_bois(height: Measure, weight: Measure) -> Measure | Refusal:
    """Return the body surface in m2: 0.007184 x kg^0.425 x cm^0.725, exponents 17/40 and 29/40.

    Refusals: ``height_not_understood``, ``weight_not_understood``.
    """
    size = _size(height, weight)
    if isinstance(size, Refusal):
        return size
    cm, kg = size
    return _surface(root(_DU_BOIS**40 * kg**17 * cm**29, 40), weight)


def surface_haycock(height: Measure, weight: Measure) -> Measure | Refusal:
    """Return the body surface in m2: 0.024265 x kg^0.5378 x cm^0.3964.

    Refusals: ``height_not_understood``, ``weight_not_understood``.
    """
    return _by_powers(height, weight, _HAYCOCK, Decimal("0.5378"), Decimal("0.3964"))


def surface_gehan(height: Measure, weight: Measure) -> Measure | Refusal:
    """Return the body surface in m2: 0.0235 x kg^0.51456 x cm^0.42246.

    Refusals: ``height_not_understood``, ``weight_not_understood``.
    """
    return _by_powers(height, weight, _GEHAN, Decimal("0.51456"), Decimal("0.42246"))


def surface_by_weight(weight: Measure) -> Measure | Refusal:
    """Return a child's body surface in m2 by the weight alone: (4 kg + 7) / (kg + 90).

    Refusal: ``weight_not_understood``.
    """
    if not is_weight(weight):
        return Refusal("weight_not_understood", {"weight": shown(weight)})
    kg = weight.to("kg").value
    return Measure((4 * kg + 7) / (kg + 90), "m2")


def _by_powers(
    height: Measure, weight: Measure, times: Fraction, of_weight: Decimal, of_height: Decimal
) -> Measure | Refusal:
    """Return ``times`` x kg^of_weight x cm^of_height, to ``SURFACE_PLACES`` decimals."""
    size = _size(height, weight)
    if isinstance(size, Refusal):
        return size
    cm, kg = (_PRECISE.divide(Decimal(one.numerator), Decimal(one.denominator)) for one in size)
    powers = _PRECISE.multiply(_PRECISE.power(kg, of_weight), _PRECISE.power(cm, of_height))
    return _surface(round(Fraction(powers) * times, SURFACE_PLACES), weight)


def _surface(square_metres: Fraction, weight: Measure) -> Measure | Refusal:
    """Return the surface, unless the body is so small that nothing of it is left."""
    if square_metres == 0:
        return Refusal("weight_not_understood", {"weight": shown(weight)})
    return Measure(square_metres, "m2")


def _size(height: Measure, weight: Measure) -> tuple[Fraction, Fraction] | Refusal:
    """Return height in cm and weight in kg."""
    if not is_weight(weight):
        return Refusal("weight_not_understood", {"weight": shown(weight)})
    if not is_height(height):
        return Refusal("height_not_understood", {"height": shown(height)})
    return height.to("cm").value, weight.to("kg").value


def is_weight(measure: Measure) -> bool:
    """Say whether this is a body weight: a mass above zero."""
    return measure.value > 0 and known_unit(measure.unit) and same_kind(measure.unit, "kg")


def is_height(measure: Measure) -> bool:
    """Say whether this is a body height: a length above zero."""
    return measure.value > 0 and known_unit(measure.unit) and same_kind(measure.unit, "cm")


def root(value: Fraction, degree: int, places: int = SURFACE_PLACES) -> Fraction:
    """Return the root of a value that is not negative, to so many decimals, ties up."""
    doubled = value * 2**degree * 10 ** (places * degree)
    whole = _whole_root(doubled.numerator // doubled.denominator, degree)
    return Fraction((whole + 1) // 2, 10**places)


def _whole_root(value: int, degree: int) -> int:
    """Return the largest whole number whose power is not above ``value`` (Newton from above)."""
    if degree == 2 or value == 0:
        return isqrt(value)
    guess = 1 << -(-value.bit_length() // degree)
    while True:
        lower = ((degree - 1) * guess + value // guess ** (degree - 1)) // degree
        if lower >= guess:
            return guess
        guess = lower


def ideal_weight(height: Measure, sex: str) -> Measure | Refusal:
    """Return the ideal weight in kg (Devine): 50 (male) or 45.5 (female) + 2.3 per inch over 60.

    Refusals: ``height_not_understood``, ``sex_not_known``, ``ideal_weight_not_defined`` (under 60 inches).
    """
    if not is_height(height):
        return Refusal("height_not_understood", {"height": shown(height)})
    if sex not in _DEVINE_BASE:
        return Refusal("sex_not_known")
    over = height.to("in").value - _DEVINE_FROM
    if over < 0:
        return Refusal(
            "ideal_weight_not_defined", {"height": height, "least": Measure(_DEVINE_FROM, "in").to("cm")}
        )
    return Measure(_DEVINE_BASE[sex] + _DEVINE_PER_INCH * over, "kg")


def adjusted_weight(actual: Measure, ideal: Measure) -> Measure:
    """Return ideal + 0.4 x (actual - ideal), in kg. Raises ``WrongKind`` for what is no mass."""
    ideal_kg = ideal.to("kg")
    return ideal_kg + (actual.to("kg") - ideal_kg).scaled(ADJUSTED_SHARE)
