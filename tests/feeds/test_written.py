"""The narrow forms in which lists write quantities: what they mean, and that they come back as written."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.strength import AmountInVolume, AmountOnly, PercentWeightInVolume, Powder, Ratio
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose
from kiosk.core.units import BASE_UNITS, Measure
from kiosk.feeds import written


def of(value: str, unit: str) -> Measure:
    return Measure.of(value, unit)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12.5 mg", of("12.5", "mg")),
        ("0.1 mL", of("0.1", "mL")),
        ("30 mg/kg/day", of("30", "mg/kg/day")),
        ("0 mL", of("0", "mL")),
    ],
)
def test_a_measure_is_a_number_a_space_and_a_unit_of_ours(text: str, value: Measure) -> None:
    assert written.measure(text) == value


@pytest.mark.parametrize(
    "text",
    ["", "12.5mg", "12,5 mg", ".5 mg", "5. mg", "05 mg", "1e3 mg", "-1 mg", "+1 mg", "12.5 IU", "1 mg ",
     " 1 mg", "1  mg", "1 MG", "1 ug", "mg", "1", "1 mg/", "1 mg/kilo", "٥ mg", "1 000 mg", "1,000 mg"],
)  # fmt: skip
def test_any_other_way_to_write_it_is_none(text: str) -> None:
    assert written.measure(text) is None


STRENGTHS = {
    "12.5 mg in 1 mL": AmountInVolume(of("12.5", "mg"), of("1", "mL")),
    "100 units in 1 mL": AmountInVolume(of("100", "units"), of("1", "mL")),
    "1 %": PercentWeightInVolume(Decimal(1)),
    "0.9 %": PercentWeightInVolume(Decimal("0.9")),
    "1 in 1000": Ratio(Decimal(1), Decimal(1000)),
    "500 mg powder": Powder(of("500", "mg")),
    "10 mg": AmountOnly(of("10", "mg")),
}


@pytest.mark.parametrize("text", STRENGTHS)
def test_a_strength_reads_as_meant_and_writes_back_as_read(text: str) -> None:
    assert written.strength(text) == STRENGTHS[text]
    assert written.write_strength(STRENGTHS[text]) == text


@pytest.mark.parametrize(
    "text",
    ["", "%", "1%", "0 mg in 1 mL", "1 mg in 0 mL", "1 mg in 1 mg", "1 mg in", "1 in 0", "1:1000",
     "0 mg powder", "mg powder", "10 mg powder in 1 mL", "1 in 1000 mL", "1 mg per mL"],
)  # fmt: skip
def test_a_strength_not_understood_is_none(text: str) -> None:
    assert written.strength(text) is None


DOSES = {
    "12.5 mg": FixedDose(of("12.5", "mg")),
    "20 units": FixedDose(of("20", "units")),
    "2.5 to 5 mg": DoseRange(of("2.5", "mg"), of("5", "mg")),
    "50000 units/kg": DosePerBody(of("50000", "units/kg")),
    "15 mg/m2": DosePerBody(of("15", "mg/m2")),
    "0.25 mg/lb, at most 25 mg": DosePerBody(of("0.25", "mg/lb"), 1, of("25", "mg")),
    "60 mg/kg/day in 3 doses, at most 500 mg, at least 50 mg, at most 2 g a day": DosePerBody(
        of("60", "mg/kg/day"), 3, of("500", "mg"), of("50", "mg"), of("2", "g")
    ),
}


@pytest.mark.parametrize("text", DOSES)
def test_a_dose_reads_as_meant(text: str) -> None:
    assert written.dose(text) == DOSES[text]


@pytest.mark.parametrize(
    "text",
    ["", "mg", "0 mg", "10 to 5 mg", "5 to 5 mg", "0 to 5 mg", "5 mg to 10 mg", "5 mg, at most 10 mg",
     "5 mg in 2 doses", "60 mg/kg/day in 0 doses", "60 mg/kg/day in three doses", "60 mg/kg/day in 3",
     "1 mg/kg, at most", "1 mg/kg, at most 5 mg, at most 6 mg", "1 mg/kg, not above 5 mg",
     "1 mg/kg,at most 5 mg", "5 to 10 mg, at most 10 mg"],
)  # fmt: skip
def test_a_dose_half_understood_is_none(text: str) -> None:
    assert written.dose(text) is None


def test_a_number_without_a_finite_decimal_form_is_never_written() -> None:
    with pytest.raises(ValueError, match="finite decimal"):
        written.write_number(Fraction(1, 3))
    assert written.write_number(Fraction(100)) == "100"
    assert written.write_number(Decimal("0.50")) == "0.5"


UNITS = st.sampled_from(sorted(code for code in BASE_UNITS if " " not in code))


@given(st.integers(0, 10**9), st.integers(0, 6), UNITS)
def test_every_measure_comes_back_as_it_was(digits: int, places: int, unit: str) -> None:
    value = Measure(Fraction(digits, 10**places), unit)
    assert written.measure(written.write_measure(value)) == value


@given(st.text(max_size=30))
def test_no_text_raises(text: str) -> None:
    for read in (written.measure, written.strength, written.dose, written.number):
        read(text)
