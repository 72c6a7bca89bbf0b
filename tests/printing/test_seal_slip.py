"""The slip of a seal: all of it in one symbol, read back off the rendered page at both print heads."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from kiosk.core.findings import Refusal
from kiosk.core.label.seal_slip import SealSlip, seal_slip
from kiosk.printing.read_back import burnt, codes_on, pages_of, read_back, text_of
from kiosk.printing.seal_slip import HEIGHT, WIDTH, seal_pdf, texts_of
from kiosk.printing.symbol import DOTS_203, DOTS_300, Dots
from kiosk.tables.words import languages, words
from tests.printing.samples import bundled

AT = datetime(2026, 11, 25, 22, 59, tzinfo=UTC)
LONGEST = f"PS1 0c508041 999999999999 2026-11-25T22:59:00.000000+00:00 {'f0e1d2c3' * 8} {'a9b8c7d6' * 8}"


def a_slip(language: str = "en", text: str = LONGEST) -> SealSlip:
    return seal_slip(text, "0c508041", int(text.split()[2]), AT, words(language))


@pytest.mark.parametrize("dots", [DOTS_203, DOTS_300], ids=["203 dpi", "300 dpi"])
@pytest.mark.parametrize("language", languages())
def test_the_whole_seal_is_read_off_the_paper(language: str, dots: Dots) -> None:
    slip = a_slip(language)
    pdf = seal_pdf(slip, bundled(), dots)
    assert isinstance(pdf, bytes), pdf
    assert codes_on(burnt(pdf, dots)) == (LONGEST,)
    assert read_back(pdf, LONGEST, texts_of(slip), dots) is None


def test_it_is_one_small_page_that_says_when_and_up_to_where() -> None:
    pdf = seal_pdf(a_slip(), bundled())
    assert isinstance(pdf, bytes)
    assert pages_of(pdf) == 1
    said = text_of(pdf)
    for part in ("25 Nov 2026 22:59", "0c508041", "999999999999", "f0e1d2c3f0e1d2c3"):
        assert part in said, part
    image = burnt(pdf, DOTS_203)
    assert (image.width, image.height) == (round(WIDTH * 8), round(HEIGHT * 8))  # 8 dots a millimetre


def test_the_same_seal_makes_the_same_bytes() -> None:
    assert seal_pdf(a_slip(), bundled()) == seal_pdf(a_slip(), bundled())


def test_a_text_too_long_for_the_slip_is_refused() -> None:
    answer = seal_pdf(a_slip(text=LONGEST + "0" * 600), bundled())
    assert isinstance(answer, Refusal)
    assert answer.code == "label_code_too_long"
