"""Quantities in words, for reading back: "one point five millilitres", "un virgule cinq millilitre".

Digits behind the decimal sign are said one by one, so that 1.05 and 1.5 cannot sound alike. Spelling of
number words is general language (British English; French with the traditional hyphens).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from kiosk.core.notation.unit_names import NAMES, UnitName
from kiosk.core.notation.writing import checked, digits_of, is_exact, is_plural
from kiosk.core.units import Measure, UnknownUnit

_EN_WORDS: Final = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
    " seventeen eighteen nineteen"
)
_FR_WORDS: Final = (
    "zéro un deux trois quatre cinq six sept huit neuf dix onze douze treize quatorze quinze seize"
    " dix-sept dix-huit dix-neuf"
)
_EN_SMALL: Final = tuple(_EN_WORDS.split())
_FR_SMALL: Final = tuple(_FR_WORDS.split())
_EN_TENS: Final = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_FR_TENS: Final = {2: "vingt", 3: "trente", 4: "quarante", 5: "cinquante", 6: "soixante"}
_POINT: Final = {"en": "point", "fr": "virgule"}
_ABOUT: Final = {"en": "about", "fr": "environ"}
_PER: Final = {"en": "per", "fr": "par"}
_MILLION: Final = 1_000_000


def in_words(measure: Measure, language: str = "en") -> str:
    """Return a measure as it is said aloud. Raises ``UnknownUnit`` and ``ValueError`` (language)."""
    names = NAMES[checked(language)]
    first, *others = measure.unit.split("/")
    if any(part not in names for part in (first, *others)):
        raise UnknownUnit(measure.unit)
    counted = _counted(abs(measure.value), names[first], language)
    return f" {_PER[language]} ".join([counted, *(names[part].word_one for part in others)])


def whole_in_words(value: int, language: str = "en") -> str:
    """Return a whole number of things as it is said aloud. Raises ``ValueError`` (language)."""
    checked(language)
    return _whole(value, language, feminine=False)


def _counted(value: Fraction, unit: UnitName, language: str) -> str:
    """Return an unsigned number of a unit in words."""
    whole, behind = digits_of(value)
    said = [] if is_exact(value) else [_ABOUT[language]]
    said.append(_whole(int(whole), language, feminine=unit.feminine))
    if behind:
        said += [_POINT[language], *_said_digits(behind, language)]
    said.append(_after(int(whole), behind, unit, is_plural(value, language), language))
    return " ".join(said)


def _said_digits(digits: str, language: str) -> list[str]:
    """Return each digit as a word."""
    small = _EN_SMALL if language == "en" else _FR_SMALL
    return [small[int(digit)] for digit in digits]


def _after(whole: int, behind: str, unit: UnitName, plural: bool, language: str) -> str:
    """Return the unit's word; French says "un million d'unités", "deux millions de milligrammes"."""
    word = unit.word_many if plural else unit.word_one
    if language == "en" or behind or not whole or whole % _MILLION:
        return word
    return f"d'{word}" if word[0] in "aeiouéh" else f"de {word}"


def _whole(value: int, language: str, *, feminine: bool) -> str:
    """Return a whole number in words."""
    return _english(value) if language == "en" else _french(value, feminine=feminine)


def _english(value: int) -> str:
    """Return a whole number in English: "one thousand two hundred and fifty"."""
    for size, word in ((_MILLION, "million"), (1000, "thousand")):
        if value >= size:
            more, rest = divmod(value, size)
            return f"{_english(more)} {word}" + _english_rest(rest)
    if value >= 100:
        return f"{_EN_SMALL[value // 100]} hundred" + _english_rest(value % 100)
    if value < 20:
        return _EN_SMALL[value]
    tens, ones = divmod(value, 10)
    return _EN_TENS[tens] + (f"-{_EN_SMALL[ones]}" if ones else "")


def _english_rest(rest: int) -> str:
    """Return what follows a hundred, thousand or million; an "and" before the last two digits alone."""
    if not rest:
        return ""
    return f" and {_english(rest)}" if rest < 100 else f" {_english(rest)}"


def _french(value: int, *, feminine: bool = False, last: bool = True) -> str:
    """Return a whole number in French. ``last``: nothing that takes away the plural s follows."""
    if value >= _MILLION:
        more, rest = divmod(value, _MILLION)
        head = f"{_french(more)} million" + ("s" if more > 1 else "")
        return f"{head} {_french(rest, feminine=feminine)}" if rest else head
    if value >= 1000:
        more, rest = divmod(value, 1000)
        head = "mille" if more == 1 else f"{_french(more, last=False)} mille"
        return f"{head} {_french(rest, feminine=feminine, last=last)}" if rest else head
    if value >= 100:
        return _french_hundreds(value, feminine=feminine, last=last)
    return _french_tens(value, feminine=feminine, last=last)


def _french_hundreds(value: int, *, feminine: bool, last: bool) -> str:
    """Return 100 to 999: "cent", "deux cents", "deux cent un"."""
    hundreds, rest = divmod(value, 100)
    head = "cent" if hundreds == 1 else f"{_FR_SMALL[hundreds]} cent"
    if rest:
        return f"{head} {_french_tens(rest, feminine=feminine, last=last)}"
    return f"{head}s" if hundreds > 1 and last else head


def _french_tens(value: int, *, feminine: bool, last: bool) -> str:
    """Return 0 to 99: "vingt et un", "soixante et onze", "quatre-vingts", "quatre-vingt-onze"."""
    if value < 20:
        return "une" if value == 1 and feminine else _FR_SMALL[value]
    if value >= 80:
        if value == 80:
            return "quatre-vingts" if last else "quatre-vingt"
        return f"quatre-vingt-{_french_tens(value - 80, feminine=feminine, last=last)}"
    tens = 6 if value >= 60 else value // 10
    rest = value - 10 * tens
    if not rest:
        return _FR_TENS[tens]
    small = _french_tens(rest, feminine=feminine, last=last)
    return f"{_FR_TENS[tens]} et {small}" if rest in (1, 11) else f"{_FR_TENS[tens]}-{small}"
