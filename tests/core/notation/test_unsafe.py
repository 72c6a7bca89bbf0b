"""The error-prone forms in free text, by the Joint Commission and ISMP lists, as the table has them."""

from __future__ import annotations

import re

import pytest

from kiosk.core.findings import Level
from kiosk.core.notation import UnsafeForm, unsafe_forms
from kiosk.tables.unsafe_forms import unsafe_forms as shipped

ROWS = shipped()
FORMS = [
    ("heparin 5000 U subcutaneously", "U"),
    ("insulin 10u", "u"),
    ("vitamin 400 IU", "IU"),
    ("héparine 5000 UI", "UI"),
    ("digoxin QD", "QD"),
    ("digoxin q.d. by mouth", "q.d."),
    ("prednisone QOD", "QOD"),
    ("warfarin 1.0 mg", "1.0"),
    ("warfarin 2.50 mg", "2.50"),
    ("haloperidol .5 mg", ".5"),
    ("MS 10 mg", "MS"),
    ("MgSO4 2 g", "MgSO4"),
    ("fentanyl 50 µg", "µg"),
    ("fentanyl 50 μg", "μg"),
    ("2 cc", "cc"),
    ("2 ml", "ml"),
    ("5 mg. by mouth", "mg."),
    ("morphine 10mg", "10mg"),
    ("propranolol40 mg", "propranolol40 mg"),
    ("heparin 100000 units", "100000"),
    ("penicillin 5M units", "5M"),
    ("adrenaline 1:1000", "1:1000"),
    ("adrenaline 1 : 10,000", "1 : 10,000"),
    ("heparin SC", "SC"),
    ("heparin sub q", "sub q"),
    ("zopiclone HS", "HS"),
    ("naloxone IN", "IN"),
    ("give IJ", "IJ"),
    ("D/C when eating", "D/C"),
    ("insulin per SSI", "SSI"),
    ("if potassium < 3", "<"),
    ("repeat @ 6", "@"),
    ("morphine & midazolam", "&"),
    ("25 units/10 units", "25 units/10 units"),
    ("q1d", "q1d"),
    ("q6PM", "q6PM"),
    ("every 6°", "6°"),
    ("5 grains", "grains"),
    ("alprostadil 50 ng", "50 ng"),
    ("morphine 5 mg + 5 mg", "+"),
]


def forms(text: str) -> list[str]:
    return [str(found.facts["form"]) for found in unsafe_forms(text, ROWS)]


@pytest.mark.parametrize(("text", "form"), FORMS)
def test_an_error_prone_form_is_found(text: str, form: str) -> None:
    assert form in forms(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Morphine 8 mg intramuscularly every 4 hours as needed",
        "Gentamicin 5 mg/kg intravenously daily, in 100 mL of sodium chloride 0.9%.",
        "Heparin 5,000 units subcutaneously at 08:00 and 20:00.",
        "Insulin 12 units subcutaneously before breakfast. Ask the ward.",
        "Benzylpenicillin 1,200,000 units intramuscularly once",
        "Potassium chloride 20 mmol in 10 mL, 0.5 mL",
        "Alfacalcidol 0.25 mcg, then 500 nanograms",
        "Temperature above 38 °C",
        "Héparine 5 000 unités en sous-cutané, une fois par jour",
        "Room 10, bed 2, order of 2026-03-15",
        "Give in the upper outer arm",
    ],
)
def test_a_safely_written_order_raises_nothing(text: str) -> None:
    assert forms(text) == []


def test_a_finding_says_what_it_is_misread_as_what_to_write_and_who_says_so() -> None:
    (found,) = unsafe_forms("insulin 10 U", ROWS)
    assert (found.id, found.level) == ("unsafe_form", Level.CAUTION)
    assert found.facts == {
        "form": "U", "misread_as": "0, 4 or cc", "write_instead": "units", "list": "Joint Commission"
    }  # fmt: skip
    assert "Do Not Use" in found.source
    (french,) = unsafe_forms("insuline 10 U", ROWS, "fr")
    assert french.facts["write_instead"] == "unités"


def test_one_row_is_one_finding_however_often_it_stands() -> None:
    assert forms("10 U and 20 U") == ["U"]


def test_without_rows_nothing_is_unsafe() -> None:
    assert unsafe_forms("10 U", ()) == ()


def test_a_broken_pattern_is_the_tables_fault() -> None:
    row = UnsafeForm("(", "x", "y", "list", "source", "seen")
    with pytest.raises(re.error):
        unsafe_forms("x", (row,))


def test_every_row_of_the_table_is_met_by_a_case_above() -> None:
    unmet = [row.pattern for row in ROWS if not any(re.search(row.pattern, text) for text, _ in FORMS)]
    assert unmet == []
