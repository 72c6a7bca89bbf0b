"""A small dose made measurable by a simple dilution. Recipes are worked out by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.dilution import Dilution, share_drawn
from kiosk.core.dose.measurable import ROUND_STOCK, ROUND_TOTALS, Measurable, measurable_dilution
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.things import m

FINE = Measurable(m("0.1 mL"), m("0.01 mL"), m("20 mL"), None, "adrenaline", "sodium chloride 0.9%")


def found(dose: str, stock: str, limits: Measurable = FINE) -> Dilution:
    made = measurable_dilution(m(dose), m(stock), limits)
    assert isinstance(made, Dilution), made
    return made


def test_a_hundredth_of_a_millilitre_becomes_a_tenth() -> None:
    # hand: 10 mcg of 1 mg/mL is 0.01 mL; 1 mL of it made up to 10 is 100 mcg/mL, so 0.1 mL
    made = found("10 mcg", "1 mg/mL")
    assert made.draw is not None
    assert made.draw >= m("0.1 mL")
    assert made.strength.times(made.draw, "mcg") == m("10 mcg")
    assert [step.does for step in made.recipe] == ["draw_stock", "make_up_to", "draw_dose"]
    assert (made.recipe[0].what, made.recipe[1].what) == ("adrenaline", "sodium chloride 0.9%")
    assert made.recipe[1].gives_strength == made.strength
    assert made.recipe[2].volume == made.draw


def test_the_simplest_strength_and_the_least_waste_are_taken() -> None:
    # hand: 50 mcg of 10 mg/mL is 0.005 mL. 0.1 mL made up to 1 mL is 1 mg/mL, so 0.05 mL: too little to
    # measure. Made up to 2 mL it is 0.5 mg/mL, so 0.1 mL: one digit, and the smallest mixture that will do.
    made = found("50 mcg", "10 mg/mL")
    assert (made.stock, made.volume, made.strength, made.draw) == (
        m("0.1 mL"), m("2 mL"), m("0.5 mg/mL"), m("0.1 mL")
    )  # fmt: skip
    assert share_drawn(made) == Fraction(1, 20)


def test_two_steps_only_when_one_will_not_do() -> None:
    # hand: 1 mcg of 10 mg/mL is 0.0001 mL: the weakest single mixture (0.1 in 20) is 50 mcg/mL, so 0.02 mL
    made = found("1 mcg", "10 mg/mL")
    assert [step.does for step in made.recipe] == [
        "draw_stock", "make_up_to", "draw_mixture", "make_up_to", "draw_dose"
    ]  # fmt: skip
    assert made.draw is not None
    assert made.draw >= FINE.least
    assert made.strength.times(made.draw, "mcg") == m("1 mcg")


def test_no_more_stock_is_asked_for_than_there_is() -> None:
    little = Measurable(m("0.1 mL"), m("0.1 mL"), m("20 mL"), m("0.3 mL"))
    assert found("1 mg", "100 mg/mL", little).stock <= m("0.3 mL")


@pytest.mark.parametrize(
    ("dose", "stock", "limits", "code"),
    [
        ("1 nanogram", "100 mg/mL", FINE, "no_dilution_found"),
        ("1 mg", "100 mg/mL", Measurable(m("30 mL"), m("1 mL"), m("20 mL")), "no_dilution_found"),
        ("5 g", "1 mg/mL", FINE, "no_dilution_found"),
        ("0 mg", "1 mg/mL", FINE, "dilution_not_understood"),
        ("1 units", "1 mg/mL", FINE, "dilution_not_understood"),
        ("1 mL", "1 mg/mL", FINE, "dilution_not_understood"),
        ("1 mg", "1 mg", FINE, "dilution_not_understood"),
        ("1 mg", "1 mg/mL", Measurable(m("0 mL"), m("0.1 mL"), m("20 mL")), "dilution_not_understood"),
        ("1 mg", "1 mg/mL", Measurable(m("0.1 mL"), m("0.1 mg"), m("20 mL")), "dilution_not_understood"),
    ],
)
def test_what_no_simple_dilution_does_is_refused(
    dose: str, stock: str, limits: Measurable, code: str
) -> None:
    answer = measurable_dilution(m(dose), m(stock), limits)
    assert isinstance(answer, Refusal)
    assert answer.code == code


@given(st.integers(1, 999), st.sampled_from(["nanogram", "mcg", "mg"]), st.integers(1, 200))
def test_whatever_is_found_can_be_measured_and_carries_the_dose(size: int, unit: str, strength: int) -> None:
    dose, stock = Measure(Fraction(size), unit), Measure(Fraction(strength), "mg/mL")
    made = measurable_dilution(dose, stock, FINE)
    if isinstance(made, Refusal):
        assert made.code == "no_dilution_found"
        return
    drawn = [step.volume for step in made.recipe]
    assert all(volume is not None and volume >= FINE.least for volume in drawn)
    assert {step.volume for step in made.recipe if step.does in ("draw_stock", "draw_mixture")} <= set(
        ROUND_STOCK
    )
    assert {step.volume for step in made.recipe if step.does == "make_up_to"} <= set(ROUND_TOTALS)
    assert made.draw is not None
    assert made.draw <= made.volume <= FINE.most
    assert made.strength.times(made.draw, unit) == dose
    strengths = [step.gives_strength for step in made.recipe if step.gives_strength]
    assert strengths == sorted(strengths, key=lambda each: -each.value)
