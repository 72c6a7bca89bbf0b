"""Reading back finds what a label fails to say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.core.findings import Refusal
from kiosk.core.label.says import LabelFields
from kiosk.printing.label import label_pdf
from kiosk.printing.paper import Paper
from kiosk.printing.read_back import pages_of, read_back
from kiosk.printing.symbol import DOTS_203, DOTS_300, data_matrix
from kiosk.printing.wording import texts_of
from tests.printing.samples import bundled, insulin, longest, plain


def pdf_of(label: LabelFields) -> bytes:
    made = label_pdf(label, bundled())
    assert isinstance(made, bytes)
    return made


def read(pdf: bytes, label: LabelFields) -> Refusal | None:
    return read_back(pdf, label.code, texts_of(label), DOTS_203)


def test_a_right_label_reads_back() -> None:
    assert read(pdf_of(plain()), plain()) is None


def test_a_text_broken_over_two_lines_is_still_that_text() -> None:
    assert read(pdf_of(longest()), longest()) is None


@pytest.mark.parametrize(
    "field", ["drug", "dose", "volume", "strength", "route", "patient", "patient_number", "discard_after"]
)
def test_every_field_that_is_not_on_the_paper_is_missed(field: str) -> None:
    asked = replace(plain(), **{field: "something else"})
    assert read(pdf_of(plain()), asked) == Refusal("label_text_unread", {"text": "something else"})


def test_the_label_of_another_syringe_is_found_out() -> None:
    other = replace(plain(), code="PC1A30002KX")
    assert read(pdf_of(plain()), other) == Refusal("label_code_unread", {"code": "PC1A30002KX"})


def page(*codes: str, module: float = 0.5) -> bytes:
    paper = Paper(60, 30, bundled(), "test")
    for number, code in enumerate(codes):
        paper.symbol(2 + number * 20, 5, data_matrix(code), module)
    return paper.done()


def test_no_symbol_and_two_symbols_are_both_wrong() -> None:
    for pdf in (page(), page("PC1A30001KQ", "PC1A30001KQ")):
        assert read_back(pdf, "PC1A30001KQ", (), DOTS_203) == Refusal(
            "label_code_unread", {"code": "PC1A30001KQ"}
        )
    assert read_back(page("PC1A30001KQ"), "PC1A30001KQ", (), DOTS_203) is None


def test_a_symbol_too_fine_for_the_print_head_is_found_out_before_it_is_printed() -> None:
    # A module of 0.06 mm is half a dot at 203 dpi.
    assert read_back(page("PC1A30001KQ", module=0.06), "PC1A30001KQ", (), DOTS_203) is not None


@pytest.mark.parametrize("junk", [b"", b"%PDF-1.7", b"not a pdf at all"])
def test_what_is_no_pdf_has_no_page(junk: bytes) -> None:
    assert pages_of(junk) == 0
    assert read(junk, plain()) == Refusal("label_not_one_page")


def test_a_label_made_for_one_head_reads_on_the_other_too() -> None:
    assert read_back(pdf_of(insulin()), insulin().code, texts_of(insulin()), DOTS_300) is None
