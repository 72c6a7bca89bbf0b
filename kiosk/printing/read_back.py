"""Reads a finished label back before anybody may call it printed.

The page is rendered as the print head will burn it, one bit a dot; an independent reader must find exactly
one Data Matrix with the very code, and every text the label owes must stand in the page's text layer.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Refusal
from kiosk.printing.symbol import Dots

if TYPE_CHECKING:
    from PIL.Image import Image

HALF_GREY: Final = 128
MM_PER_POINT: Final = 25.4 / 72
# A page of 360 dots is written as 360.0002 and would be drawn on 361, a little stretched.
ROUNDING: Final = 1 - 1e-5


def read_back(pdf: bytes, code: str, texts: Iterable[str], dots: Dots) -> Refusal | None:
    """Return None when the label says what it should, else what it fails to say.

    Codes: ``label_not_one_page``, ``label_code_unread`` (code), ``label_text_unread`` (text).
    """
    if pages_of(pdf) != 1:
        return Refusal("label_not_one_page")
    if codes_on(burnt(pdf, dots)) != (code,):
        return Refusal("label_code_unread", {"code": code})
    found = _bare(text_of(pdf))
    missing = next((text for text in texts if _bare(text) not in found), None)
    return Refusal("label_text_unread", {"text": missing}) if missing is not None else None


def pages_of(pdf: bytes) -> int:
    """Return how many pages a PDF has; none for what is not a whole PDF."""
    import pypdfium2

    try:
        with pypdfium2.PdfDocument(pdf) as document:
            return len(document)
    except pypdfium2.PdfiumError:
        return 0


def burnt(pdf: bytes, dots: Dots) -> Image:
    """Return the first page as the print head burns it: one bit a dot, black or nothing."""
    import pypdfium2

    with pypdfium2.PdfDocument(pdf) as document:
        grey: Image = document[0].render(scale=dots.per_mm * MM_PER_POINT * ROUNDING, grayscale=True).to_pil()
    return grey.point([255 if level >= HALF_GREY else 0 for level in range(256)])


def codes_on(image: Image) -> tuple[str, ...]:
    """Return the text of every Data Matrix on a black and white image."""
    import zxingcpp

    found = zxingcpp.read_barcodes(
        image, formats=zxingcpp.barcode_formats_from_str("DataMatrix"), binarizer=zxingcpp.Binarizer.BoolCast
    )
    return tuple(one.text for one in found)


def text_of(pdf: bytes) -> str:
    """Return the text layer of the first page."""
    import pypdfium2

    with pypdfium2.PdfDocument(pdf) as document:
        return str(document[0].get_textpage().get_text_range())


def whole_text_of(pdf: bytes) -> str:
    """Return the text layer of every page; nothing of what is not a whole PDF."""
    import pypdfium2

    try:
        with pypdfium2.PdfDocument(pdf) as document:
            return "\n".join(str(page.get_textpage().get_text_range()) for page in document)
    except pypdfium2.PdfiumError:
        return ""


def _bare(text: str) -> str:
    """Return a text without any space or line end: a broken line is still the same text.

    The reader gives U+FFFE for a hyphen at the end of a line.
    """
    return re.sub(r"\s", "", text.replace("\ufffe", "-"))
