"""Exact measures in a closed list of the trade's units. The only file that knows pint.

A ``Measure`` is a Fraction and a unit code; it is exact until somebody rounds it on purpose. Floats
are refused. pint is imported at the first conversion, not before, so that a window can be painted
first; ``warm`` does it ahead of need on a worker. Every pair of units is asked of pint once: the
factor is exact and kept, and from then on the arithmetic is whole numbers.

``units`` (a drug's own), ``mmol`` and ``mEq`` are dimensions of their own: no conversion leads from
one to another or to a mass here. The bridges a drug itself gives are in ``kiosk.core.dose.bridge``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from functools import lru_cache
from threading import RLock
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
    "month": "month = [calendar_month]",  # a child's age only: no number of days is exact
    "drop": "drop = [drop]",  # of a giving set; how many make a mL is printed on the set
    "grain": "grain = [apothecary_grain]",  # sources disagree (60, 64.8, 65 mg): never converted unstated
    "%": "percent_w_v = 10 * gram / litre",
}
_PINT_NAME: Final[dict[str, str]] = {code: text.split("=")[0].strip() for code, text in BASE_UNITS.items()}


class UnknownUnit(ValueError):
    """A unit code outside the closed list reached the core: a bug, the doors map spellings first."""


class WrongKind(ValueError):
    """Two measures of different kinds were mixed: a bug, kinds are compared before."""


_ONE_AT_A_TIME = RLock()  # pint is asked by the interface thread and by workers


@lru_cache(maxsize=1)
def _built() -> pint.UnitRegistry[Any]:
    """Build the registry from ``BASE_UNITS`` alone, exact (Fraction)."""
    import pint

    made: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Fraction)
    for definition in BASE_UNITS.values():
        made.define(definition)
    return made


def registry() -> pint.UnitRegistry[Any]:
    """Return the one registry, empty but for ``BASE_UNITS``; there is never a second."""
    with _ONE_AT_A_TIME:
        return _built()


def warm() -> None:
    """Import pint and ask it one conversion, so that the first dose does not wait for it."""
    factor("mg", "g")


@lru_cache(maxsize=1024)
def known_unit(unit: str) -> bool:
    """Say whether a code such as ``mg/mL`` is made of the closed list alone."""
    parts = unit.split("/")
    return all(part in BASE_UNITS or (part == "1" and at == 0) for at, part in enumerate(parts))


@lru_cache(maxsize=512)
def _pint_unit(code: str) -> Any:
    """Return the pint unit of a code such as ``mg/mL`` or ``mg/kg/day``. Raises ``UnknownUnit``."""
    if not known_unit(code):
        raise UnknownUnit(code)
    made = registry()
    first, *others = code.split("/")
    unit = made.Unit("dimensionless" if first == "1" else _PINT_NAME[first])
    for part in others:
        unit = unit / made.Unit(_PINT_NAME[part])
    return unit


def _asked(quantity: Any, unit: str) -> Fraction:
    """Return the size of a pint quantity in ``unit``. Raises ``WrongKind``."""
    import pint

    try:
        return Fraction(quantity.to(_pint_unit(unit)).magnitude)
    except pint.DimensionalityError as trouble:
        raise WrongKind(f"{quantity.units} does not give {unit}") from trouble


def _one(unit: str) -> Any:
    """Return the pint quantity of exactly one ``unit``."""
    return registry().Quantity(Fraction(1), _pint_unit(unit))


@lru_cache(maxsize=4096)
def factor(unit: str, to: str) -> Fraction:
    """Return by what a value in ``unit`` is multiplied to be in ``to``. Raises ``WrongKind``."""
    with _ONE_AT_A_TIME:
        return _asked(_one(unit), to)


@lru_cache(maxsize=4096)
def _product_factor(unit: str, other: str, to: str) -> tuple[int, int]:
    """Return the size of one ``unit`` times one ``other`` in ``to``, as numerator and denominator."""
    with _ONE_AT_A_TIME:
        return _asked(_one(unit) * _one(other), to).as_integer_ratio()


@lru_cache(maxsize=4096)
def _quotient_factor(unit: str, other: str, to: str) -> tuple[int, int]:
    """Return the size of one ``unit`` per one ``other`` in ``to``, as numerator and denominator."""
    with _ONE_AT_A_TIME:
        return _asked(_one(unit) / _one(other), to).as_integer_ratio()


@lru_cache(maxsize=4096)
def same_kind(unit: str, other: str) -> bool:
    """Say whether two unit codes measure the same kind of thing. Raises ``UnknownUnit``.

    A rate per body mass (``mg/kg``) is to pint a pure number, like any mass over a mass; what an order
    means by it is decided by its type, never by asking here.
    """
    with _ONE_AT_A_TIME:
        return bool(_pint_unit(unit).dimensionality == _pint_unit(other).dimensionality)


_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]+)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?|[+-]?[0-9]+/[0-9]*[1-9][0-9]*")


def exact(value: Exact) -> Fraction:
    """Return ``value`` as a Fraction.

    Raises ``TypeError`` on a float or a bool and ``ValueError`` on anything that is not a finite plain
    number (``NaN``, infinities, grouping, blanks, digits of other scripts).
    """
    if isinstance(value, bool) or not isinstance(value, int | Decimal | Fraction | str):
        raise TypeError(f"not an exact number: {value!r}")
    if isinstance(value, str) and not _NUMBER.fullmatch(value):
        raise ValueError(f"not a plain number: {value!r}")
    if isinstance(value, Decimal) and not value.is_finite():
        raise ValueError(f"not a finite number: {value!r}")
    return Fraction(value)


def decimal_places(value: Fraction) -> int | None:
    """Return how many decimals write ``value`` exactly, or None when no number of them does."""
    rest = value.denominator
    twos = (rest & -rest).bit_length() - 1
    rest >>= twos
    fives = 0
    while rest % 5 == 0:
        rest //= 5
        fives += 1
    return max(twos, fives) if rest == 1 else None


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
        if not known_unit(unit):
            raise UnknownUnit(unit)
        return cls(exact(value), unit)

    def to(self, unit: str) -> Measure:
        """Return the same quantity in another unit of the same kind. Raises ``WrongKind``."""
        return self if unit == self.unit else _made(self.value * factor(self.unit, unit), unit)

    def is_like(self, other: Measure | str) -> bool:
        """Say whether ``other`` (a measure or a unit code) is of the same kind."""
        return same_kind(self.unit, other if isinstance(other, str) else other.unit)

    def same(self, other: Measure) -> bool:
        """Say whether both are the same quantity, whatever the unit. Raises ``WrongKind``."""
        return self.value == other.to(self.unit).value

    def __add__(self, other: Measure) -> Measure:
        return _made(self.value + other.to(self.unit).value, self.unit)

    def __sub__(self, other: Measure) -> Measure:
        return _made(self.value - other.to(self.unit).value, self.unit)

    def __neg__(self) -> Measure:
        return _made(-self.value, self.unit)

    def __abs__(self) -> Measure:
        return _made(abs(self.value), self.unit)

    def scaled(self, by: int | Decimal | Fraction) -> Measure:
        """Return this measure times a plain exact number."""
        return _made(self.value * exact(by), self.unit)

    def ratio(self, other: Measure) -> Fraction:
        """Return how many times ``other`` goes into this one: a plain exact number."""
        return self.value / other.to(self.unit).value

    def times(self, other: Measure, unit: str) -> Measure:
        """Return the product expressed in ``unit``. Raises ``WrongKind`` if the kinds do not give it."""
        scale, by = _product_factor(self.unit, other.unit, unit)
        top, bottom = self.value.as_integer_ratio()
        other_top, other_bottom = other.value.as_integer_ratio()
        return _made(Fraction(top * other_top * scale, bottom * other_bottom * by), unit)

    def over(self, other: Measure, unit: str) -> Measure:
        """Return the quotient expressed in ``unit``. Raises ``WrongKind`` or ``ZeroDivisionError``."""
        scale, by = _quotient_factor(self.unit, other.unit, unit)
        top, bottom = self.value.as_integer_ratio()
        other_top, other_bottom = other.value.as_integer_ratio()
        return _made(Fraction(top * other_bottom * scale, bottom * other_top * by), unit)

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
        """The value as a Decimal: exact when it has a finite decimal form, else to 28 significant digits."""
        places = decimal_places(self.value)
        if places is None:
            return Context(prec=28).divide(Decimal(self.value.numerator), Decimal(self.value.denominator))
        whole = self.value.numerator * 10**places // self.value.denominator
        return Decimal((int(whole < 0), tuple(map(int, str(abs(whole)))), -places))


_set_value: Final[Callable[[Measure, Fraction], None]] = Measure.__dict__["value"].__set__
_set_unit: Final[Callable[[Measure, str], None]] = Measure.__dict__["unit"].__set__


def _made(value: Fraction, unit: str) -> Measure:
    """Make a measure of what the arithmetic above has already proved to be a Fraction: half the cost."""
    made = object.__new__(Measure)
    _set_value(made, value)
    _set_unit(made, unit)
    return made
