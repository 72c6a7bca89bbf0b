"""What is missing or contradicts itself stops an order."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from kiosk.core.catalogue.people import Weighed
from kiosk.core.dose.order import DosePerBody
from kiosk.core.findings import Level
from tests.core.checks.ward import (
    GENTAMICIN,
    MORPHINE,
    TODAY,
    a_patient,
    a_range,
    an_order,
    ids,
    m,
    the_finding,
)


def test_a_normal_order_raises_nothing() -> None:
    assert ids(an_order(MORPHINE, "5 mg")) == []
    assert ids(an_order(GENTAMICIN, "5 mg/kg", a_patient(weight="62 kg"))) == []
    assert ids(an_order(MORPHINE, a_range("2.5 mg", "10 mg"))) == []


@pytest.mark.parametrize(
    ("change", "seen"),
    [
        ({"prescriber": ""}, "prescriber_missing"),
        ({"prescriber": "  "}, "prescriber_missing"),
        ({"prescriber": "", "spoken": True}, "spoken_without_prescriber"),
        ({"dose": "0 mg"}, "dose_not_above_zero"),
        ({"dose": "-5 mg"}, "dose_not_above_zero"),
        ({"dose": a_range("10 mg", "5 mg")}, "dose_range_reversed"),
        ({"dose": a_range("5 mg", "10 mg", "12 mg")}, "dose_outside_its_range"),
        ({"dose": a_range("5 mg", "10 mg", "2 mg")}, "dose_outside_its_range"),
        ({"doses_per_day": 0}, "doses_a_day_impossible"),
        ({"doses_per_day": 25, "dose": "1 mg"}, "doses_a_day_impossible"),
    ],
)
def test_a_gap_or_a_contradiction_stops_the_order(change: dict[str, Any], seen: str) -> None:
    found = the_finding(an_order(**{"drug": MORPHINE, **change}))
    assert (found.id, found.level) == (seen, Level.STOP)


def test_the_ends_of_a_range_may_be_chosen() -> None:
    for chosen in ("5 mg", "10 mg", "10000 mcg"):
        assert ids(an_order(MORPHINE, a_range("5 mg", "10 mg", chosen))) == []


def test_a_range_in_two_kinds_of_unit_stops() -> None:
    assert "dose_units_differ" in ids(an_order(MORPHINE, a_range("5 mg", "10 units")))


def test_a_spoken_order_with_its_prescriber_passes() -> None:
    assert ids(an_order(MORPHINE, "5 mg", spoken=True)) == []


@pytest.mark.parametrize(
    ("change", "seen"), [({"name": " "}, "patient_name_missing"), ({"number": ""}, "patient_number_missing")]
)
def test_two_identifiers_are_needed(change: dict[str, str], seen: str) -> None:
    assert ids(an_order(MORPHINE, "5 mg", replace(a_patient(), **change))) == [seen]


def test_nobody_is_born_tomorrow() -> None:
    assert "born_in_future" in ids(an_order(MORPHINE, "5 mg", a_patient(TODAY + timedelta(days=1))))


@pytest.mark.parametrize("on", [TODAY + timedelta(days=1), date(1980, 4, 30)])
def test_nobody_is_weighed_tomorrow_or_before_birth(on: date) -> None:
    later = a_patient(weight="62 kg", weighed_on=on)
    assert "weighed_impossible_day" in ids(an_order(MORPHINE, "5 mg", later))
    formerly = a_patient(weight="62 kg", earlier=(Weighed(m("61 kg"), on),))
    assert "weighed_impossible_day" in ids(an_order(MORPHINE, "5 mg", formerly))


def test_a_minimum_above_the_maximum_stops() -> None:
    dose = DosePerBody(m("5 mg/kg"), maximum=m("200 mg"), minimum=m("300 mg"))
    assert ids(an_order(GENTAMICIN, dose, a_patient(weight="62 kg"))) == ["dose_range_reversed"]


def test_a_minimum_and_a_maximum_in_two_kinds_of_unit_stop() -> None:
    dose = DosePerBody(m("5 mg/kg"), maximum=m("200 mg"), minimum=m("300 units"))
    assert "dose_units_differ" in ids(an_order(GENTAMICIN, dose, a_patient(weight="62 kg")))


def test_a_day_divided_otherwise_than_it_is_given_stops() -> None:
    dose = DosePerBody(m("7 mg/kg/day"), divided_into=3)
    patient = a_patient(weight="62 kg")
    assert "doses_a_day_differ" in ids(an_order(GENTAMICIN, dose, patient, doses_per_day=2))
    assert "doses_a_day_differ" not in ids(an_order(GENTAMICIN, dose, patient, doses_per_day=3))
