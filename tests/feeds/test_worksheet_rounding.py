"""Rules of rounding in a text's own words, each as the eight sources word theirs and as others might."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from kiosk.feeds.spellings import Spellings, Spelt
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_rounding import WrittenRule, written_rule
from kiosk.tables import csv_rows

UNITS = Spellings(csv_rows.rows("unit_spellings", ("spelling",)))


def rule(text: str, decimals: int | None = None) -> WrittenRule:
    return written_rule(text, decimals, Figures(UNITS, {}), "rounding")


def rounded(value: str, text: str, decimals: int | None = None, unit: str = "mL") -> Fraction | str:
    made = rule(text, decimals).apply(Measure.of(value, unit), Spelt(unit, unit))
    return made.code if isinstance(made, Refusal) else made.value


@pytest.mark.parametrize(
    ("value", "text", "expected"),
    [
        ("1.25", "nearest tenth", "1.3"),  # ties go up
        ("0.125", "nearest hundredth", "0.13"),
        ("0.0005", "nearest thousandth", "0.001"),
        ("12.5", "nearest whole number", "13"),
        ("1.25", "1 decimals", "1.3"),
        ("1.25", "to 1 dp", "1.3"),
        ("1.255", "two decimal places", "1.26"),
        ("1.25", "adult over 1 mL: tenth", "1.3"),
        ("0.345", "injectable under 1 mL: hundredth", "0.35"),
        ("1.345", "over 1 mL: tenth, under 1 mL: hundredth", "1.3"),
        ("0.345", "over 1 mL: tenth, under 1 mL: hundredth", "0.35"),
        ("0.345", "less than 1 mL hundredth and more than 1 mL tenth", "0.35"),
        ("1.67", "3 mL syringe marks 0.1 mL", "1.7"),
        ("0.87", "1 mL syringe marks 0.01 mL: do not round", "0.87"),
        ("0.8712", "1 mL syringe marks 0.01 mL: do not round", "0.8712"),
        ("0.1968", "under 1 mL: hundredth; print 0.2 not 0.20", "0.2"),
        ("2.39", "round down to the nearest tenth", "2.3"),
        ("2.31", "round up to the nearest tenth", "2.4"),
        ("2.3", "round up to the nearest tenth", "2.3"),
        ("2.35", "nearest tenth, half up", "2.4"),
        ("0.62", "nearest 0.05 mL", "0.6"),
        ("37.4", "nearest 5", "35"),
        ("133.333", "exact", "133.333"),
        ("4.0572889", "2 decimals; source prints 8.114 via rounded equivalent weight", "4.06"),
        ("1.375", "tenth_from_one", "1.4"),
        ("0.2789", "child_down", "0.27"),
        ("2.345", "<1 mL hundredths; >1 mL tenths", "2.3"),
    ],
)
def test_a_rule_is_read_in_its_own_words(value: str, text: str, expected: str) -> None:
    assert rounded(value, text) == Fraction(expected)


@pytest.mark.parametrize(
    "text", ["", "exact", "inclusive", "cap at maximum", "divide by 2.2", "largest volume not over the limit",
             "inclusive; daily 568.25-909.2 mg", "round up to whole containers"],
)  # fmt: skip
def test_a_remark_rounds_nothing(text: str) -> None:
    assert rounded("1.23456789", text) == Fraction("1.23456789")


def test_decimals_alone_round_and_beside_silent_words_too() -> None:
    assert rounded("22.727272", "", 2) == Fraction("22.73")
    assert rounded("34.0909", "divide by 2.2", 2) == Fraction("34.09")


def test_words_finer_than_the_decimals_beside_them_are_a_contradiction() -> None:
    assert rounded("0.833", "nearest hundredth", 1) == "rounding_contradicts_decimals"
    assert rounded("0.833", "nearest tenth", 2) == Fraction("0.8")
    assert rounded("37.4", "nearest 5", 0) == 35


def test_a_rule_for_other_figures_is_not_stretched() -> None:
    assert rounded("0.5", "over 1 mL: tenth") == "rounding_rule_not_for_this"
    assert rounded("5", "over 1 mL: tenth", unit="mg") == "rounding_rule_not_for_this"


@pytest.mark.parametrize("text", ["round it nicely", "nearest banana", "to the nearest", "round to taste"])
def test_words_that_ask_for_a_rounding_nobody_knows_are_refused(text: str) -> None:
    with pytest.raises(BadInput) as trouble:
        rule(text)
    assert (trouble.value.path, trouble.value.code) == ("rounding", "rounding_not_understood")


def test_a_policy_that_goes_by_the_scale_needs_a_scale() -> None:
    with pytest.raises(BadInput) as trouble:
        rule("what_the_syringe_shows")
    assert trouble.value.code == "policy_needs_a_scale"


def test_rounding_happens_in_the_unit_asked_for() -> None:
    """1234 mg to a tenth of a gram is 1.2 g, not 1234 mg."""
    grams = Spelt("million units", "units", Fraction(10**6))
    made = rule("nearest tenth").apply(Measure.of("1234567", "units"), grams)
    assert isinstance(made, Measure)
    assert made == Measure.of("1200000", "units")


def test_dividing_by_pounds_in_words_states_the_pounds() -> None:
    assert rule("divide by 2.2; 1 decimals").lb_per_kg == Fraction("2.2")
    assert rule("nearest tenth").lb_per_kg is None


@given(st.fractions(0, 1000, max_denominator=10**6), st.integers(0, 5))
def test_a_rounded_figure_is_never_further_off_than_half_a_step(value: Fraction, decimals: int) -> None:
    made = rule("", decimals).apply(Measure(value, "mL"), Spelt("mL", "mL"))
    assert isinstance(made, Measure)
    assert abs(made.value - value) <= Fraction(1, 2 * 10**decimals)
    assert (made.value * 10**decimals).denominator == 1
