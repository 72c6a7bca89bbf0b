"""Unit algebra over stated bridges: pounds as a text has them, equivalents, potencies, percentages."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kiosk.core.dose.follow_units import Bridges, agree, combine, parts, plain, turn
from kiosk.core.units import Measure


def m(text: str) -> Measure:
    value, unit = text.split(" ")
    return Measure.of(value, unit)


SALT = Bridges((m("58.44 g/mol"), m("1 mEq/mmol")))
SULFATE = Bridges((m("246.47 g/mol"), m("2 mEq/mmol")))
POUNDS = Bridges((m("2.2 lb/kg"),))


def test_a_unit_comes_apart_into_above_and_below() -> None:
    assert parts("mg/kg/day") == (["mg"], ["kg", "day"])
    assert parts("1/day") == ([], ["day"])


def test_units_cancel_and_leave_their_own() -> None:
    assert combine([m("8 mg")], [m("10 mg/mL")]) == m("0.8 mL")
    assert combine([m("0.25 g")], [m("50 mg/mL")]) == m("5 mL")
    assert combine([m("15 mg/kg/day"), m("10 kg")], [m("3 1/day")]) == m("50 mg")


def test_the_pounds_of_the_text_are_used_where_they_are_stated_and_the_exact_ones_else() -> None:
    assert combine([m("2 mg/kg"), m("22 lb")], [], POUNDS) == m("20 mg")
    exact = combine([m("2 mg/kg"), m("22 lb")], [])
    assert exact is not None
    assert exact.value == 44 * Fraction("0.45359237")


def test_kilograms_of_a_body_and_milligrams_of_a_drug_stay_apart() -> None:
    assert combine([m("120 mg")], [m("16 kg")]) == Measure(Fraction(15, 2), "mg/kg")


def test_figures_that_do_not_belong_together_give_nothing() -> None:
    assert combine([m("8 mg")], [m("100 units/mL")]) is None
    assert combine([m("8 mg")], [m("0 mg/mL")]) is None
    assert combine([m("8 mg"), m("5 mL")], []) is None


def test_equivalents_cross_to_mass_by_valence_and_molar_mass() -> None:
    assert turn(m("58.44 mg"), "mEq", SALT) == m("1 mEq")
    assert turn(m("2 mEq"), "mg", SULFATE) == m("246.47 mg")
    assert turn(m("3 mEq/mL"), "%", SALT) == Measure(Fraction("17.532"), "%")
    assert turn(m("3 mEq/mL"), "%") is None


def test_a_bridge_is_crossed_only_when_something_is_left_over() -> None:
    """40.08 g/mol over 2 mEq/mmol is 20.04 mg/mEq, not a pure number by way of itself."""
    calcium = Bridges((m("40.08 g/mol"), m("2 mEq/mmol")))
    found = combine([m("40.08 g/mol")], [m("2 mEq/mmol")], calcium)
    assert found is not None
    assert turn(found, "mg/mEq", calcium) == Measure(Fraction("20.04"), "mg/mEq")


def test_a_potency_leads_both_ways() -> None:
    heparin = Bridges((m("100 units/mg"),))
    assert turn(m("5000 units"), "mg", heparin) == m("50 mg")
    assert turn(m("2 mg"), "units", heparin) == m("200 units")


def test_a_percentage_is_ten_milligrams_a_millilitre() -> None:
    assert plain(m("1 %")) == m("10 mg/mL")
    assert turn(m("9 mg/mL"), "%") == Measure(Fraction("0.9"), "%")
    assert combine([m("2 mL"), m("50 %")], []) == m("1000 mg")


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [("1 g", "1000 mg", 0), ("100 mg", "95 mg", Fraction(1, 20)), ("0 mg", "0 g", 0), ("1 mg", "1 mL", None)],
)
def test_how_far_two_measures_are_apart(one: str, other: str, apart: Fraction | None) -> None:
    assert agree(m(one), m(other)) == apart
