"""Dilutions. Expected figures are published answers or hand arithmetic, as marked."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.dilution import (
    Dilution,
    dilution_to,
    share_drawn,
    strength_after_adding,
    strength_after_making_up,
)
from kiosk.core.dose.plan import RecipeStep
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.things import m

positive = st.builds(Fraction, st.integers(1, 10**4), st.integers(1, 10**3))


def code(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    return answer.code


def test_adding_to_and_making_up_to_are_two_strengths() -> None:
    # Nursing discussion of morphine wording: 10 mg in 1 mL "with" 10 mL, "to" 10 mL
    assert strength_after_adding(m("10 mg/mL"), m("1 mL"), m("10 mL")) == Measure(Fraction(10, 11), "mg/mL")
    assert strength_after_making_up(m("10 mg/mL"), m("1 mL"), m("10 mL")) == m("1 mg/mL")
    assert strength_after_adding(m("10 mg/mL"), m("1 mL"), m("9 mL")) == m("1 mg/mL")


@pytest.mark.parametrize(
    ("stock", "wanted", "volume", "drawn", "diluent", "source"),
    [
        (
            "200 mg/mL",
            "80 mg/mL",
            "4 mL",
            "1.6 mL",
            "2.4 mL",
            "Respiratory pharmacology set: 20 % to 8 %, 4 mL",
        ),
        ("10 mg/mL", "1 mg/mL", "10 mL", "1 mL", "9 mL", "Nursing discussion of morphine wording"),
        ("1 mg/mL", "100 mcg/mL", "10 mL", "1 mL", "9 mL", "hand: a tenth"),
        ("10 mg/mL", "10 mg/mL", "10 mL", "10 mL", "0 mL", "hand: nothing to dilute"),
        ("100 units/mL", "1 units/mL", "0.05 L", "0.5 mL", "49.5 mL", "hand: a hundredth of 50 mL"),
    ],
)
def test_so_much_stock_makes_so_much_of_a_strength(
    stock: str, wanted: str, volume: str, drawn: str, diluent: str, source: str
) -> None:
    made = dilution_to(m(stock), m(wanted), m(volume), "stock", "saline")
    assert isinstance(made, Dilution), source
    assert (made.stock, made.diluent) == (m(drawn), m(diluent)), source
    assert made.strength.same(m(wanted))
    assert made.recipe == (
        RecipeStep("draw_stock", m(drawn), "stock"),
        RecipeStep("make_up_to", m(volume).to("mL"), "saline", made.strength, m(volume).to("mL")),
    )
    assert share_drawn(made) == 1


@given(positive, positive, positive)
def test_no_drug_is_lost_or_made_by_diluting(stock: Fraction, share: Fraction, volume: Fraction) -> None:
    strong = Measure(stock, "mg/mL")
    weak = strong.scaled(share / (share + 1))
    made = dilution_to(strong, weak, Measure(volume, "mL"))
    assert isinstance(made, Dilution)
    assert made.stock.times(strong, "mg") == made.volume.times(made.strength, "mg")
    assert made.stock + made.diluent == made.volume
    assert strength_after_adding(strong, made.stock, made.diluent) == weak


@pytest.mark.parametrize(
    ("answer", "wanted"),
    [
        (strength_after_making_up(m("10 mg/mL"), m("2 mL"), m("1 mL")), "made_up_to_too_little"),
        (strength_after_making_up(m("10 mg"), m("2 mL"), m("3 mL")), "dilution_not_understood"),
        (strength_after_making_up(m("0 mg/mL"), m("2 mL"), m("3 mL")), "dilution_not_understood"),
        (strength_after_making_up(m("10 mg/mL"), m("2 mg"), m("3 mL")), "dilution_not_understood"),
        (strength_after_adding(m("10 mg/mL"), m("2 mL"), m("0 mL")), "dilution_not_understood"),
        (strength_after_adding(m("10 mg/mL"), m("-2 mL"), m("5 mL")), "dilution_not_understood"),
        (strength_after_adding(m("10 mL/mL"), m("2 mL"), m("5 mL")), "dilution_not_understood"),
        (dilution_to(m("1 mg/mL"), m("2 mg/mL"), m("5 mL")), "stock_too_weak"),
        (dilution_to(m("1 mg/mL"), m("1 units/mL"), m("5 mL")), "dilution_not_understood"),
        (dilution_to(m("1 mg/mL"), m("0.5 mg/mL"), m("5 mg")), "dilution_not_understood"),
        (dilution_to(Measure(Fraction(1), "pinch/mL"), m("1 mg/mL"), m("5 mL")), "dilution_not_understood"),
    ],
)
def test_a_dilution_that_means_nothing_is_refused(answer: object, wanted: str) -> None:
    assert code(answer) == wanted
