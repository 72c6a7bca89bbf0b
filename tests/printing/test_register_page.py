"""A sheet of the register on paper: every line on it, none broken, the same head on each page."""

from __future__ import annotations

import io
from dataclasses import replace

import pdfplumber
import pytest

from kiosk.core.findings import Refusal
from kiosk.core.label.table_sheet import TableSheet
from kiosk.printing.register_page import GRID, register_pdf
from kiosk.printing.table_pages import BETWEEN
from tests.printing.samples import bundled

HEADINGS = ("No.", "When", "What", "Lot", "In, mL", "Given, mL", "Wasted, mL", "Balance, mL", "Before whom")


def a_sheet(lines: int) -> TableSheet:
    rows = tuple(
        (
            str(n),
            "16 Mar 2026, 08:00",
            f"Given, Somebody Invented with a rather long name, label D1{n:05}",
            "TWB9001",
            "",
            "0.5",
            "",
            f"{1000 - n}",
            "Nell Quickthorn; Idris Candlewick",
        )
        for n in range(1, lines + 1)
    )
    return TableSheet(
        "ketamine 10 mg/mL",
        "Register. Balance.",
        HEADINGS,
        rows,
        "Foot.",
        "Page {page} of {pages}",
        "No line.",
    )


def pages(sheet: TableSheet) -> list[str]:
    pdf = register_pdf(sheet, bundled())
    assert isinstance(pdf, bytes), pdf
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        assert all(
            (round(page.width), round(page.height)) == (842, 595)  # A4 across, in points
            for page in document.pages
        )
        return [page.extract_text() for page in document.pages]


def test_the_columns_fill_the_page_between_its_margins() -> None:
    assert sum(GRID.columns) + BETWEEN * (len(GRID.columns) - 1) == pytest.approx(GRID.wide)


def test_every_line_is_there_once_and_each_page_says_what_it_is() -> None:
    found = pages(a_sheet(60))
    assert len(found) > 2
    for number, text in enumerate(found, start=1):
        assert "ketamine 10 mg/mL" in text
        assert f"Page {number} of {len(found)}" in text
        assert "Before whom" in text
    whole = "\n".join(found)
    for n in range(1, 61):
        assert whole.count(f"D1{n:05}") == 1


def test_no_two_texts_of_a_page_touch() -> None:
    pdf = register_pdf(a_sheet(12), bundled())
    assert isinstance(pdf, bytes)
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        words = document.pages[0].extract_words(use_text_flow=True)
    for n, one in enumerate(words):
        for other in words[n + 1 :]:
            apart = (
                one["x1"] <= other["x0"] + 0.1
                or other["x1"] <= one["x0"] + 0.1
                or one["bottom"] <= other["top"] + 1.2
                or other["bottom"] <= one["top"] + 1.2
            )
            assert apart, (one["text"], other["text"])


def test_an_empty_sheet_says_so() -> None:
    assert "No line." in pages(a_sheet(0))[0]


@pytest.mark.parametrize(
    ("cell", "code"), [("日", "label_glyph_missing"), ("X" * 60, "label_too_wide")], ids=["glyph", "width"]
)
def test_what_cannot_be_set_is_refused_and_nothing_is_shrunk(cell: str, code: str) -> None:
    sheet = a_sheet(1)
    bad = replace(sheet, rows=((*sheet.rows[0][:3], cell, *sheet.rows[0][4:]),))
    answer = register_pdf(bad, bundled())
    assert isinstance(answer, Refusal)
    assert answer.code == code
