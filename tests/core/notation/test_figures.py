"""What a person may type. The forms refused are those of the Joint Commission and ISMP lists."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.findings import Refusal
from kiosk.core.notation import read_figure, write
from kiosk.core.units import Measure, UnknownUnit


@pytest.mark.parametrize(
    "text", ["0", "1", "10", "0.5", "1.25", "100", "5000", "20000000", "0.0004", " 2.5 "]
)
def test_a_plain_figure_is_taken_as_it_stands(text: str) -> None:
    assert read_figure(text, "mL") == Measure(Fraction(text.strip()), "mL")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "figure_empty"),
        ("   ", "figure_empty"),
        ("12345678901", "figure_too_long"),
        ("0.123456789", "figure_too_long"),
        ("1,000", "figure_grouped"),
        ("1 000", "figure_grouped"),
        ("1\u00a0000", "figure_grouped"),
        ("1'000", "figure_grouped"),
        ("1,000,000", "figure_grouped"),
        ("0,5", "figure_comma"),
        ("1,25", "figure_comma"),
        ("5,", "figure_comma"),
        (",5", "figure_comma"),
        ("10,00", "figure_comma"),
        (".5", "figure_naked_decimal"),
        ("5.", "figure_open_decimal"),
        ("0.", "figure_open_decimal"),
        ("05", "figure_leading_zero"),
        ("00.5", "figure_leading_zero"),
        ("007", "figure_leading_zero"),
        ("5.0", "figure_trailing_zero"),
        ("0.50", "figure_trailing_zero"),
        ("0.0", "figure_trailing_zero"),
        ("1.5.2", "figure_not_a_number"),
        ("-1", "figure_not_a_number"),
        ("+1", "figure_not_a_number"),
        ("1e3", "figure_not_a_number"),
        ("1/2", "figure_not_a_number"),
        ("1.5 mL", "figure_not_a_number"),
        ("٣", "figure_not_a_number"),
        ("½", "figure_not_a_number"),
        ("NaN", "figure_not_a_number"),
        ("l", "figure_not_a_number"),
    ],
)
def test_an_unsafe_figure_is_refused_each_with_its_own_reason(text: str, code: str) -> None:
    answer = read_figure(text, "mL")
    assert isinstance(answer, Refusal)
    assert (answer.code, answer.facts["typed"]) == (code, text.strip())


@given(st.text(max_size=14))
def test_whatever_is_typed_is_a_measure_or_a_refusal(text: str) -> None:
    answer = read_figure(text, "mL")
    if isinstance(answer, Measure):
        assert write(answer).replace(",", "") == f"{text.strip()} mL"
    else:
        assert answer.code.startswith("figure_")


@given(st.integers(0, 99_999), st.integers(0, 3))
def test_what_the_kiosk_writes_may_be_typed(digits: int, places: int) -> None:
    wanted = Measure(Fraction(digits, 10**places), "mL")
    typed = write(wanted).removesuffix(" mL").replace(",", "")
    assert read_figure(typed, "mL") == wanted


def test_a_unit_outside_the_list_is_a_bug() -> None:
    with pytest.raises(UnknownUnit):
        read_figure("1", "IU")
