"""How each unit is written and spoken, in every language of the kiosk.

``mcg`` stands for the microgram because the micro sign is misread as m; ``units`` is never shortened
because U is read as 0 or 4; the nanogram and the microlitre are written out because ng and µL are
misread (error-prone lists, see ``resources/tables/unsafe_forms.csv``).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

LANGUAGES: Final = ("en", "fr")


@dataclass(frozen=True, slots=True)
class UnitName:
    """``symbol`` stands behind a number, ``word`` is spoken; ``one`` and ``many`` are its two numbers.

    ``feminine`` is the grammatical gender, where the language has one.
    """

    symbol_one: str
    symbol_many: str
    word_one: str
    word_many: str
    feminine: bool = False


def _same(symbol: str, word: str, many: str = "", *, feminine: bool = False) -> UnitName:
    """Return a unit whose symbol never changes: ``mg``."""
    return UnitName(symbol, symbol, word, many or f"{word}s", feminine)


def _out(word: str, many: str = "", *, feminine: bool = False) -> UnitName:
    """Return a unit that is written out: ``1 unit``, ``5 units``."""
    plural = many or f"{word}s"
    return UnitName(word, plural, word, plural, feminine)


ENGLISH: Final[dict[str, UnitName]] = {
    "g": _same("g", "gram"),
    "kg": _same("kg", "kilogram"),
    "mg": _same("mg", "milligram"),
    "mcg": _same("mcg", "microgram"),
    "nanogram": _out("nanogram"),
    "lb": _same("lb", "pound"),
    "oz": _same("oz", "ounce"),
    "L": _same("L", "litre"),
    "mL": _same("mL", "millilitre"),
    "microlitre": _out("microlitre"),
    "units": _out("unit"),
    "mmol": _same("mmol", "millimole"),
    "mol": _same("mol", "mole"),
    "mEq": _same("mEq", "milliequivalent"),
    "day": _out("day"),
    "h": _same("h", "hour"),
    "min": _same("min", "minute"),
    "s": _same("s", "second"),
    "week": _out("week"),
    "m2": _same("m²", "square metre"),
    "mm": _same("mm", "millimetre"),
    "cm": _same("cm", "centimetre"),
    "m": _same("m", "metre"),
    "in": _out("inch", "inches"),
    "dose": _out("dose"),
    "month": _out("month"),
    "drop": _out("drop"),
    "grain": _out("grain"),
    "%": _same("%", "percent", "percent"),
}
FRENCH: Final[dict[str, UnitName]] = {
    "g": _same("g", "gramme"),
    "kg": _same("kg", "kilogramme"),
    "mg": _same("mg", "milligramme"),
    "mcg": _same("mcg", "microgramme"),
    "nanogram": _out("nanogramme"),
    "lb": _same("lb", "livre", feminine=True),
    "oz": _same("oz", "once", feminine=True),
    "L": _same("L", "litre"),
    "mL": _same("mL", "millilitre"),
    "microlitre": _out("microlitre"),
    "units": _out("unité", feminine=True),
    "mmol": _same("mmol", "millimole", feminine=True),
    "mol": _same("mol", "mole", feminine=True),
    "mEq": _same("mEq", "milliéquivalent"),
    "day": _out("jour"),
    "h": _same("h", "heure", feminine=True),
    "min": _same("min", "minute", feminine=True),
    "s": _same("s", "seconde", feminine=True),
    "week": _out("semaine", feminine=True),
    "m2": _same("m²", "mètre carré", "mètres carrés"),
    "mm": _same("mm", "millimètre"),
    "cm": _same("cm", "centimètre"),
    "m": _same("m", "mètre"),
    "in": _out("pouce"),
    "dose": _out("dose", feminine=True),
    "month": _out("mois", "mois"),
    "drop": _out("goutte", feminine=True),
    "grain": _out("grain"),
    "%": _same("%", "pour cent", "pour cent"),
}
NAMES: Final[dict[str, dict[str, UnitName]]] = {"en": ENGLISH, "fr": FRENCH}
