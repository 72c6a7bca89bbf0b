"""The weight an order is reckoned on. Ideal weights by hand from Devine: 45.5 or 50 kg + 2.3 kg an inch."""

from __future__ import annotations

import pytest

from kiosk.core.catalogue.people import Patient
from kiosk.core.dose.weight import DosingWeight, dosing_weight
from kiosk.core.findings import Level, Refusal
from tests.core.dose.things import m, patient


def found(to: Patient, basis: str) -> DosingWeight:
    answer = dosing_weight(to, basis)
    assert isinstance(answer, DosingWeight), answer
    return answer


def test_the_actual_weight_is_taken_as_it_was_written_down() -> None:
    assert found(patient("154 lb"), "actual") == DosingWeight(m("154 lb"))


@pytest.mark.parametrize(
    ("sex", "height", "weight", "basis", "wanted"),
    [
        ("male", "70 in", "100 kg", "ideal", "73 kg"),
        ("female", "65 in", "97 kg", "ideal", "57 kg"),
        ("male", "70 in", "123 kg", "adjusted", "93 kg"),  # 73 + 0.4 x 50
        ("male", "70 in", "160 lb", "ideal", "160 lb"),  # 160 lb is 72.57 kg: less than 73
        ("male", "70 in", "73 kg", "adjusted", "73 kg"),
    ],
)
def test_the_drug_list_decides_and_never_above_what_the_patient_weighs(
    sex: str, height: str, weight: str, basis: str, wanted: str
) -> None:
    answer = found(patient(weight, height, sex), basis)
    assert answer.weight == m(wanted)
    lighter = [(f.id, f.level) for f in answer.findings]
    assert lighter == ([("actual_weight_below_ideal", Level.NOTE)] if weight == wanted else [])


@pytest.mark.parametrize(
    ("to", "basis", "code"),
    [
        (patient(None), "actual", "weight_missing"),
        (patient("-70 kg"), "actual", "weight_not_understood"),
        (patient("70 units"), "ideal", "weight_not_understood"),
        (patient("70 kg"), "lean", "weight_basis_unknown"),
        (patient("70 kg"), "ideal", "height_missing"),
        (patient("70 kg", "59 in"), "ideal", "ideal_weight_not_defined"),
    ],
)
def test_a_weight_is_never_guessed(to: Patient, basis: str, code: str) -> None:
    answer = dosing_weight(to, basis)
    assert isinstance(answer, Refusal)
    assert answer.code == code
