"""Measures: exact, closed to the trade's units, and never a float.

Conversions are checked against the SI Brochure (9th edition: prefixes, the litre), the international
yard and pound agreement of 1959 (pound 0.45359237 kg, inch 25.4 mm, both exact) and UCUM through a
general-purpose library (tests/outside/test_units_against_ucum.py).
"""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core import units
from kiosk.core.units import BASE_UNITS, Measure, UnknownUnit, WrongKind, exact, factor, same_kind

fractions = st.fractions(min_value=Fraction(1, 10**6), max_value=10**9, max_denominator=10**6)
MASSES = ("kg", "g", "mg", "mcg", "nanogram", "lb", "oz")


@pytest.mark.parametrize(
    ("unit", "to", "times"),
    [
        ("g", "mg", "1000"),
        ("mg", "mcg", "1000"),
        ("mcg", "nanogram", "1000"),
        ("kg", "g", "1000"),
        ("lb", "kg", "0.45359237"),
        ("lb", "oz", "16"),
        ("oz", "g", "28.349523125"),
        ("L", "mL", "1000"),
        ("mL", "microlitre", "1000"),
        ("mol", "mmol", "1000"),
        ("in", "cm", "2.54"),
        ("m", "cm", "100"),
        ("week", "day", "7"),
        ("day", "h", "24"),
        ("h", "min", "60"),
        ("min", "s", "60"),
        ("%", "mg/mL", "10"),
        ("g/L", "mg/mL", "1"),
        ("mg/lb", "mg/kg", "100000000/45359237"),
        ("mcg/kg/min", "mg/kg/h", "0.06"),
        ("g/mol", "mg/mmol", "1"),
    ],
)
def test_one_unit_is_so_many_of_another(unit: str, to: str, times: str) -> None:
    assert factor(unit, to) == Fraction(times)
    assert factor(to, unit) == 1 / Fraction(times)


@pytest.mark.parametrize(
    ("unit", "other"),
    [("units", "mg"), ("units", "mmol"), ("mmol", "mEq"), ("mg", "mL"), ("mmol", "mg"), ("units", "mEq"),
     ("m2", "m"), ("mg/mL", "mg"), ("mg/m2", "mg/kg"), ("dose", "day")],
)  # fmt: skip
def test_kinds_that_no_conversion_joins(unit: str, other: str) -> None:
    assert not same_kind(unit, other)
    with pytest.raises(WrongKind):
        Measure.of(1, unit).to(other)


@pytest.mark.parametrize(
    "unit", ["U", "IU", "ug", "ml", "cc", "milligram", "", "mg/", "mg/IU", "mg/1", "mL*2"]
)
def test_a_code_outside_the_closed_list_is_refused(unit: str) -> None:
    assert not units.known_unit(unit)
    with pytest.raises(UnknownUnit):
        Measure.of(1, unit)


def test_every_code_of_the_list_is_known_to_the_registry() -> None:
    for code in BASE_UNITS:
        assert factor(code, code) == 1
        assert same_kind(code, code)


@pytest.mark.parametrize("value", [0.1, float("nan"), True, None, b"1"])
def test_floats_and_other_things_are_no_exact_numbers(value: object) -> None:
    with pytest.raises(TypeError):
        exact(value)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "text",
    ["", " 1", "1 ", "1,5", "1_000", "NaN", "Infinity", "0x1", "1/0", "1/", "/2", "٣", "1.", "1e9999", "--1"],
)
def test_texts_that_are_no_plain_number_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="number"):
        exact(text)


@pytest.mark.parametrize("value", [Decimal("NaN"), Decimal("Infinity"), Decimal("sNaN")])
def test_decimals_that_are_no_number_are_refused(value: Decimal) -> None:
    with pytest.raises(ValueError, match="finite"):
        exact(value)


def test_a_measure_holds_nothing_but_a_fraction() -> None:
    with pytest.raises(TypeError):
        Measure(0.5, "mg")  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        Measure.of(1, "mg").scaled(0.5)  # type: ignore[arg-type]


def test_measures_are_equal_as_written_and_the_same_as_meant() -> None:
    gram, milligrams = Measure.of(1, "g"), Measure.of(1000, "mg")
    assert gram != milligrams
    assert gram.same(milligrams)
    assert Measure.of("0.50", "mg") == Measure.of("1/2", "mg")


def test_arithmetic_stays_in_the_unit_of_the_first() -> None:
    assert Measure.of(1, "g") + Measure.of(500, "mg") == Measure.of("1.5", "g")
    assert Measure.of(1, "g") - Measure.of(500, "mg") == Measure.of("0.5", "g")
    assert -Measure.of(1, "g") == Measure.of(-1, "g")
    assert abs(Measure.of(-1, "g")) == Measure.of(1, "g")
    assert Measure.of(1, "g").ratio(Measure.of(250, "mg")) == 4
    assert Measure.of(999, "mg") < Measure.of(1, "g") <= Measure.of(1000, "mg")
    assert Measure.of(1001, "mg") > Measure.of(1, "g") >= Measure.of(1000, "mg")


def test_a_product_and_a_quotient_must_give_the_unit_asked_for() -> None:
    assert Measure.of(20, "mg/kg").times(Measure.of(10, "kg"), "mg") == Measure.of(200, "mg")
    assert Measure.of("0.5", "mg/lb").times(Measure.of(40, "lb"), "mg") == Measure.of(20, "mg")
    assert Measure.of(250, "mg").over(Measure.of(100, "mg/mL"), "mL") == Measure.of("2.5", "mL")
    assert Measure.of(1, "g").over(Measure.of(10, "mL"), "mg/mL") == Measure.of(100, "mg/mL")
    with pytest.raises(WrongKind):
        Measure.of(250, "units").over(Measure.of(100, "mg/mL"), "mL")
    with pytest.raises(WrongKind):
        Measure.of(20, "mg/kg").times(Measure.of(10, "m2"), "mg")
    with pytest.raises(ZeroDivisionError):
        Measure.of(250, "mg").over(Measure.of(0, "mg/mL"), "mL")


@given(fractions, st.sampled_from(MASSES), st.sampled_from(MASSES))
def test_there_and_back_is_where_it_was(value: Fraction, unit: str, other: str) -> None:
    measure = Measure(value, unit)
    assert measure.to(other).to(unit) == measure
    assert measure.to(other).same(measure)


@given(fractions, fractions, st.sampled_from(MASSES), st.sampled_from(MASSES))
def test_a_quotient_does_not_depend_on_the_units_it_is_taken_in(
    dose: Fraction, strength: Fraction, unit: str, other: str
) -> None:
    wanted, had = Measure(dose, unit), Measure(strength, f"{other}/mL")
    volume = wanted.over(had, "mL")
    assert volume == wanted.to("mcg").over(had.to("mcg/mL"), "mL")
    assert volume.times(had, unit) == wanted


@given(fractions)
def test_a_decimal_is_exact_whenever_there_is_one(value: Fraction) -> None:
    shown = Measure(value, "mg").decimal
    places = units.decimal_places(value)
    if places is None:
        assert abs(Fraction(shown) - value) <= value / 10**27
    else:
        assert Fraction(shown) == value
        assert -shown.as_tuple().exponent == places  # type: ignore[operator]


def test_a_long_decimal_is_exact_whatever_the_thread_rounds_to() -> None:
    with localcontext(prec=3):
        assert Measure.of("-123456.789012345678901234567890123", "mg").decimal == Decimal(
            "-123456.789012345678901234567890123"
        )
        assert len(Measure.of("1/3", "mg").decimal.as_tuple().digits) == 28


@pytest.mark.parametrize(
    ("value", "places"), [("1", 0), ("1/2", 1), ("1/8", 3), ("3/50", 2), ("1/3", None), ("7/14", 1)]
)
def test_decimal_places_count_what_writing_takes(value: str, places: int | None) -> None:
    assert units.decimal_places(Fraction(value)) == places


def test_pint_is_not_imported_until_a_conversion_asks_for_it() -> None:
    program = (
        "import sys; from kiosk.core.units import Measure, warm;"
        "Measure.of('1.5', 'mg') + Measure.of(1, 'mg'); assert 'pint' not in sys.modules;"
        "warm(); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-W", "error", "-c", program], check=True)


def test_threads_share_one_registry_and_its_answers() -> None:
    codes = [f"{mass}/{volume}" for mass in MASSES for volume in ("mL", "L", "microlitre")]
    pairs = [(one, other) for one in codes for other in codes] * 2
    units._pint_unit.cache_clear()
    units._built.cache_clear()
    factor.cache_clear()
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda pair: factor(*pair), pairs))
    assert found == [factor(*pair) for pair in pairs]
    assert units.registry() is units.registry()
