"""Is the weight there, fresh and believable? Every trap must be caught by somebody.

Expected weights are section by section from the UK-WHO reference (see tests/outside/test_growth.py); a pound
is 0.45359237 kg exactly (international agreement of 1959).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.people import Patient, Weighed
from kiosk.core.checks.growth import weight_on
from kiosk.core.findings import Level
from kiosk.core.units import Measure
from tests.core.checks.ward import (
    CHEMO,
    GENTAMICIN,
    MORPHINE,
    TABLES,
    TODAY,
    a_patient,
    an_order,
    findings,
    ids,
    m,
    the_finding,
)

YEAR = Fraction(1461, 4)
POUND = Fraction(45359237, 100000000)


def born(years: str) -> date:
    """The birthday of somebody so many years old today."""
    return TODAY - timedelta(days=round(Fraction(years) * YEAR))


def weighing(patient: Patient, *, dose: str = "5 mg/kg") -> list[str]:
    """What is seen of the weight on an order that goes by it."""
    return [id for id in ids(an_order(GENTAMICIN, dose, patient)) if id.startswith("weight")]


# --- is it there? ----------------------------------------------------------------------------------


def test_a_dose_by_weight_without_a_weight_stops() -> None:
    found = the_finding(an_order(GENTAMICIN, "5 mg/kg"))
    assert (found.id, found.level) == ("no_weight_for_dose", Level.STOP)


def test_a_dose_by_surface_without_a_height_stops() -> None:
    assert "no_height_for_dose" in ids(an_order(CHEMO, "6 mg/m2", a_patient(weight="70 kg")))


def test_bounds_by_weight_that_could_not_be_tried_are_said() -> None:
    assert ids(an_order(GENTAMICIN, "300 mg")) == ["limit_without_weight"]
    assert ids(an_order(CHEMO, "10 mg", a_patient(weight="70 kg"))) == ["limit_without_weight"]


def test_a_dose_that_does_not_go_by_weight_asks_nothing_of_it() -> None:
    for odd in (
        a_patient(),
        a_patient(weight="900 kg"),
        a_patient(weight="62 kg", weighed_on=date(2001, 1, 1)),
    ):
        assert ids(an_order(MORPHINE, "5 mg", odd)) == []


# --- is it fresh? ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("years", "weight", "days_old", "seen"),
    [
        ("0.05", "3.8 kg", 3, []),
        ("0.05", "3.8 kg", 4, ["weight_too_old"]),
        ("0.5", "7.5 kg", 14, []),
        ("0.5", "7.3 kg", 15, ["weight_too_old"]),
        ("3", "14 kg", 42, []),
        ("3", "14 kg", 43, ["weight_too_old"]),
        ("10", "32 kg", 182, []),
        ("10", "31 kg", 183, ["weight_old"]),
        ("45", "70 kg", 366, []),
        ("45", "70 kg", 367, ["weight_old"]),
    ],
)
def test_how_long_a_weight_may_be_used(years: str, weight: str, days_old: int, seen: list[str]) -> None:
    patient = a_patient(born(years), weight, weighed_on=TODAY - timedelta(days=days_old))
    assert weighing(patient) == seen


def test_an_old_weight_of_a_small_child_calls_for_a_second_person() -> None:
    patient = a_patient(born("3"), "14 kg", weighed_on=TODAY - timedelta(days=60))
    assert the_finding(an_order(GENTAMICIN, "5 mg/kg", patient)).level is Level.SECOND_PERSON


# --- is it believable? -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("who", "years", "sex", "weight", "seen"),
    [
        ("a newborn girl", "0", "female", "3.4 kg", []),
        ("a baby born small", "0.02", "male", "1.2 kg", ["weight_far_off_chart"]),
        ("grams typed as kilograms", "0", "male", "3500 kg", ["weight_impossible"]),
        ("a boy of one, 21.3 kg (pounds)", "1", "male", "21.3 kg", ["weight_far_off_chart"]),
        ("a boy of one, a heavy one", "1", "male", "13.2 kg", ["weight_rare"]),
        ("a boy of one, a usual one", "1", "male", "12.5 kg", []),
        ("a girl of five, a point lost", "5", "female", "183 kg", ["weight_impossible"]),
        ("a girl of five, a point too far left", "5", "female", "1.83 kg", ["weight_impossible"]),
        ("a boy of ten, 69 kg (pounds)", "10", "male", "69 kg", ["weight_rare"]),
        ("a boy of ten, a usual one", "10", "male", "31 kg", []),
        ("a girl of fifteen, pounds", "15", "female", "118 kg", ["weight_far_off_chart"]),
        ("a grown man", "45", "male", "82 kg", []),
        ("a grown man of 210 kg", "45", "male", "210 kg", ["weight_rare"]),
        ("a grown man of 620 kg", "45", "male", "620 kg", ["weight_impossible"]),
        ("a grown woman of 15 kg", "45", "female", "15 kg", ["weight_impossible"]),
        ("nothing", "45", "female", "0 kg", ["weight_impossible"]),
    ],
    ids=lambda value: value if isinstance(value, str) else None,
)
def test_weight_for_age_and_sex(who: str, years: str, sex: str, weight: str, seen: list[str]) -> None:
    patient = a_patient(born(years), weight, sex=sex, weighed_on=TODAY)
    assert weighing(patient) == seen


def test_an_unknown_sex_widens_the_chart() -> None:
    """At fifteen the 0.4th centile is 35.3 kg for boys and 36.8 kg for girls."""
    for sex, seen in (("female", ["weight_rare"]), ("male", []), ("", [])):
        assert weighing(a_patient(born("15"), "36 kg", sex=sex, weighed_on=TODAY)) == seen


def adult_before(weight: str, before: str, days: int) -> Patient:
    former = Weighed(m(before), TODAY - timedelta(days=days))
    return a_patient(weight=weight, weighed_on=TODAY, earlier=(former,))


@pytest.mark.parametrize(
    ("weight", "before", "days", "seen"),
    [
        ("70 kg", "72 kg", 60, []),
        ("154 kg", "70 kg", 60, ["weight_like_pounds"]),
        ("150 kg", "70 kg", 1000, ["weight_like_pounds"]),
        ("154 kg", "70 kg", 1097, []),  # too long ago to compare
        ("70 kg", "154 kg", 60, ["weight_like_pounds"]),  # the former one was the slip
        ("70 lb", "70 kg", 60, ["weight_like_pounds"]),  # kilograms typed as pounds
        ("154.32 lb", "70 kg", 60, []),
        ("70000 g", "70 kg", 60, []),
        ("70 kg", "7 kg", 60, ["weight_tenfold"]),
        ("95 kg", "70 kg", 60, ["weight_changed"]),
        ("95 kg", "70 kg", 300, []),
    ],
)
def test_the_weight_before_this_one(weight: str, before: str, days: int, seen: list[str]) -> None:
    assert weighing(adult_before(weight, before, days)) == seen


def test_pounds_and_a_slipped_point_stop() -> None:
    for patient in (adult_before("154 kg", "70 kg", 60), adult_before("70 kg", "7 kg", 60)):
        found = the_finding(an_order(GENTAMICIN, "5 mg/kg", patient))
        assert found.level is Level.STOP


def test_weighing_again_ends_the_matter() -> None:
    """Two weights that agree outvote the older slip."""
    slip = Weighed(m("154 kg"), TODAY - timedelta(days=90))
    again = Weighed(m("70 kg"), TODAY - timedelta(days=1))
    patient = a_patient(weight="70.2 kg", weighed_on=TODAY, earlier=(slip, again))
    assert weighing(patient) == []


def test_a_child_that_grew_is_no_slip() -> None:
    """Birth to three months doubles a weight; the median does too."""
    at_birth = Weighed(m("3.3 kg"), TODAY - timedelta(days=84))
    baby = a_patient(TODAY - timedelta(days=84), "5.7 kg", weighed_on=TODAY, earlier=(at_birth,))
    assert weighing(baby) == []


@pytest.mark.parametrize(
    ("weight", "height", "seen"),
    [
        ("70 kg", "175 cm", []),
        ("154 kg", "175 cm", ["weight_odd_for_height"]),  # 70 kg in pounds: 50 kg/m2
        ("70 kg", "69 cm", ["weight_odd_for_height"]),  # inches typed as centimetres
        ("130 kg", "175 cm", []),  # heavy, and possible: 42 kg/m2
        ("38 kg", "175 cm", ["weight_odd_for_height"]),  # 12 kg/m2
    ],
)
def test_an_adults_height_is_the_witness_of_a_first_weight(weight: str, height: str, seen: list[str]) -> None:
    assert weighing(a_patient(weight=weight, height=height, weighed_on=TODAY)) == seen


# --- the traps, at every age -----------------------------------------------------------------------

AGES = [Fraction(n, 4) for n in range(1, 80)]
CURVES = {(curve.sex, curve.sds): curve for curve in TABLES.growth}


def usual_weight(sex: str, sds: str, days: int) -> Measure:
    found = weight_on(CURVES[sex, Decimal(sds)], days)
    assert found is not None
    return found


def child(sex: str, age: Fraction, times: Fraction, *, sds: str = "0", weighed_before: bool) -> Patient:
    """A child of usual weight, entered ``times`` too heavy; weighed before, or never."""
    days = round(age * YEAR)
    month_ago = Weighed(usual_weight(sex, sds, days - 30), TODAY - timedelta(days=30))
    true = usual_weight(sex, sds, days)
    patient = a_patient(
        TODAY - timedelta(days=days), "1 kg", sex=sex, earlier=(month_ago,) if weighed_before else ()
    )
    return replace(patient, weighed=Weighed(true.scaled(times), TODAY))


TRAPS = {
    "pounds as kilograms": 1 / POUND,
    "kilograms as pounds": POUND,
    "tenfold": Fraction(10),
    "a tenth": Fraction(1, 10),
}


@pytest.mark.parametrize("trap", TRAPS)
@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("sds", ["-2.67", "0", "2.67"])
def test_a_slip_is_stopped_at_every_age_where_there_is_an_earlier_weight(
    trap: str, sex: str, sds: str
) -> None:
    for age in AGES:
        seen = findings(
            an_order(GENTAMICIN, "5 mg/kg", child(sex, age, TRAPS[trap], sds=sds, weighed_before=True))
        )
        assert any(f.level is Level.STOP and f.id.startswith("weight") for f in seen), (age, seen)


@pytest.mark.parametrize("trap", TRAPS)
@pytest.mark.parametrize("sex", ["female", "male"])
def test_a_slip_in_a_first_weight_of_the_median_child_is_never_silent(trap: str, sex: str) -> None:
    for age in AGES:
        seen = weighing(child(sex, age, TRAPS[trap], weighed_before=False))
        assert seen, age


def test_the_chart_alone_would_miss_pounds_at_ten() -> None:
    """2.2 times the median is inside four SDS at ten; the outer centile line still warns."""
    ten = child("male", Fraction(10), 1 / POUND, weighed_before=False)
    assert the_finding(an_order(GENTAMICIN, "5 mg/kg", ten)).level is Level.CAUTION


@given(
    st.sampled_from(["female", "male"]),
    st.integers(30, 7300),
    st.fractions("-2.6", "2.6", max_denominator=50),
)
def test_a_child_inside_the_outer_lines_is_silent(sex: str, days: int, place: Fraction) -> None:
    low, high = usual_weight(sex, "-2.67", days), usual_weight(sex, "2.67", days)
    weight = low + (high - low).scaled((place + Fraction(267, 100)) / Fraction(534, 100))
    patient = a_patient(TODAY - timedelta(days=days), "1 kg", sex=sex)
    assert weighing(replace(patient, weighed=Weighed(weight, TODAY))) == []
