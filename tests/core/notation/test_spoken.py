"""Quantities in words. The words are general language (British English, French), written out by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.notation import in_words
from kiosk.core.notation.spoken import _french
from kiosk.core.units import BASE_UNITS, Measure, UnknownUnit


@pytest.mark.parametrize(
    ("value", "unit", "english", "french"),
    [
        ("1.5", "mL", "one point five millilitres", "un virgule cinq millilitre"),
        ("1", "mL", "one millilitre", "un millilitre"),
        ("0.05", "mL", "zero point zero five millilitres", "zéro virgule zéro cinq millilitre"),
        ("2.25", "mL", "two point two five millilitres", "deux virgule deux cinq millilitres"),
        ("1", "units", "one unit", "une unité"),
        ("1.5", "units", "one point five units", "une virgule cinq unité"),
        ("21", "units", "twenty-one units", "vingt et une unités"),
        ("21", "mg", "twenty-one milligrams", "vingt et un milligrammes"),
        ("71", "mg", "seventy-one milligrams", "soixante et onze milligrammes"),
        ("80", "mg", "eighty milligrams", "quatre-vingts milligrammes"),
        ("81", "units", "eighty-one units", "quatre-vingt-une unités"),
        ("96", "mg", "ninety-six milligrams", "quatre-vingt-seize milligrammes"),
        ("100", "mg", "one hundred milligrams", "cent milligrammes"),
        ("101", "mg", "one hundred and one milligrams", "cent un milligrammes"),
        ("200", "mg", "two hundred milligrams", "deux cents milligrammes"),
        ("250", "mg", "two hundred and fifty milligrams", "deux cent cinquante milligrammes"),
        ("1000", "mg", "one thousand milligrams", "mille milligrammes"),
        ("1250", "mg", "one thousand two hundred and fifty milligrams",
         "mille deux cent cinquante milligrammes"),
        ("5000", "units", "five thousand units", "cinq mille unités"),
        ("80000", "units", "eighty thousand units", "quatre-vingt mille unités"),
        ("200000", "units", "two hundred thousand units", "deux cent mille unités"),
        ("1000000", "units", "one million units", "un million d'unités"),
        ("2000000", "mg", "two million milligrams", "deux millions de milligrammes"),
        ("1200000", "units", "one million two hundred thousand units", "un million deux cent mille unités"),
        ("40", "mmol", "forty millimoles", "quarante millimoles"),
        ("1", "mmol", "one millimole", "une millimole"),
        ("7", "mg/kg", "seven milligrams per kilogram", "sept milligrammes par kilogramme"),
        ("10", "%", "ten percent", "dix pour cent"),
        ("4/3", "mL", "about one point three three three three three millilitres",
         "environ un virgule trois trois trois trois trois millilitre"),
    ],
)  # fmt: skip
def test_a_quantity_is_said_as_it_is_read_aloud(value: str, unit: str, english: str, french: str) -> None:
    assert in_words(Measure.of(value, unit)) == english
    assert in_words(Measure.of(value, unit), "fr") == french


FRENCH_TO_100 = {
    11: "onze", 16: "seize", 17: "dix-sept", 20: "vingt", 22: "vingt-deux", 31: "trente et un",
    45: "quarante-cinq",
    59: "cinquante-neuf", 60: "soixante", 61: "soixante et un", 62: "soixante-deux", 70: "soixante-dix",
    72: "soixante-douze", 77: "soixante-dix-sept", 79: "soixante-dix-neuf", 82: "quatre-vingt-deux",
    90: "quatre-vingt-dix", 91: "quatre-vingt-onze", 97: "quatre-vingt-dix-sept", 99: "quatre-vingt-dix-neuf",
}  # fmt: skip


@pytest.mark.parametrize(("value", "words"), FRENCH_TO_100.items())
def test_french_tens_are_said_the_traditional_way(value: int, words: str) -> None:
    assert _french(value) == words


@given(st.integers(0, 10**9), st.integers(0, 10**9), st.sampled_from(["en", "fr"]))
def test_two_numbers_are_never_said_alike(one: int, other: int, language: str) -> None:
    said = in_words(Measure(Fraction(one), "mg"), language)
    assert (said == in_words(Measure(Fraction(other), "mg"), language)) == (one == other)


@given(st.integers(0, 999), st.integers(0, 999), st.sampled_from(["en", "fr"]))
def test_decimals_are_never_said_alike(one: int, other: int, language: str) -> None:
    said = in_words(Measure(Fraction(one, 100), "mL"), language)
    assert (said == in_words(Measure(Fraction(other, 100), "mL"), language)) == (one == other)


def test_every_unit_can_be_said() -> None:
    for code in BASE_UNITS:
        assert in_words(Measure.of(2, code)).startswith("two ")
        assert in_words(Measure.of(2, code), "fr").startswith("deux ")


def test_an_unknown_unit_or_language_is_a_bug() -> None:
    with pytest.raises(UnknownUnit):
        in_words(Measure(Fraction(1), "IU"))
    with pytest.raises(ValueError, match="language"):
        in_words(Measure.of(1, "mg"), "de")
