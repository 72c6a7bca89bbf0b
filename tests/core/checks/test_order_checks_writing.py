"""The prescriber's own text: does it say the same, in forms that cannot be misread?"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.checks.order_checks_writing import written_quantities
from kiosk.core.findings import Level
from tests.core.checks.ward import (
    GENTAMICIN,
    HEPARIN,
    MORPHINE,
    a_patient,
    a_range,
    an_order,
    findings,
    ids,
    m,
    the_finding,
)


@pytest.mark.parametrize(
    ("text", "quantities"),
    [
        ("morphine 5 mg intramuscular", ["5 mg"]),
        ("morphine 5mg", ["5 mg"]),
        ("heparin 5,000 units subcutaneously", ["5000 units"]),
        ("héparine 5 000 unités", ["5000 units"]),
        ("500 micrograms", ["500 mcg"]),
        ("500 µg or 0.5 mg", ["500 mcg", "0.5 mg"]),
        ("gentamicin 5 mg/kg (310 mg)", ["5 mg/kg", "310 mg"]),
        ("7 mg / kg / day", ["7 mg/kg/day"]),
        ("18 mg/m² IV", ["18 mg/m2"]),
        ("potassium 4.2 mmol/L, give 20 mmol", ["20 mmol"]),
        ("room 5, bed 3, at 10:00", []),
        ("5 mgs", []),
        ("", []),
    ],
)
def test_quantities_are_found_in_a_text(text: str, quantities: list[str]) -> None:
    assert list(written_quantities(text)) == [m(quantity) for quantity in quantities]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "as discussed",
        "morphine 5 mg",
        "morphine 5,000 mcg",
        "morphine 5 mg from an ampoule of 10 mg in 1 mL",
        "morphine 5 mg, at most 20 mg a day",
    ],
)
def test_a_text_that_says_the_dose_passes(text: str) -> None:
    assert ids(an_order(MORPHINE, "5 mg", as_written=text)) == []


@pytest.mark.parametrize("text", ["morphine 50 mg", "morphine 0.5 mg", "5 micrograms of morphine", "10 mg"])
def test_a_text_that_says_another_dose_stops(text: str) -> None:
    found = the_finding(an_order(MORPHINE, "5 mg", as_written=text))
    assert (found.id, found.level) == ("written_otherwise", Level.STOP)


def test_a_text_may_say_the_rate_or_what_it_comes_to_rounded() -> None:
    patient = a_patient(weight="61 kg")  # 5 x 61 = 305 mg
    for text in ("5 mg/kg", "310 mg", "300 mg", "5 mg/kg = 305 mg", "2.268 mg/lb, 305 mg"):
        assert ids(an_order(GENTAMICIN, "5 mg/kg", patient, as_written=text)) == []
    for text in ("50 mg/kg", "30.5 mg", "3050 mg", "350 mg"):
        assert ids(an_order(GENTAMICIN, "5 mg/kg", patient, as_written=text)) == ["written_otherwise"]


def test_a_rate_is_no_contradiction_of_a_plain_dose() -> None:
    patient = a_patient(weight="61 kg")
    assert ids(an_order(GENTAMICIN, "300 mg", patient, as_written="5 mg/kg rounded")) == []


def test_either_end_of_a_range_will_do() -> None:
    assert ids(an_order(MORPHINE, a_range("2.5 mg", "5 mg"), as_written="2.5 to 5 mg")) == []
    assert "written_otherwise" in ids(an_order(MORPHINE, a_range("2.5 mg", "5 mg"), as_written="25 mg"))


def test_unsafe_forms_are_gathered_into_one_caution() -> None:
    (found,) = findings(an_order(HEPARIN, "5000 units", as_written="heparin 5000U then 1.0 tablet, .5 later"))
    assert (found.id, found.level) == ("order_unsafe_notation", Level.CAUTION)
    assert found.facts["forms"] == ("U", "1.0", ".5")


@given(st.text(max_size=80))
def test_no_text_breaks_it(text: str) -> None:
    assert isinstance(ids(an_order(MORPHINE, "5 mg", as_written=text)), list)
