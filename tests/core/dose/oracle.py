"""A third reckoning, for tests only: what a dose, a strength and a volume are, from the definitions alone.

It knows plain numbers and nothing of the kiosk: no order, no container, no measure. Masses in mg, weights
in kg, heights in cm, volumes in mL. Sources: SI prefixes; international pound; Mosteller 1987; Du Bois
1916; Devine 1974 (figures from memory).
"""

from __future__ import annotations

from fractions import Fraction

MG = {"g": Fraction(1000), "mg": Fraction(1), "mcg": Fraction(1, 1000), "nanogram": Fraction(1, 10**6)}
KG = {"kg": Fraction(1), "g": Fraction(1, 1000), "lb": Fraction("0.45359237")}
CM = {"cm": Fraction(1), "m": Fraction(100), "in": Fraction("2.54"), "mm": Fraction(1, 10)}
ML = {"mL": Fraction(1), "L": Fraction(1000), "microlitre": Fraction(1, 1000)}


def volume(dose: Fraction, amount: Fraction, in_volume: Fraction) -> Fraction:
    """So much for so much: dose is to volume as amount is to the volume it is in."""
    return dose * in_volume / amount


def per_body(rate: Fraction, body: Fraction, doses: int = 1) -> Fraction:
    return rate * body / doses


def held_between(
    dose: Fraction, least: Fraction | None, most: Fraction | None, day: Fraction | None, doses: int
) -> Fraction:
    """No more than the most, nor than the day's share; no less than the least."""
    for top in (most, None if day is None else day / doses):
        dose = dose if top is None else min(dose, top)
    return dose if least is None else max(dose, least)


def mosteller(cm: Fraction, kg: Fraction) -> float:
    """Body surface in m2 as a float: to compare within a tolerance, never to dose by."""
    return (float(cm) * float(kg) / 3600) ** 0.5


def du_bois(cm: Fraction, kg: Fraction) -> float:
    """Body surface in m2 as a float: to compare within a tolerance, never to dose by."""
    return 0.007184 * float(kg) ** 0.425 * float(cm) ** 0.725


def devine(cm: Fraction, sex: str) -> Fraction:
    """Ideal weight in kg."""
    return Fraction(50 if sex == "male" else "45.5") + Fraction("2.3") * (cm / Fraction("2.54") - 60)


def ceiling(number: Fraction) -> int:
    whole = number.numerator // number.denominator
    return whole if whole == number else whole + 1
