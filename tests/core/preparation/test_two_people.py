"""The two-person rule: distinct people, own readings, the same facts, all right."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.preparation import events as e
from kiosk.core.preparation.state import Preparation
from kiosk.core.preparation.two_people import (
    MATTERS,
    Checked,
    Reference,
    checked,
    container_value,
    differing,
    facts_digest,
    figure_agrees,
    measure_value,
    needle_value,
)
from kiosk.core.units import Measure
from tests.core.samples import a_container, an_order

ML = "mL"
TRUTH = Reference(
    container=container_value((a_container(),)),
    exact_figure=Measure.of("1.25", ML),
    allowed_error=Decimal("0.05"),
    needle=needle_value(23, Measure.of(25, "mm")),
    plunger=measure_value(Measure.of("1.25", ML)),
)
RIGHT = {
    "container": TRUTH.container,
    "figure": measure_value(Measure.of("1.25", ML)),
    "needle": TRUTH.needle,
    "plunger": TRUTH.plunger,
}


def a_filled_syringe(*, second: bool = True) -> Preparation:
    return Preparation(
        id="p1",
        order=an_order(),
        syringe_code="PC1",
        preparer="ada",
        second_reasons=("drug_high_alert",) if second else (),
        taken=(a_container(),),
        enough=True,
        checker="ben" if second else "",
    )


def said(state: Preparation, who: str, readings: dict[str, str], *, facts: str = "") -> Preparation:
    stated = tuple(
        e.Stated(who, matter, value, facts or facts_digest(state), 1) for matter, value in readings.items()
    )
    return replace(state, statements=state.statements + stated)


def test_two_people_with_the_same_right_readings_are_enough() -> None:
    state = said(said(a_filled_syringe(), "ada", RIGHT), "ben", RIGHT)
    proof = checked(state, TRUTH)
    assert proof is not None
    assert proof.people == ("ada", "ben")
    assert proof.form == "independent second person"


def test_one_person_speaking_twice_is_one_person() -> None:
    state = replace(a_filled_syringe(), checker="ada")
    assert checked(said(said(state, "ada", RIGHT), "ada", RIGHT), TRUTH) is None


def test_a_third_person_who_never_came_to_check_does_not_count() -> None:
    state = said(said(a_filled_syringe(), "ada", RIGHT), "cleo", RIGHT)
    assert checked(state, TRUTH) is None


def test_the_checker_alone_is_not_enough() -> None:
    assert checked(said(a_filled_syringe(), "ben", RIGHT), TRUTH) is None


def test_without_need_of_a_second_the_preparer_alone_vouches() -> None:
    proof = checked(said(a_filled_syringe(second=False), "ada", RIGHT), TRUTH)
    assert proof is not None
    assert proof.form == "one person"


@pytest.mark.parametrize("missing", MATTERS)
def test_a_matter_left_unsaid_is_not_vouched_for(missing: str) -> None:
    some = {matter: value for matter, value in RIGHT.items() if matter != missing}
    assert checked(said(said(a_filled_syringe(), "ada", RIGHT), "ben", some), TRUTH) is None


@pytest.mark.parametrize(
    ("matter", "wrong"),
    [
        ("container", "another-product|B2"),
        ("figure", measure_value(Measure.of("12.5", ML))),
        ("figure", measure_value(Measure.of("1.25", "units"))),
        ("needle", needle_value(25, Measure.of(25, "mm"))),
        ("needle", needle_value(23, Measure.of(16, "mm"))),
        ("plunger", measure_value(Measure.of("1.3", ML))),
    ],
)
def test_a_wrong_reading_is_named_by_where_not_by_what(matter: str, wrong: str) -> None:
    state = said(said(a_filled_syringe(), "ada", RIGHT), "ben", {**RIGHT, matter: wrong})
    assert checked(state, TRUTH) is None
    assert differing(state, TRUTH) == (matter,)


def test_both_agreeing_on_the_same_mistake_is_still_a_difference() -> None:
    slip = {**RIGHT, "figure": measure_value(Measure.of("12.5", ML))}
    state = said(said(a_filled_syringe(), "ada", slip), "ben", slip)
    assert checked(state, TRUTH) is None
    assert differing(state, TRUTH) == ("figure",)


def test_changing_any_fact_makes_old_statements_stop_applying() -> None:
    state = said(said(a_filled_syringe(), "ada", RIGHT), "ben", RIGHT)
    another = replace(state, taken=(a_container(lot="B2"),))
    assert checked(state, TRUTH) is not None
    assert checked(another, replace(TRUTH, container=container_value(another.taken))) is None


def test_a_statement_for_other_facts_counts_for_nothing() -> None:
    state = said(a_filled_syringe(), "ada", RIGHT)
    assert checked(said(state, "ben", RIGHT, facts="0" * 64), TRUTH) is None


def test_the_proof_cannot_be_made_by_hand() -> None:
    with pytest.raises(TypeError, match="two-person rule"):
        Checked("0" * 64, ("ada", "ben"), "independent second person", object())


@pytest.mark.parametrize(
    ("typed", "exact", "agrees"),
    [
        # 250 mg of 330 mg/mL is 0.7575... mL: hand arithmetic.
        ("0.76", Fraction(25, 33), True),
        ("0.8", Fraction(25, 33), False),  # a correct tenth, but 5.6 % over a 5 % allowance
        ("0.75", Fraction(25, 33), False),  # not a correct rounding
        ("1.1", Fraction(25, 22), True),  # 1.136...: the published answer is 1.1
        ("1.14", Fraction(25, 22), True),
        ("1.2", Fraction(25, 22), False),
        ("11.4", Fraction(25, 22), False),  # tenfold
        ("0.114", Fraction(25, 22), False),
        ("1", Fraction(1), True),
    ],
)
def test_a_figure_agrees_when_it_is_a_correct_rounding_that_keeps_the_dose(
    typed: str, exact: Fraction, agrees: bool
) -> None:
    assert figure_agrees(Measure.of(typed, ML), Measure(exact, ML), Decimal("0.05")) is agrees


@given(st.fractions(min_value=Fraction(1, 100), max_value=50), st.integers(min_value=-3, max_value=3))
def test_a_figure_a_power_of_ten_off_never_agrees(exact: Fraction, power: int) -> None:
    shifted = Measure(exact * Fraction(10) ** power, ML)
    assert figure_agrees(shifted, Measure(exact, ML), Decimal("0.05")) is (power == 0)
