"""Safe writing: Joint Commission "Do Not Use" list (zeros); ISMP list (space, groups, units); SI style."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.notation import number, unit_text, write
from kiosk.core.notation.unit_names import ENGLISH, FRENCH
from kiosk.core.notation.writing import is_exact
from kiosk.core.units import BASE_UNITS, Measure, UnknownUnit

GAP = "\u00a0"
values = st.builds(Fraction, st.integers(1, 10**9), st.integers(1, 10**6) | st.sampled_from([10, 100, 10**4]))
units = st.sampled_from(["mg", "mL", "units", "mcg", "nanogram", "mg/mL", "units/mL", "mg/kg/day", "m2"])


@pytest.mark.parametrize(
    ("value", "unit", "english", "french"),
    [
        ("0.5", "mg", "0.5 mg", "0,5 mg"),
        ("0.50", "mg", "0.5 mg", "0,5 mg"),
        ("5.0", "mg", "5 mg", "5 mg"),
        ("10", "mL", "10 mL", "10 mL"),
        ("999", "mg", "999 mg", "999 mg"),
        ("1000", "units", "1,000 units", f"1{GAP}000 unités"),
        ("20000", "units", "20,000 units", f"20{GAP}000 unités"),
        ("1234567.25", "units", "1,234,567.25 units", f"1{GAP}234{GAP}567,25 unités"),
        ("1", "units", "1 unit", "1 unité"),
        ("0.5", "units", "0.5 units", "0,5 unité"),
        ("1.5", "units", "1.5 units", "1,5 unité"),
        ("2", "units", "2 units", "2 unités"),
        ("100", "units/mL", "100 units/mL", "100 unités/mL"),
        ("7", "mg/kg/day", "7 mg/kg/day", "7 mg/kg/jour"),
        ("400", "mcg", "400 mcg", "400 mcg"),
        ("5", "nanogram", "5 nanograms", "5 nanogrammes"),
        ("1.73", "m2", "1.73 m²", "1,73 m²"),
        ("0.9", "%", "0.9%", "0,9 %"),
        ("28", "day", "28 days", "28 jours"),
        ("0", "mL", "0 mL", "0 mL"),
        ("-0.25", "mL", "-0.25 mL", "-0,25 mL"),
        ("0.00000045", "mg", "0.00000045 mg", "0,00000045 mg"),
    ],
)
def test_a_quantity_is_written_the_safe_way(value: str, unit: str, english: str, french: str) -> None:
    assert write(Measure.of(value, unit)) == english
    assert write(Measure.of(value, unit), "fr") == french


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        ("4/3", 6, "≈ 1.33333"),
        ("4/3", 3, "≈ 1.33"),
        ("2/3", 4, "≈ 0.6667"),
        ("1/3000", 3, "≈ 0.000333"),
        ("200/3", 3, "≈ 66.7"),
        ("2000000/3", 3, "≈ 666,667"),
        ("-1/3", 2, "≈ -0.33"),
        ("2999/3000", 3, "≈ 1"),
        ("8.61825503", 6, "8.61825503"),
        ("69.989302691", 6, "≈ 69.9893"),
    ],
)
def test_what_cannot_be_written_exactly_is_cut_and_says_so(value: str, digits: int, text: str) -> None:
    assert number(Fraction(value), "en", digits) == text


def test_whole_numbers_are_never_cut() -> None:
    assert number(123456789012345) == "123,456,789,012,345"


def test_a_number_may_come_as_any_exact_kind() -> None:
    assert number(Decimal("1.50")) == number(Fraction(3, 2)) == "1.5"


def test_a_language_or_unit_the_kiosk_does_not_know_is_a_bug() -> None:
    with pytest.raises(ValueError, match="language"):
        write(Measure.of(1, "mg"), "de")
    with pytest.raises(UnknownUnit):
        write(Measure(Fraction(1), "IU"))
    with pytest.raises(UnknownUnit):
        unit_text("mg/IU")


def test_every_unit_has_a_name_in_every_language() -> None:
    assert ENGLISH.keys() == FRENCH.keys() == BASE_UNITS.keys()


def test_no_symbol_stands_on_the_error_prone_lists() -> None:
    unsafe = {"U", "u", "IU", "UI", "µg", "ug", "cc", "ml", "ng", "gr", "l"}
    for names in (ENGLISH, FRENCH):
        assert not unsafe & {name.symbol_one for name in names.values()}
        assert not unsafe & {name.symbol_many for name in names.values()}


def read_back(text: str, language: str) -> Fraction:
    """Read our own notation, by its definition alone."""
    figure = text.removeprefix("≈ ")
    if language == "fr":
        return Fraction(figure.replace(GAP, "").replace(",", "."))
    return Fraction(figure.replace(",", ""))


@given(values, st.sampled_from(["en", "fr"]))
def test_what_is_written_reads_back_as_what_was_meant(value: Fraction, language: str) -> None:
    text = number(value, language)
    if is_exact(value):
        assert read_back(text, language) == value
    else:
        assert text.startswith("≈ ")
        assert abs(read_back(text, language) / value - 1) <= Fraction(1, 2 * 10**5)


@given(values, units, st.sampled_from(["en", "fr"]))
def test_no_unsafe_form_is_ever_written(value: Fraction, unit: str, language: str) -> None:
    text = write(Measure(value, unit), language)
    point = "," if language == "fr" else "."
    figure, unit_part = text.removeprefix("≈ ").split(" ", 1)
    assert figure[0].isdigit()  # no naked decimal
    assert not (point in figure and figure.endswith("0"))  # no trailing zero
    assert not figure.endswith(point)
    assert not re.search(r"\d{4}", figure.split(point)[0])  # grouped
    assert not unit_part[0].isdigit()
