"""The advisory committee's needle table, cell by cell, from a copy of its own rows.

Source: ACIP General Best Practice Guidelines, vaccine administration, Table 6-2, as quoted by the pages
each row of the file names. For every row a patient is put in the middle and at the edges of the population,
and exactly the needles of that row are allowed.
"""

from __future__ import annotations

import csv
from datetime import date, timedelta
from pathlib import Path

import pytest

from kiosk.core.apparatus.needle_choice import rank_needles
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.routes import Site
from tests.core.apparatus.samples import ONE, TODAY, a_needle, a_patient, an_order, ml, tables

FILE = Path(__file__).parent / "devices" / "needle_choice_im_acip.csv"
ROWS = list(csv.DictReader(FILE.read_text(encoding="utf-8").splitlines()))
SOLD = {  # inches as packs say them, and the millimetres that are those inches
    "5/8": ("15.875", "16"),
    "7/8": ("22.225",),
    "1": ("25.4", "25"),
    "1 1/4": ("31.75", "32"),
    "1 1/2": ("38.1", "38"),
    "2": ("50.8",),
    "1/2": ("12.7",),
}
ORDER = ["1/2", "5/8", "7/8", "1", "1 1/4", "1 1/2", "2"]


def months_ago(months: int, days: int = 0) -> date:
    back = TODAY.year * 12 + TODAY.month - 1 - months
    return date(back // 12, back % 12 + 1, TODAY.day) - timedelta(days=days)


BODIES: dict[str, list[tuple[date, str | None]]] = {
    "0 to 28 days and preterm": [(TODAY, "3"), (TODAY - timedelta(days=28), "4")],
    "1 to 12 months": [(TODAY - timedelta(days=29), "4"), (months_ago(11, 27), "9")],
    "1 to 2 years": [(months_ago(12), "9"), (months_ago(35, 27), "14")],
    "3 to 10 years": [(months_ago(36), "14"), (months_ago(131, 27), "35")],
    "11 to 18 years": [(months_ago(132), "36"), (months_ago(227, 27), "70")],
    "< 60 kg (130 lb)": [(months_ago(228), "59.9"), (months_ago(900), "40")],
    "60 to 70 kg (130 to 152 lb)": [(months_ago(228), "60"), (months_ago(900), "70")],
    "70 to 90 kg (152 to 200 lb)": [(months_ago(400), "70.1"), (months_ago(400), "90")],
    "70 to 118 kg (152 to 260 lb)": [(months_ago(400), "70.1"), (months_ago(400), "118")],
    "> 90 kg (200 lb)": [(months_ago(400), "90.1"), (months_ago(400), "160")],
    "> 118 kg (260 lb)": [(months_ago(400), "118.1"), (months_ago(400), "200")],
    "any": [(months_ago(228), None), (months_ago(1000), "55")],
}


def patients(row: dict[str, str]) -> list[Patient]:
    sexes = ["female", "male", ""] if row["sex"] == "any" else [row["sex"]]
    return [
        a_patient(born=born, kg=kg, sex=sex) for born, kg in BODIES[row["weight_or_age"]] for sex in sexes
    ]


def inches_allowed(row: dict[str, str]) -> list[str]:
    ends = row["length_in"].split(" to ")
    return ORDER[ORDER.index(ends[0]) : ORDER.index(ends[-1]) + 1]


def cell(row: dict[str, str]) -> str:
    return f"{row['population']} {row['weight_or_age']} {row['sex']} {row['site']}"


@pytest.mark.parametrize("row", ROWS, ids=cell)
def test_exactly_the_needles_of_the_row_are_allowed(row: dict[str, str]) -> None:
    site = Site.VASTUS_LATERALIS if "thigh" in row["site"] else Site.DELTOID
    gauges = {22, 23, 24, 25}
    assert row["gauge"] == "22-25"
    stock = [
        a_needle(gauge, length, inch)
        for gauge in (20, 21, 22, 23, 24, 25, 26, 27)
        for inch, lengths in SOLD.items()
        for length in lengths
    ]
    for patient in patients(row):
        options = rank_needles(an_order(patient=patient, site=site), ml("0.5"), ONE, stock, tables(), TODAY)
        allowed = {(o.needle.gauge, o.needle.inch_text) for o in options if o.allowed}
        assert allowed == {(g, inch) for g in gauges for inch in inches_allowed(row)}, (row, patient)


@pytest.mark.parametrize("row", [r for r in ROWS if r["footnote"]], ids=cell)
def test_the_footnote_about_stretched_skin_comes_with_five_eighths_of_an_inch(row: dict[str, str]) -> None:
    site = Site.VASTUS_LATERALIS if "thigh" in row["site"] else Site.DELTOID
    stock = [a_needle(25, "15.875", "5/8"), a_needle(25, "25.4", "1")]
    for patient in patients(row):
        options = rank_needles(an_order(patient=patient, site=site), ml("0.5"), ONE, stock, tables(), TODAY)
        said = {o.needle.inch_text: [f.id for f in o.findings] for o in options if o.allowed}
        assert said["5/8"] == ["skin_stretched_flat"]
        assert said.get("1", []) == []


def test_the_file_holds_every_row() -> None:
    assert len(ROWS) == 15


def test_the_hip_reach_figures_are_those_of_the_study() -> None:
    # Am J Ther 2019;26:e72 (MRI, n = 350): 38 mm needle, practical upper limit BMI 30 women, 35 men. Seen.
    assert {(r.sex, str(r.bmi_above), str(r.length.value)) for r in tables().muscle_reach} == {
        ("female", "30", "38"),
        ("male", "35", "38"),
    }
