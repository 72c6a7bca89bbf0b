"""Amounts for comparing: what an order and a bound come to for this patient."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.people import Weighed
from kiosk.core.checks.amounts import (
    by_surface,
    for_patient,
    goes_by_body,
    in_unit,
    ordered_amounts,
    stated_measures,
)
from kiosk.core.dose.order import DosePerBody
from kiosk.core.units import Measure
from tests.core.checks.ward import (
    CHEMO,
    GENTAMICIN,
    HEPARIN,
    MORPHINE,
    POTASSIUM,
    TODAY,
    a_patient,
    a_range,
    an_order,
    m,
)


def test_a_fixed_dose_is_what_it_says() -> None:
    amounts = ordered_amounts(an_order(MORPHINE, "5 mg"))
    assert amounts is not None
    assert (amounts.least, amounts.most) == (m("5 mg"), m("5 mg"))


def test_a_range_not_yet_chosen_runs_from_its_least_to_its_most() -> None:
    amounts = ordered_amounts(an_order(MORPHINE, a_range("2.5 mg", "10 mg")))
    assert amounts is not None
    assert (amounts.least, amounts.most) == (m("2.5 mg"), m("10 mg"))


def test_a_dose_by_weight_needs_the_weight() -> None:
    assert ordered_amounts(an_order(GENTAMICIN, "5 mg/kg")) is None
    amounts = ordered_amounts(an_order(GENTAMICIN, "5 mg/kg", a_patient(weight="62 kg")))
    assert amounts is not None
    assert amounts.most.same(m("310 mg"))  # 5 x 62


def test_a_dose_by_weight_keeps_to_its_own_maximum() -> None:
    dose = DosePerBody(m("5 mg/kg"), maximum=m("300 mg"))
    amounts = ordered_amounts(an_order(GENTAMICIN, dose, a_patient(weight="62 kg")))
    assert amounts is not None
    assert amounts.most.same(m("300 mg"))


def test_millimoles_milliequivalents_and_milligrams_meet_over_the_drugs_own_figures() -> None:
    # potassium has one charge; 74.55 g/mol is 74.55 mg/mmol
    assert in_unit(m("20 mEq"), "mmol", POTASSIUM) == m("20 mmol")
    milligrams = in_unit(m("20 mmol"), "mg", POTASSIUM)
    assert milligrams is not None
    assert milligrams.same(m("1491 mg"))


def test_units_of_a_drug_are_no_mass() -> None:
    assert in_unit(m("5000 units"), "mg", HEPARIN) is None


def test_a_bound_by_surface_needs_height_and_weight() -> None:
    order = an_order(CHEMO, "6 mg/m2", a_patient(weight="80 kg"))
    assert for_patient(m("18 mg/m2"), order) is None
    tall = an_order(CHEMO, "6 mg/m2", a_patient(weight="80 kg", height="180 cm"))
    bound = for_patient(m("18 mg/m2"), tall)
    assert bound is not None
    assert bound.same(m("36 mg"))  # Mosteller: root of 180 x 80 / 3600 is 2 m2


def test_a_bound_a_day_is_the_whole_day() -> None:
    order = an_order(GENTAMICIN, "5 mg/kg", a_patient(weight="60 kg"), doses_per_day=3)
    bound = for_patient(m("7.5 mg/kg/day"), order)
    assert bound is not None
    assert bound.same(m("450 mg"))


@pytest.mark.parametrize(("rate", "says"), [("5 mg/kg", False), ("6 mg/m2", True), ("6 mg/m2/day", True)])
def test_which_rates_go_by_surface(rate: str, says: bool) -> None:
    assert by_surface(m(rate)) is says


def test_a_fixed_dose_goes_by_body_where_its_bounds_do() -> None:
    assert goes_by_body(an_order(GENTAMICIN, "300 mg"), TODAY)
    assert not goes_by_body(an_order(MORPHINE, "5 mg"), TODAY)


def test_everything_an_order_states_is_found() -> None:
    dose = DosePerBody(m("5 mg/kg"), 1, m("400 mg"), m("80 mg"), m("400 mg"))
    assert len(stated_measures(an_order(GENTAMICIN, dose))) == 4
    assert len(stated_measures(an_order(MORPHINE, a_range("2 mg", "5 mg", "3 mg")))) == 3


@given(st.decimals("0.1", "400", places=1), st.decimals("0.01", "50", places=2))
def test_pounds_and_kilograms_of_one_body_come_to_one_dose(kilograms: Decimal, rate: Decimal) -> None:
    body = Measure.of(kilograms, "kg")
    doses = set()
    for unit in ("kg", "lb", "g"):
        patient = replace(a_patient(), weighed=Weighed(body.to(unit), TODAY))
        amounts = ordered_amounts(an_order(GENTAMICIN, DosePerBody(Measure.of(rate, "mg/kg")), patient))
        assert amounts is not None
        doses.add(amounts.most.to("mg").value)
    assert len(doses) == 1
