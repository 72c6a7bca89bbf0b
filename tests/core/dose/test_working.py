"""Lines of the working: safe writing of measures, numbers and signs, in any language."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kiosk.core.dose.plan import WorkingLine
from kiosk.core.dose.working import both, desired_over_have, dimensional, line, written
from tests.core.dose.things import m

GAP = "\u00a0"


def test_a_line_is_its_terms_in_safe_writing() -> None:
    made = line("dimensional", "divided", m("4800 mg"), "/", Fraction(4), "=", m("1200 mg"))
    assert made.text == "4,800 mg / 4 = 1,200 mg"
    assert written(made, "en") == made.text
    assert written(made, "fr") == f"4{GAP}800 mg / 4 = 1{GAP}200 mg"


def test_one_sign_says_that_the_figures_of_an_equation_are_cut() -> None:
    third = m("1/3 mg")
    assert line("dimensional", "x", third, "+", m("1/3 mg"), "=", m("2/3 mg")).text == (
        "0.333333 mg + 0.333333 mg ≈ 0.666667 mg"
    )
    assert line("dimensional", "x", third).text == "≈ 0.333333 mg"
    assert line("dimensional", "x", third, "×", Fraction(3), "=", m("1 mg")).text == "0.333333 mg × 3 ≈ 1 mg"


def test_a_line_for_both_forms_is_the_same_line() -> None:
    one, other = both("ordered", m("8 mg"))
    assert (one.form, other.form) == ("dimensional", "desired over have")
    assert (one.text, one.note, one.terms) == (other.text, other.note, other.terms)


@pytest.mark.parametrize(
    ("desired", "amount", "volume", "answer", "by_units", "over_have"),
    [
        ("8 mg", "10 mg", "1 mL", "0.8 mL", "8 mg × (1 mL / 10 mg) = 0.8 mL",
         ["(8 mg / 10 mg) × 1 mL = 0.8 mL"]),
        ("250 mg", "1 g", "10 mL", "2.5 mL", "250 mg × (1 g / 1,000 mg) × (10 mL / 1 g) = 2.5 mL",
         ["1 g = 1,000 mg", "(250 mg / 1,000 mg) × 10 mL = 2.5 mL"]),
        ("0.25 g", "1000 mg", "10 mL", "2.5 mL", "0.25 g × (1,000 mg / 1 g) × (10 mL / 1,000 mg) = 2.5 mL",
         ["1,000 mg = 1 g", "(0.25 g / 1 g) × 10 mL = 2.5 mL"]),
    ],
)  # fmt: skip
def test_the_two_written_forms(
    desired: str, amount: str, volume: str, answer: str, by_units: str, over_have: list[str]
) -> None:
    figures = m(desired), m(amount), m(volume), m(answer)
    assert dimensional(*figures).text == by_units
    assert [made.text for made in desired_over_have(*figures)] == over_have


def test_a_line_without_terms_stays_as_it_was_written() -> None:
    assert written(WorkingLine("dimensional", "8 mg"), "fr") == "8 mg"


def test_a_language_the_kiosk_does_not_speak_is_a_bug() -> None:
    with pytest.raises(ValueError, match="language"):
        written(line("dimensional", "ordered", m("8 mg")), "de")
