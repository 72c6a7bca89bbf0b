"""Quantities in safe writing, by the error-prone lists and the SI: ``0.5 mg``, ``20,000 units``.

A leading zero always, a trailing zero never, a space between number and unit, thousands grouped from
1,000 on. English groups with a comma and points with a point; French groups with a no-break space and
points with a comma (SI style; Joint Commission and ISMP lists for the zeros, the space and the groups).
A number that no decimal writes exactly is cut to a stated count of digits and says so with ``≈``.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Final

from kiosk.core.notation.unit_names import LANGUAGES, NAMES
from kiosk.core.units import Measure, UnknownUnit, decimal_places

SHOWN_DIGITS: Final = 6
"""Significant digits of a number that cannot be written exactly."""
LONGEST_EXACT: Final = 10
"""A finite decimal longer than this many digits is cut as well: nobody reads it."""
ROUNDED_SIGN: Final = "≈"

_POINT: Final = {"en": ".", "fr": ","}
_GROUP: Final = {"en": ",", "fr": "\u00a0"}
_PERCENT_GAP: Final = {"en": "", "fr": " "}


def checked(language: str) -> str:
    """Return the language, or raise ``ValueError`` for one the kiosk does not speak: a bug."""
    if language not in LANGUAGES:
        raise ValueError(f"no notation for the language {language!r}")
    return language


def is_exact(value: Fraction) -> bool:
    """Say whether ``number`` writes this value exactly, without ``≈``."""
    places = decimal_places(value)
    if places is None:
        return False
    return places == 0 or len(str(abs(value.numerator) * 10**places // value.denominator)) <= LONGEST_EXACT


def digits_of(value: Fraction, digits: int = SHOWN_DIGITS) -> tuple[str, str]:
    """Return the digits before and behind the decimal sign of an unsigned value, unmarked.

    Exact where ``is_exact``; else to ``digits`` significant digits, ties up, the part before the decimal
    sign always whole. No trailing zero either way.
    """
    places = decimal_places(value) if is_exact(value) else _places_shown(value, digits)
    assert places is not None
    shifted = (2 * value.numerator * 10**places + value.denominator) // (2 * value.denominator)
    text = str(shifted).rjust(places + 1, "0")
    whole, behind = text[: len(text) - places], text[len(text) - places :]
    return whole, behind.rstrip("0")


def _places_shown(value: Fraction, digits: int) -> int:
    """Return how many decimals give ``digits`` significant digits; none once the whole part has them."""
    whole = value.numerator // value.denominator
    if whole:
        return max(digits - len(str(whole)), 0)
    zeros = len(str(value.denominator // value.numerator)) - 1
    return zeros + digits


def number(value: Fraction | Decimal | int, language: str = "en", digits: int = SHOWN_DIGITS) -> str:
    """Return a bare number in safe writing. Raises ``ValueError`` for an unknown language."""
    exact_value = Fraction(value)
    whole, behind = digits_of(abs(exact_value), digits)
    about = "" if is_exact(exact_value) else f"{ROUNDED_SIGN} "
    sign = "-" if exact_value < 0 else ""
    grouped = f"{int(whole):,}".replace(",", _GROUP[checked(language)])
    return f"{about}{sign}{grouped}{_POINT[language]}{behind}" if behind else f"{about}{sign}{grouped}"


def is_plural(value: Fraction, language: str) -> bool:
    """Say whether the language puts what is counted in the plural: English but for 1, French from 2 on."""
    return abs(value) != 1 if language == "en" else abs(value) >= 2


@lru_cache(maxsize=512)
def unit_text(unit: str, language: str = "en", *, plural: bool = True) -> str:
    """Return a unit code in safe writing: ``mg/mL``, ``units``, ``unités/mL``. Raises ``UnknownUnit``."""
    names = NAMES[checked(language)]
    first, *others = unit.split("/")
    if any(part not in names for part in others) or (first not in names and first != "1"):
        raise UnknownUnit(unit)
    head = "" if first == "1" else names[first].symbol_many if plural else names[first].symbol_one
    return "/".join([head, *(names[part].symbol_one for part in others)])


def write(measure: Measure, language: str = "en", digits: int = SHOWN_DIGITS) -> str:
    """Return a measure in safe writing: ``0.5 mg``, ``20,000 units``, ``1,5 mL`` in French.

    ``digits`` is how many significant digits stand for a value that cannot be written exactly; such a
    text begins with ``≈``. Raises ``UnknownUnit`` and ``ValueError`` (unknown language).
    """
    top, bottom = measure.value.as_integer_ratio()
    return _written(top, bottom, measure.unit, language, digits)


@lru_cache(maxsize=8192)
def _written(top: int, bottom: int, unit: str, language: str, digits: int) -> str:
    """Return ``top / bottom`` of a unit; a screen writes the same few figures again and again."""
    value = Fraction(top, bottom)
    name = unit_text(unit, language, plural=is_plural(value, language))
    gap = _PERCENT_GAP[language] if unit == "%" else " "
    return f"{number(value, language, digits)}{gap}{name}".rstrip()
