"""Reads the few forms in which our lists write quantities, and writes them back.

The forms are narrow on purpose: one spelling for one meaning, plain decimal numbers, unit codes of the
closed list. What does not fit is refused, never mended. A list is not a prescription: orders from outside
come through other doors, which know more spellings.
A long list repeats the same few hundred texts, so what was read or written once is remembered.

* a measure: ``12.5 mg``, ``30 mg/kg/day``
* a strength: ``12.5 mg in 1 mL``, ``1 %``, ``1 in 1000``, ``500 mg powder``, ``10 mg`` (no volume given)
* a dose: ``12.5 mg``, ``10 to 20 mg``, ``30 mg/kg/day in 3 doses, at most 500 mg, at most 2 g a day``
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Final

from kiosk.core.catalogue.strength import (
    AmountInVolume,
    AmountOnly,
    PercentWeightInVolume,
    Powder,
    Ratio,
    Strength,
)
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Ordered
from kiosk.core.units import BASE_UNITS, Measure

NUMBER: Final = r"(?:0|[1-9]\d*)(?:\.\d+)?"
_MEASURE: Final = re.compile(rf"({NUMBER}) (\S+)")


def number(text: str) -> Decimal | None:
    """Return a plain decimal number, or None for anything else (signs, commas, exponents)."""
    return Decimal(text) if re.fullmatch(NUMBER, text) else None


@lru_cache(maxsize=8192)
def measure(text: str) -> Measure | None:
    """Return ``12.5 mg`` as a measure, or None when the number or the unit is not one of ours."""
    found = _MEASURE.fullmatch(text)
    if not found or any(part not in BASE_UNITS for part in found[2].split("/")):
        return None
    return Measure.of(found[1], found[2])


def write_number(value: Fraction | Decimal) -> str:
    """Return an exact number as plain digits. Raises ``ValueError`` when it has no finite decimal form."""
    exact = Fraction(value)
    digits = Decimal(exact.numerator) / Decimal(exact.denominator)
    if Fraction(digits) != exact:
        raise ValueError(f"no finite decimal form: {exact}")
    text = f"{digits:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@lru_cache(maxsize=8192)
def write_measure(value: Measure) -> str:
    """Return a measure in the form that ``measure`` reads."""
    return f"{write_number(value.value)} {value.unit}"


@lru_cache(maxsize=8192)
def strength(text: str) -> Strength | None:
    """Return a labelled strength, a powder still without its make-up lines; None when not understood."""
    if found := re.fullmatch(rf"({NUMBER}) %", text):
        return PercentWeightInVolume(Decimal(found[1]))
    if found := re.fullmatch(rf"({NUMBER}) in ({NUMBER})", text):
        return Ratio(Decimal(found[1]), Decimal(found[2])) if Decimal(found[2]) > 0 else None
    if text.endswith(" powder"):
        amount = measure(text.removesuffix(" powder"))
        return Powder(amount) if amount and amount.value > 0 else None
    return _liquid(text)


def _liquid(text: str) -> Strength | None:
    """Return an amount in a volume, or an amount alone."""
    amount_text, within, volume_text = text.partition(" in ")
    amount = measure(amount_text)
    if amount is None or amount.value <= 0:
        return None
    if not within:
        return AmountOnly(amount)
    volume = measure(volume_text)
    if volume is None or not volume.is_like("mL") or volume.value <= 0:
        return None
    return AmountInVolume(amount, volume)


@lru_cache(maxsize=8192)
def write_strength(value: Strength) -> str:
    """Return a strength in the form that ``strength`` reads; make-up lines stand in their own list."""
    if isinstance(value, AmountInVolume):
        return f"{write_measure(value.amount)} in {write_measure(value.volume)}"
    if isinstance(value, PercentWeightInVolume):
        return f"{write_number(value.percent)} %"
    if isinstance(value, Ratio):
        return f"{write_number(value.parts)} in {write_number(value.within)}"
    return write_measure(value.amount) + (" powder" if isinstance(value, Powder) else "")


def dose(text: str) -> Ordered | None:
    """Return a dose as our order list writes it, or None when it is not understood."""
    first, *bounds = text.split(", ")
    if found := re.fullmatch(rf"({NUMBER}) to (.+)", first):
        high = measure(found[2])
        return None if bounds or high is None else _range(Measure.of(found[1], high.unit), high)
    rate_text, _, divided = first.partition(" in ")
    rate = measure(rate_text)
    if rate is None or rate.value <= 0:
        return None
    if "/" not in rate.unit:
        return None if bounds or divided else FixedDose(rate)
    return _per_body(rate, divided, bounds)


def _range(low: Measure, high: Measure) -> DoseRange | None:
    """Return a range that goes upwards."""
    return DoseRange(low, high) if Measure.of(0, low.unit) < low < high else None


def _per_body(rate: Measure, divided: str, bounds: list[str]) -> DosePerBody | None:
    """Return a dose by body size with its bounds; None when a bound is unknown or said twice."""
    doses = re.fullmatch(r"([1-9]\d?) doses", divided)
    if divided and not doses:
        return None
    kept: dict[str, Measure] = {}
    for bound in bounds:
        name, limit = _bound(bound)
        if limit is None or name in kept:
            return None
        kept[name] = limit
    return DosePerBody(
        rate,
        int(doses[1]) if doses else 1,
        kept.get("maximum"),
        kept.get("minimum"),
        kept.get("daily_maximum"),
    )


def _bound(text: str) -> tuple[str, Measure | None]:
    """Return which bound of a dose this is, and how much."""
    if text.startswith("at most ") and text.endswith(" a day"):
        return "daily_maximum", measure(text.removeprefix("at most ").removesuffix(" a day"))
    if text.startswith("at most "):
        return "maximum", measure(text.removeprefix("at most "))
    if text.startswith("at least "):
        return "minimum", measure(text.removeprefix("at least "))
    return "", None
