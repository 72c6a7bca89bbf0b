"""Exact measures in a closed list of the trade's units. The only file that knows pint.

A ``Measure`` is a Fraction and a unit code; it is exact until somebody rounds it on purpose. Floats
are refused. pint is imported at the first conversion, not before, so that a window can be painted
first.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final, TypeAlias

if TYPE_CHECKING:
    import pint

Exact: TypeAlias = int | Decimal | Fraction | str

BASE_UNITS: Final[dict[str, str]] = {
    # code: pint definition. Codes are what the trade writes, safely; UCUM spellings are mapped at the door.
    "g": "gram = [mass] = g",
    "kg": "kilogram = 1000 * gram = kg",
    "mg": "milligram = gram / 1000 = mg",
    "mcg": "microgram = milligram / 1000 = mcg",
    "nanogram": "nanogram = microgram / 1000",
    "lb": "pound = 45359237 * gram / 100000 = lb",  # international avoirdupois pound, exact since 1959
    "oz": "ounce = pound / 16 = oz",
    "L": "litre = [volume] = L",
    "mL": "millilitre = litre / 1000 = mL",
    "microlitre": "microlitre = millilitre / 1000",
    "units": "units = [drug_unit]",
    "mmol": "millimole = [substance] = mmol",
    "mol": "mole = 1000 * millimole = mol",
    "mEq": "milliequivalent = [charge_equivalent] = mEq",
    "day": "day = [time]",
    "h": "hour = day / 24 = h",
    "min": "minute = hour / 60 = min",
    "s": "second = minute / 60 = s",
    "week": "week = 7 * day",
    "m2": "square_metre = [body_surface] = m2",
    "mm": "millimetre = [length] = mm",
    "cm": "centimetre = 10 * millimetre = cm",
    "m": "metre = 1000 * millimetre = m",
    "in": "inch = 254 * millimetre / 10 = in",
    "dose": "dose = [administration]",
    "%": "percent_w_v = 10 * gram / litre",
}
_PINT_NAME: Final[dict[str, str]] = {code: text.split("=")[0].strip() for code, text in BASE_UNITS.items()}


class UnknownUnit(ValueError):
    """A unit code outside the closed list reached the core: a bug, the doors map spellings first."""


class WrongKind(ValueError):
    """Two measures of different kinds were mixed: a bug, kinds are compared before."""


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[Any]:
    """Return the one registry: empty but for ``BASE_UNITS``, exact (Fraction)."""
    import pint

    made: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Fraction)
    for definition in BASE_UNITS.values():
        made.define(definition)
    return made


@lru_cache(maxsize=512)
def _pint_unit(code: str) -> Any:
    """Return the pint unit of a code such as ``mg/mL`` or ``mg/kg/day``."""
    parts = code.split("/")
    if any(part not in _PINT_NAME and part != "1" for part in parts):
        raise UnknownUnit(code)
    made = registry()
    unit = made.Unit(_PINT_NAME[parts[0]]) if parts[0] != "1" else made.Unit("dimensionless")
    for part in parts[1:]:
        unit = unit / made.Unit(_PINT_NAME[part])
    return unit


@lru_cache(maxsize=4096)
def factor(unit: str, to: str) -> Fraction:
    """Return by what a value in ``unit`` is multiplied to be in ``to``. Raises ``WrongKind``."""
    import pint

    if unit == to:
        return Fraction(1)
    try:
        return Fraction(registry().Quantity(Fraction(1), _pint_unit(unit)).to(_pint_unit(to)).magnitude)
    except pint.DimensionalityError as trouble:
        raise WrongKind(f"{unit} is not of the kind of {to}") from trouble


def same_kind(unit: str, other: str) -> bool:
    """Say whether two unit codes measure the same kind of thing."""
    return bool(_pint_unit(unit).dimensionality == _pint_unit(other).dimensionality)


_NUMBER = re.compile(r"[+-]?(\d+(\.\d+)?|\.\d+)([eE][+-]?\d{1,3})?")


def exact(value: Exact) -> Fraction:
    """Return ``value`` as a Fraction, refusing floats and anything that is not a finite plain number."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal | Fraction | str):
        raise TypeError(f"not an exact number: {value!r}")
    if isinstance(value, str):
        if "/" in value:
            return Fraction(value)
        if not _NUMBER.fullmatch(value):
            raise ValueError(f"not a plain number: {value!r}")
    return Fraction(value)


@dataclass(frozen=True, slots=True)
class Measure:
    """An exact number of a unit. ``==`` compares as written; ``same`` compares what is meant."""

    value: Fraction
    unit: str

    def __post_init__(self) -> None:
        if not isinstance(self.value, Fraction):
            raise TypeError(f"a Measure holds a Fraction, not {type(self.value).__name__}")

    @classmethod
    def of(cls, value: Exact, unit: str) -> Measure:
        """Make a measure from an exact number or its text. Raises on floats and unknown units."""
        for part in unit.split("/"):
            if part not in BASE_UNITS and part != "1":
                raise UnknownUnit(unit)
        return cls(exact(value), unit)

    def to(self, unit: str) -> Measure:
        """Return the same quantity in another unit of the same kind. Raises ``WrongKind``."""
        return self if unit == self.unit else Measure(self.value * factor(self.unit, unit), unit)

    def is_like(self, other: Measure | str) -> bool:
        """Say whether ``other`` (a measure or a unit code) is of the same kind."""
        return same_kind(self.unit, other if isinstance(other, str) else other.unit)

    def same(self, other: Measure) -> bool:
        """Say whether both are the same quantity, whatever the unit. Raises ``WrongKind``."""
        return self.value == other.to(self.unit).value

    def __add__(self, other: Measure) -> Measure:
        return Measure(self.value + other.to(self.unit).value, self.unit)

    def __sub__(self, other: Measure) -> Measure:
        return Measure(self.value - other.to(self.unit).value, self.unit)

    def __neg__(self) -> Measure:
        return Measure(-self.value, self.unit)

    def __abs__(self) -> Measure:
        return Measure(abs(self.value), self.unit)

    def scaled(self, by: int | Decimal | Fraction) -> Measure:
        """Return this measure times a plain exact number."""
        return Measure(self.value * exact(by), self.unit)

    def ratio(self, other: Measure) -> Fraction:
        """Return how many times ``other`` goes into this one: a plain exact number."""
        return self.value / other.to(self.unit).value

    def times(self, other: Measure, unit: str) -> Measure:
        """Return the product expressed in ``unit``. Raises ``WrongKind`` if the kinds do not give it."""
        made = registry()
        product = made.Quantity(self.value, _pint_unit(self.unit)) * made.Quantity(
            other.value, _pint_unit(other.unit)
        )
        return _from_pint(product, unit)

    def over(self, other: Measure, unit: str) -> Measure:
        """Return the quotient expressed in ``unit``. Raises ``WrongKind`` or ``ZeroDivisionError``."""
        made = registry()
        quotient = made.Quantity(self.value, _pint_unit(self.unit)) / made.Quantity(
            other.value, _pint_unit(other.unit)
        )
        return _from_pint(quotient, unit)

    def __lt__(self, other: Measure) -> bool:
        return self.value < other.to(self.unit).value

    def __le__(self, other: Measure) -> bool:
        return self.value <= other.to(self.unit).value

    def __gt__(self, other: Measure) -> bool:
        return self.value > other.to(self.unit).value

    def __ge__(self, other: Measure) -> bool:
        return self.value >= other.to(self.unit).value

    @property
    def decimal(self) -> Decimal:
        """The value as a Decimal when it has a finite decimal form, else to 28 significant digits."""
        return Decimal(self.value.numerator) / Decimal(self.value.denominator)


def _from_pint(quantity: Any, unit: str) -> Measure:
    """Turn a pint quantity back into a measure in ``unit``."""
    import pint

    try:
        return Measure(Fraction(quantity.to(_pint_unit(unit)).magnitude), unit)
    except pint.DimensionalityError as trouble:
        raise WrongKind(f"{quantity.units} does not give {unit}") from trouble
