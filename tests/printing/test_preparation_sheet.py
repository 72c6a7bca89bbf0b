"""The record of one preparation: one A4 page, everything on it, nothing cut."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import combinations

import pdfplumber
import pytest

from kiosk.core.findings import Refusal
from kiosk.core.label.sheet import PreparationSheet, SheetSection, WorkingColumn
from kiosk.printing.preparation_sheet import sheet_pdf
from kiosk.printing.read_back import MM_PER_POINT, burnt, codes_on, pages_of, text_of
from kiosk.printing.symbol import DOTS_300
from tests.printing.samples import bundled

CODE = "PC1A30001KQ"


def a_sheet() -> PreparationSheet:
    return PreparationSheet(
        title="prochlorPERazine 12.5 mg",
        subtitle="Ines Halvard, born 3 Apr 1961, no. 40 118",
        code=CODE,
        sections=(
            SheetSection(
                "Order",
                (
                    ("Dose and route", "12.5 mg into muscle, outer thigh"),
                    ("Due", "25 Nov 2026 14:30"),
                    ("Ordered by", "Dr Vesna Aldercott, in writing"),
                ),
            ),
            SheetSection(
                "Stock", (("Ampoule", "prochlorPERazine 12.5 mg in 1 mL, lot TWP2401, expiry Aug 2027"),)
            ),
            SheetSection(
                "Devices",
                (
                    ("Syringe", "3 mL, lock tip, lines every 0.1 mL, set to 1 mL"),
                    ("Drawn up with", "blunt filter needle 18 G, 38 mm"),
                    ("Injected with", "23 G, 25 mm"),
                ),
            ),
            SheetSection(
                "People",
                (
                    ("Prepared", "Rhea Okonjo, 25 Nov 2026 14:05"),
                    ("Checked", "Marek Kestrel, independently, 25 Nov 2026 14:08, in 41 s"),
                ),
            ),
            SheetSection("Findings", (("Note", "The barrel may really give 11.7 to 13.3 mg."),)),
            SheetSection(
                "Label and rest",
                (
                    ("Label", "printed 14:09, scanned back 14:10"),
                    ("Discard after", "25 Nov 2026 18:02"),
                    ("Rest", "none"),
                ),
            ),
        ),
        working_heading="Working",
        working=(
            WorkingColumn("Dimensional", ("12.5 mg × 1 mL / 12.5 mg", "= 1 mL")),
            WorkingColumn("Desired over have", ("12.5 mg / 12.5 mg × 1 mL", "= 1 mL")),
        ),
        foot="Kept by the counter as entry 1,204. Training and decision support; local policy decides.",
    )


def made(sheet: PreparationSheet) -> bytes:
    pdf = sheet_pdf(sheet, bundled())
    assert isinstance(pdf, bytes), pdf
    return pdf


def test_it_is_one_a4_page_that_carries_the_syringes_code() -> None:
    pdf = made(a_sheet())
    page = pdfplumber.open(io.BytesIO(pdf)).pages[0]
    assert pages_of(pdf) == 1
    assert float(page.width) * MM_PER_POINT == pytest.approx(210, abs=0.01)
    assert float(page.height) * MM_PER_POINT == pytest.approx(297, abs=0.01)
    assert codes_on(burnt(pdf, DOTS_300)) == (CODE,)


def test_everything_said_stands_on_it_in_reading_order() -> None:
    text = "".join(text_of(made(a_sheet())).split())
    sheet = a_sheet()
    place = 0
    for section in sheet.sections:
        for said in (section.heading, *(cell for row in section.rows for cell in row)):
            place = text.index("".join(said.split()), place)
    for column in sheet.working:
        for line in column.lines:
            assert "".join(line.split()) in text
    assert "".join(sheet.foot.split()) in text


def test_no_word_leaves_the_page_or_touches_another() -> None:
    page = pdfplumber.open(io.BytesIO(made(a_sheet()))).pages[0]
    words = page.extract_words(keep_blank_chars=True, x_tolerance=2)
    for word in words:
        assert 0 < word["x0"] < word["x1"] < float(page.width)
        assert 0 < word["top"] < word["bottom"] < float(page.height)
    for one, other in combinations(words, 2):
        beside = one["x0"] < other["x1"] and other["x0"] < one["x1"]
        over = one["top"] + 1.5 < other["bottom"] - 1.5 and other["top"] + 1.5 < one["bottom"] - 1.5
        assert not (beside and over), (one["text"], other["text"])


def test_a_long_value_runs_over_several_lines() -> None:
    long = "because " * 60
    sheet = replace(a_sheet(), sections=(SheetSection("Findings", (("Reason", long.strip()),)),))
    assert text_of(made(sheet)).split().count("because") == 60


def test_more_than_a_page_is_refused_not_cut() -> None:
    rows = tuple((f"Row {number}", "something") for number in range(80))
    answer = sheet_pdf(replace(a_sheet(), sections=(SheetSection("Much", rows),)), bundled())
    assert answer == Refusal("sheet_too_long")


def test_a_missing_character_is_refused() -> None:
    answer = sheet_pdf(replace(a_sheet(), subtitle="\u6f22"), bundled())
    assert isinstance(answer, Refusal)
    assert answer.code == "label_glyph_missing"


def test_training_is_written_across_the_top() -> None:
    assert "TRAINING, NOT FOR USE" in text_of(made(replace(a_sheet(), training="TRAINING, NOT FOR USE")))


def test_the_same_sheet_is_the_same_bytes() -> None:
    assert made(a_sheet()) == made(a_sheet())
