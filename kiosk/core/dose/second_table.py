"""The second computation's own table of units, in smallest whole sizes, and its way of giving up.

Mass in nanograms, volume in microlitres, length in hundredths of a millimetre; units, mmol and mEq as
they are. Sources: SI prefixes; international pound 453.59237 g and inch 25.4 mm, exact since 1959.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Final

MICROLITRES_PER_ML: Final = 1000
NANOGRAMS_PER_MG: Final = 1_000_000
SIZES: Final[dict[str, tuple[str, Fraction]]] = {
    "nanogram": ("mass", Fraction(1)),
    "mcg": ("mass", Fraction(1_000)),
    "mg": ("mass", Fraction(1_000_000)),
    "g": ("mass", Fraction(1_000_000_000)),
    "kg": ("mass", Fraction(1_000_000_000_000)),
    "lb": ("mass", Fraction(453_592_370_000)),
    "oz": ("mass", Fraction(453_592_370_000, 16)),
    "microlitre": ("volume", Fraction(1)),
    "mL": ("volume", Fraction(1_000)),
    "L": ("volume", Fraction(1_000_000)),
    "units": ("units", Fraction(1)),
    "mmol": ("substance", Fraction(1)),
    "mol": ("substance", Fraction(1_000)),
    "mEq": ("charge", Fraction(1)),
    "mm": ("length", Fraction(100)),
    "cm": ("length", Fraction(1_000)),
    "m": ("length", Fraction(100_000)),
    "in": ("length", Fraction(2_540)),
}
AMOUNTS: Final = frozenset({"mass", "volume", "units", "substance", "charge"})


class Stuck(Exception):
    """The second computation cannot go on. Raised and caught inside it, never seen outside."""


def size(unit: str) -> tuple[str, Fraction]:
    """Return kind and smallest size of a plain unit. Raises ``Stuck`` for any other."""
    if unit not in SIZES:
        raise Stuck(f"unit {unit}")
    return SIZES[unit]


def above_zero(value: Fraction | Decimal | int | None, what: str) -> Fraction:
    """Return a number as a Fraction once it is finite and above zero. Raises ``Stuck``."""
    if value is None or (isinstance(value, Decimal) and not value.is_finite()) or value <= 0:
        raise Stuck(what)
    return Fraction(value)


def smallest(value: Fraction, unit: str, kind: str = "") -> Fraction:
    """Return so much of ``unit`` in smallest units, once it is above zero and of the kind asked for."""
    found, each = size(unit)
    if kind and found != kind:
        raise Stuck(f"{unit} is no {kind}")
    return above_zero(value, unit) * each
