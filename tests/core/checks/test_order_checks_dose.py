"""Inside the drug list's bounds, in the drug's own unit, no decimal place slipped."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.routes import Route
from kiosk.core.dose.order import DosePerBody, FixedDose
from kiosk.core.findings import Level
from kiosk.core.units import Measure
from tests.core.checks.ward import (
    CHEMO,
    GENTAMICIN,
    HEPARIN,
    INSULIN,
    MORPHINE,
    POTASSIUM,
    TODAY,
    a_drug,
    a_patient,
    a_range,
    an_order,
    findings,
    ids,
    limit,
    m,
    the_finding,
)

# morphine here: 1 to 15 mg a dose, 60 mg a day


@pytest.mark.parametrize(
    ("dose", "seen", "level"),
    [
        ("15.01 mg", "dose_slightly_above_limit", Level.SECOND_PERSON),
        ("15.75 mg", "dose_slightly_above_limit", Level.SECOND_PERSON),  # 5 percent over, to the point
        ("15.76 mg", "dose_above_limit", Level.STOP),
        ("47 mg", "dose_above_limit", Level.STOP),  # nearer to the bound than to ten times the bound
        ("48 mg", "dose_tenfold_above", Level.STOP),  # past the root of ten: 15 x 3.1623 = 47.43
        ("0.99 mg", "dose_below_limit", Level.CAUTION),
        ("0.317 mg", "dose_below_limit", Level.CAUTION),
        ("0.316 mg", "dose_tenfold_below", Level.STOP),
        ("5 mcg", "dose_tenfold_below", Level.STOP),  # 200 times too little
        ("1 mcg", "dose_thousandfold_below", Level.STOP),
    ],
)
def test_a_dose_outside_its_bounds_is_named_for_what_it_looks_like(
    dose: str, seen: str, level: Level
) -> None:
    found = the_finding(an_order(MORPHINE, dose))
    assert (found.id, found.level) == (seen, level)


@pytest.mark.parametrize("dose", ["1 mg", "15 mg", "1000 mcg", "0.015 g", "15000 mcg"])
def test_the_bounds_themselves_are_inside(dose: str) -> None:
    assert ids(an_order(MORPHINE, dose)) == []


@pytest.mark.parametrize(
    ("dose", "seen"),
    [("50 mg", "dose_tenfold_above"), ("5 g", "dose_thousandfold_above"), ("150 mg", "dose_tenfold_above")],
)
def test_five_milligrams_slipped(dose: str, seen: str) -> None:
    """5 mg meant: a zero too many, grams for milligrams; 15 mg meant: a point lost."""
    assert ids(an_order(MORPHINE, dose)) == [seen]


def test_a_tenfold_slip_says_how_many_times() -> None:
    found = the_finding(an_order(HEPARIN, "100000 units"))
    assert found.facts["times"] == 10
    assert found.facts["limit"] == m("10000 units")


def test_heparin_with_a_zero_too_many_stops() -> None:
    assert ids(an_order(HEPARIN, "5000 units")) == []
    assert ids(an_order(HEPARIN, "50000 units")) == ["dose_tenfold_above"]


def test_a_range_is_measured_at_both_ends() -> None:
    assert ids(an_order(MORPHINE, a_range("0.5 mg", "5 mg"))) == ["dose_below_limit"]
    assert ids(an_order(MORPHINE, a_range("5 mg", "30 mg"))) == ["dose_above_limit"]


def test_a_bound_by_weight_counts_for_a_fixed_dose_too() -> None:
    light = a_patient(weight="50 kg")  # 7 mg/kg: 350 mg
    assert ids(an_order(GENTAMICIN, "350 mg", light)) == []
    assert ids(an_order(GENTAMICIN, "400 mg", light)) == ["dose_above_limit"]  # one fault, one finding


def test_a_bound_by_surface() -> None:
    patient = a_patient(weight="80 kg", height="180 cm")  # 2 m2: 36 mg
    assert ids(an_order(CHEMO, "36 mg", patient)) == []
    assert ids(an_order(CHEMO, "40 mg", patient)) == ["dose_above_limit"]


def test_milliequivalents_are_compared_over_the_valence() -> None:
    assert ids(an_order(POTASSIUM, "40 mEq")) == []
    assert ids(an_order(POTASSIUM, "60 mEq")) == ["dose_above_limit"]
    assert ids(an_order(POTASSIUM, "1491 mg")) == []  # 20 mmol


# --- the day ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given_today", "doses", "seen"),
    [
        ("", None, []),
        ("45 mg", None, []),
        ("46 mg", None, ["day_total_slightly_above_limit"]),
        ("49 mg", None, ["day_total_above_limit"]),
        ("", 4, []),
        ("", 6, ["day_total_above_limit"]),
        ("45000 mcg", None, []),
    ],
)
def test_the_day_adds_up(given_today: str, doses: int | None, seen: list[str]) -> None:
    given = m(given_today) if given_today else None
    assert ids(an_order(MORPHINE, "15 mg", given_today=given, doses_per_day=doses)) == seen


def test_the_orders_own_daily_maximum_counts_what_was_given() -> None:
    dose = DosePerBody(m("3 mg/kg"), daily_maximum=m("400 mg"))
    patient = a_patient(weight="70 kg")
    assert ids(an_order(GENTAMICIN, dose, patient, given_today=m("190 mg"))) == []
    assert ids(an_order(GENTAMICIN, dose, patient, given_today=m("200 mg"))) == ["day_total_above_order"]


# --- units, routes, ages ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drug", "dose", "seen"),
    [
        (MORPHINE, "5 units", "unit_not_of_drug"),
        (MORPHINE, "5 mmol", "unit_not_of_drug"),
        (HEPARIN, "5 mg", "unit_not_of_drug"),
        (INSULIN, "0.1 mL", "unit_not_of_drug"),
        (MORPHINE, "2 mL", "dose_as_volume"),
    ],
)
def test_a_unit_must_belong_to_the_drug(drug: Drug, dose: str, seen: str) -> None:
    assert ids(an_order(drug, dose)) == [seen]


def test_a_vaccine_is_rightly_ordered_by_volume() -> None:
    vaccine = a_drug(
        "tetanus", "units", limit("dose", "40 units", "40 units"), classes=frozenset({"vaccine"})
    )
    assert ids(an_order(vaccine, "0.5 mL")) == []


def test_a_rate_in_a_strange_unit_stops_even_without_a_weight() -> None:
    assert "unit_not_of_drug" in ids(an_order(HEPARIN, "5 mg/kg"))


def test_a_route_that_the_list_does_not_have_stops() -> None:
    only_muscle = a_drug("benzathine", "mg", limit("dose", "100 mg", "2000 mg", "intramuscular"))
    assert ids(an_order(only_muscle, "900 mg", route=Route.INTRAVENOUS)) == ["route_not_listed"]
    assert ids(an_order(only_muscle, "900 mg")) == []


def test_an_age_that_the_list_does_not_bound_is_said() -> None:
    grown = a_drug("adultin", "mg", limit("dose", "1 mg", "5 mg", ages=(6575, 40000)))
    assert ids(an_order(grown, "2 mg", a_patient(TODAY - timedelta(days=400)))) == ["no_limit_at_this_age"]
    assert ids(an_order(grown, "2 mg")) == []


def test_bounds_by_age_apply_at_their_age_only() -> None:
    drug = a_drug(
        "growin",
        "mg",
        limit("dose", "1 mg", "2 mg", ages=(0, 6574)),
        limit("dose", "5 mg", "10 mg", ages=(6575, 40000)),
    )
    assert ids(an_order(drug, "8 mg")) == []
    assert ids(an_order(drug, "8 mg", a_patient(date(2020, 1, 1)))) == ["dose_tenfold_above"]


def test_a_drug_without_bounds_is_noted() -> None:
    found = the_finding(an_order(a_drug("unlisted"), "5 mg"))
    assert (found.id, found.level) == ("no_limit_listed", Level.NOTE)


# --- properties ------------------------------------------------------------------------------------

DOSES = st.decimals("0.0001", "2000", places=4)


@given(DOSES, st.sampled_from(["g", "mg", "mcg", "nanogram"]))
def test_the_unit_it_is_written_in_never_changes_the_verdict(dose: Decimal, unit: str) -> None:
    milligrams = Measure.of(dose, "mg")
    written = an_order(MORPHINE, FixedDose(milligrams.to(unit)))
    assert ids(written) == ids(an_order(MORPHINE, FixedDose(milligrams)))


@given(st.integers(100, 1500))
def test_every_dose_inside_the_bounds_is_silent(hundredths: int) -> None:
    assert ids(an_order(MORPHINE, FixedDose(Measure(Fraction(hundredths, 100), "mg")))) == []


@given(st.integers(1501, 10_000_000))
def test_every_dose_above_the_bound_is_seen_and_never_as_a_mere_caution(hundredths: int) -> None:
    seen = findings(an_order(MORPHINE, FixedDose(Measure(Fraction(hundredths, 100), "mg"))))
    assert any(found.level in (Level.STOP, Level.SECOND_PERSON) for found in seen)
