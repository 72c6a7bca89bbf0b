"""Rows of people: staff with roles and badges, patients with weights and the days they were measured."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from kiosk.core.catalogue.people import Role, Weighed
from kiosk.core.units import Measure
from kiosk.feeds.cells import BadCell, Cells
from kiosk.feeds.own_codes import make_own
from kiosk.feeds.people_rows import PATIENTS, STAFF, read_patient, read_staff, write_staff

NOW = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)
PATIENT = dict.fromkeys(PATIENTS, "") | {
    "id": "p",
    "name": "N",
    "number": "1",
    "born": "-45 y",
    "place": "bed 1",
}
PERSON = dict.fromkeys(STAFF, "") | {
    "id": "n1",
    "name": "N",
    "initials": "N",
    "roles": "second checker; preparer",
    "badge": make_own("PB1", "N1"),
}


def test_a_patient_may_come_without_weight_sex_or_height() -> None:
    patient = read_patient(Cells(PATIENT, NOW))
    assert (patient.weighed, patient.sex, patient.height, patient.allergies) == (None, "", None, ())
    assert patient.born == date(1981, 3, 15)


def test_former_weights_are_kept_oldest_first_however_they_are_listed() -> None:
    row = PATIENT | {"earlier_weights": "7.4 kg -60 d; 16 lb 2025-12-01; 6.9 kg -95 d"}
    assert read_patient(Cells(row, NOW)).earlier == (
        Weighed(Measure.of(16, "lb"), date(2025, 12, 1)),
        Weighed(Measure.of("6.9", "kg"), date(2025, 12, 10)),
        Weighed(Measure.of("7.4", "kg"), date(2026, 1, 14)),
    )


@pytest.mark.parametrize(
    "text", ["7.4 kg", "7.4 -60 d", "kg -60 d", "7.4 mL -60 d", "7.4 kg some day", "7.4kg -60 d"]
)
def test_a_former_weight_without_number_unit_or_day_is_told(text: str) -> None:
    with pytest.raises(BadCell) as trouble:
        read_patient(Cells(PATIENT | {"earlier_weights": text}, NOW))
    assert (trouble.value.column, trouble.value.code) == ("earlier_weights", "cell_not_a_weight")


def test_a_person_comes_back_as_written_but_for_the_pin() -> None:
    staff = read_staff(Cells(PERSON | {"pin": "1234", "trainee": "yes"}))
    assert staff.person.roles == {Role.PREPARER, Role.CHECKER}
    assert (staff.person.trainee, staff.pin) == (True, "1234")
    assert write_staff(staff)["roles"] == "preparer; second checker"
    assert write_staff(staff)["pin"] == ""


@pytest.mark.parametrize("badge", ["N1", make_own("PO1", "N1"), make_own("PB1", "N1").lower(), "PB1N1*"])
def test_a_badge_is_one_of_our_codes_in_capitals(badge: str) -> None:
    with pytest.raises(BadCell) as trouble:
        read_staff(Cells(PERSON | {"badge": badge}))
    assert trouble.value.code == "cell_not_a_badge"
