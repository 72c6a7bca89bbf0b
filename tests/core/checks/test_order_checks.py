"""All order checks together: every finding has an order that raises it, a hazard, and words to say it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from string import Formatter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.people import Patient, Weighed
from kiosk.core.catalogue.routes import Route
from kiosk.core.checks.check import OrderCase, run
from kiosk.core.checks.order_checks import SIZE_OF_DOSE, checks_of_size, with_dose_known
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Order
from kiosk.core.findings import Finding
from kiosk.core.units import Measure
from kiosk.tables.words import languages, words
from tests.core.checks.ward import (
    CEFTRIAXONE,
    CHECKS,
    CHEMO,
    GENTAMICIN,
    HEPARIN,
    INSULIN,
    MORPHINE,
    NOW,
    POTASSIUM,
    TODAY,
    a_drug,
    a_patient,
    a_range,
    an_order,
    findings,
    limit,
    m,
)

BY_WEIGHT = {"drug": GENTAMICIN, "dose": "5 mg/kg"}
YESTERDAY = TODAY - timedelta(days=1)
NAIVE = datetime(2026, 3, 15, 9, 0)  # noqa: DTZ001  (the fault itself)


def before(weight: str, days: int = 60) -> tuple[Weighed, ...]:
    return (Weighed(m(weight), TODAY - timedelta(days=days)),)


EXAMPLES: dict[str, dict[str, Any]] = {
    "patient_name_missing": {"patient": replace(a_patient(), name="")},
    "patient_number_missing": {"patient": replace(a_patient(), number="")},
    "born_in_future": {"patient": a_patient(TODAY + timedelta(days=1))},
    "weighed_impossible_day": {"patient": a_patient(weight="62 kg", weighed_on=TODAY + timedelta(days=9))},
    "prescriber_missing": {"prescriber": ""},
    "spoken_without_prescriber": {"prescriber": "", "spoken": True},
    "dose_not_above_zero": {"dose": "0 mg"},
    "dose_units_differ": {"dose": a_range("5 mg", "10 units")},
    "dose_range_reversed": {"dose": a_range("10 mg", "5 mg")},
    "dose_outside_its_range": {"dose": a_range("5 mg", "10 mg", "12 mg")},
    "doses_a_day_impossible": {"dose": "1 mg", "doses_per_day": 25},
    "doses_a_day_differ": {
        "drug": GENTAMICIN,
        "dose": DosePerBody(m("7 mg/kg/day"), 3),
        "patient": a_patient(weight="62 kg"),
        "doses_per_day": 2,
    },
    "written_otherwise": {"as_written": "morphine 50 mg"},
    "order_unsafe_notation": {"as_written": "morphine 5.0 mg"},
    "due_without_zone": {"due": NAIVE},
    "due_other_day": {"due": NOW + timedelta(days=2)},
    "due_early": {"due": NOW + timedelta(hours=5)},
    "due_late": {"due": NOW - timedelta(hours=3)},
    "given_too_recently": {"last_given": NOW - timedelta(hours=1)},
    "last_given_in_future": {"last_given": NOW + timedelta(hours=1)},
    "last_given_without_zone": {"last_given": NAIVE},
    "allergies_contradict": {"patient": a_patient(allergies=("none known", "penicillin"))},
    "allergic_to_drug": {"patient": a_patient(allergies=("morphine",))},
    "allergy_crosses": {
        "drug": replace(CEFTRIAXONE, allergy_classes=frozenset({"penicillin"})),
        "dose": "500 mg",
        "patient": a_patient(allergies=("cefalexin",)),
    },
    "allergy_may_cross": {
        "drug": CEFTRIAXONE,
        "dose": "500 mg",
        "patient": a_patient(allergies=("penicillin",)),
    },
    "allergy_seldom_crosses": {"patient": a_patient(allergies=("pethidine",))},
    "allergy_related": {
        "drug": a_drug(
            "furosemide",
            "mg",
            limit("dose", "10 mg", "80 mg"),
            allergy_classes=frozenset({"sulfonamide other"}),
        ),
        "dose": "20 mg",
        "patient": a_patient(allergies=("sulfa",)),
    },
    "allergy_not_understood": {"patient": a_patient(allergies=("moon fever",))},
    "route_not_listed": {
        "drug": a_drug("depotin", "mg", limit("dose", "1 mg", "50 mg", "intramuscular")),
        "route": Route.INTRAVENOUS,
    },
    "unit_not_of_drug": {"dose": "5 units"},
    "dose_as_volume": {"dose": "2 mL"},
    "no_weight_for_dose": BY_WEIGHT,
    "no_height_for_dose": {"drug": CHEMO, "dose": "6 mg/m2", "patient": a_patient(weight="70 kg")},
    "weight_too_old": {
        **BY_WEIGHT,
        "patient": a_patient(date(2023, 3, 15), "14 kg", weighed_on=TODAY - timedelta(days=60)),
    },
    "weight_old": {**BY_WEIGHT, "patient": a_patient(weight="62 kg", weighed_on=date(2024, 1, 1))},
    "weight_impossible": {**BY_WEIGHT, "patient": a_patient(weight="620 kg")},
    "weight_far_off_chart": {**BY_WEIGHT, "patient": a_patient(date(2025, 3, 1), "21.3 kg")},
    "weight_rare": {**BY_WEIGHT, "patient": a_patient(weight="210 kg")},
    "weight_like_pounds": {**BY_WEIGHT, "patient": a_patient(weight="154 kg", earlier=before("70 kg"))},
    "weight_tenfold": {**BY_WEIGHT, "patient": a_patient(weight="70 kg", earlier=before("7 kg"))},
    "weight_changed": {**BY_WEIGHT, "patient": a_patient(weight="95 kg", earlier=before("70 kg"))},
    "weight_odd_for_height": {**BY_WEIGHT, "patient": a_patient(weight="154 kg", height="175 cm")},
    "dose_tenfold_above": {"dose": "50 mg"},
    "dose_thousandfold_above": {"dose": "10 g"},
    "dose_above_limit": {"dose": "20 mg"},
    "dose_slightly_above_limit": {"dose": "15.5 mg"},
    "dose_below_limit": {"dose": "0.9 mg"},
    "dose_tenfold_below": {"dose": "0.1 mg"},
    "dose_thousandfold_below": {"dose": "1 mcg"},
    "day_total_above_limit": {"dose": "15 mg", "given_today": m("50 mg")},
    "day_total_slightly_above_limit": {"dose": "15 mg", "given_today": m("46 mg")},
    "day_total_above_order": {
        "drug": GENTAMICIN,
        "dose": DosePerBody(m("3 mg/kg"), daily_maximum=m("400 mg")),
        "patient": a_patient(weight="70 kg"),
        "given_today": m("200 mg"),
    },
    "limit_without_weight": {"drug": GENTAMICIN, "dose": "300 mg"},
    "no_limit_at_this_age": {"drug": a_drug("adultin", "mg", limit("dose", "1 mg", "9 mg", ages=(0, 365)))},
    "no_limit_listed": {"drug": a_drug("unlisted")},
}
"""For every finding an order that raises it; the dose is 5 mg of morphine where nothing else is said."""


def example(id: str) -> Finding:
    seen = [found for found in findings(an_order(**EXAMPLES[id])) if found.id == id]
    assert len(seen) == 1, (id, seen)
    return seen[0]


def placeholders(sentence: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(sentence) if name}


@pytest.mark.parametrize("id", EXAMPLES)
def test_every_finding_can_be_raised_has_a_source_and_can_be_said(id: str) -> None:
    found = example(id)
    assert found.source
    for language in languages():
        said = words(language)
        for part in ("what", "why", "now"):
            sentence = said[f"finding.{id}.{part}"]
            assert placeholders(sentence) <= found.facts.keys(), (language, part)


@pytest.mark.parametrize("id", EXAMPLES)
def test_a_second_persons_reason_has_its_short_word(id: str) -> None:
    if example(id).level == "second person":
        assert all(f"second.{id}" in words(language) for language in languages())


def test_no_finding_here_is_also_the_code_of_a_refusal() -> None:
    """A stop is told as a refusal under its own id: two meanings of one id would mix their words."""
    codes = {key.split(".")[1] for key in words("en") if key.startswith("refusal.")}
    assert codes.isdisjoint(EXAMPLES)


def test_check_ids_are_unique_and_each_names_a_hazard() -> None:
    assert len({check.id for check in CHECKS}) == len(CHECKS)
    assert all(check.hazard for check in CHECKS)


def test_ordinary_orders_of_every_kind_are_silent() -> None:
    usual = (
        an_order(MORPHINE, "5 mg"),
        an_order(MORPHINE, a_range("2.5 mg", "5 mg"), as_written="morphine 2.5 to 5 mg when in pain"),
        an_order(HEPARIN, "5000 units", as_written="heparin 5,000 units subcutaneously twice daily"),
        an_order(INSULIN, "8 units", a_patient(allergies=("none known",))),
        an_order(POTASSIUM, "20 mmol", doses_per_day=2),
        an_order(GENTAMICIN, "7 mg/kg", a_patient(weight="62 kg", height="165 cm", earlier=before("60 kg"))),
        an_order(CHEMO, "6 mg/m2", a_patient(weight="62 kg", height="165 cm")),
        an_order(CEFTRIAXONE, "1000 mg", a_patient(allergies=("latex", "sulfa"))),
    )
    assert [findings(order) for order in usual] == [()] * len(usual)


# --- nothing that is missing or strange breaks a check ---------------------------------------------

UNITS = st.sampled_from(["mg", "mcg", "g", "units", "mmol", "mEq", "mL", "kg", "%", "day"])
VALUES = st.fractions("-5", "100000", max_denominator=1000)
AMOUNTS = st.builds(Measure, VALUES, UNITS)
RATES = st.builds(
    Measure,
    VALUES,
    st.sampled_from(["mg/kg", "mg/lb", "units/kg", "mg/m2", "mg/kg/day", "mg/h", "mL/kg", "mg/m2/day"]),
)
DOSES = st.one_of(
    st.builds(FixedDose, AMOUNTS),
    st.builds(
        DosePerBody,
        RATES,
        st.integers(-1, 6),
        st.none() | AMOUNTS,
        st.none() | AMOUNTS,
        st.none() | AMOUNTS,
        st.sampled_from(["mosteller", "du bois", "by eye"]),
    ),
    st.builds(DoseRange, AMOUNTS | RATES, AMOUNTS | RATES, st.none() | AMOUNTS | RATES),
)
DAYS = st.dates(date(1900, 1, 1), date(2030, 1, 1))
WEIGHINGS = st.builds(Weighed, st.builds(Measure, VALUES, st.sampled_from(["kg", "lb", "g"])), DAYS)
PATIENTS = st.builds(
    Patient,
    st.just("p1"),
    st.sampled_from(["", "Invented Person"]),
    st.sampled_from(["", "0001"]),
    DAYS,
    st.sampled_from(["female", "male", "", "x"]),
    st.just(""),
    st.none() | WEIGHINGS,
    st.lists(WEIGHINGS, max_size=3).map(tuple),
    st.none() | st.builds(Measure, VALUES, st.sampled_from(["cm", "m", "in"])),
    st.lists(st.text(max_size=12), max_size=2).map(tuple),
)
SPRING = datetime(2026, 1, 1), datetime(2026, 6, 1)  # noqa: DTZ001  (the zone is drawn apart)
MOMENTS = st.datetimes(*SPRING, timezones=st.sampled_from([None, NOW.tzinfo]))
ORDERS = st.builds(
    Order,
    st.just("o1"),
    PATIENTS,
    st.sampled_from([MORPHINE, GENTAMICIN, HEPARIN, INSULIN, POTASSIUM, CHEMO, a_drug("unlisted")]),
    DOSES,
    st.sampled_from(list(Route)),
    st.none(),
    MOMENTS,
    st.sampled_from(["", "Dr Invented"]),
    st.booleans(),
    st.text(max_size=20),
    st.sampled_from(["", "base", "salt"]),
    st.none() | MOMENTS,
    st.none() | AMOUNTS,
    st.none() | st.integers(-2, 60),
)


@given(ORDERS)
def test_no_order_however_incomplete_breaks_a_check(order: Order) -> None:
    for found in run(CHECKS, OrderCase(order, NOW)):
        assert isinstance(found, Finding)
        assert found.id in EXAMPLES


# --- a volume becomes a dose -----------------------------------------------------------------------


def test_an_order_by_volume_is_measured_once_the_container_makes_it_a_dose() -> None:
    order = an_order(MORPHINE, "2 mL", due=NOW - timedelta(hours=3), as_written="morphine 2 mL")
    known = with_dose_known(order, m("20 mg"))
    assert known is not None
    seen = run(checks_of_size(CHECKS), OrderCase(known, NOW))
    assert [found.id for found in seen] == ["dose_above_limit"]


def test_an_order_that_says_its_dose_is_not_measured_twice() -> None:
    assert with_dose_known(an_order(MORPHINE, "5 mg"), m("5 mg")) is None
    assert with_dose_known(an_order(MORPHINE, "0.5 mL"), m("0.5 mL")) is None


def test_the_checks_of_size_are_three_of_the_checks() -> None:
    assert {check.id for check in checks_of_size(CHECKS)} == SIZE_OF_DOSE
