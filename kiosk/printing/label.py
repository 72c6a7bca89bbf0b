"""A syringe's label as a PDF at true size, in the shape its fields ask for.

What does not fit, or cannot be drawn, is refused: nothing is shrunk below its declared size, cut or replaced.
Stocks: 60 x 30 mm along stout barrels; 45 x 40 mm, the flag, on thin ones.
"""

from __future__ import annotations

from kiosk.core.findings import Refusal
from kiosk.core.label.says import LabelFields, Shape
from kiosk.printing.along import along_pdf
from kiosk.printing.faces import Faces
from kiosk.printing.flag import flag_pdf
from kiosk.printing.rows import unreadable
from kiosk.printing.symbol import DOTS_203, Dots
from kiosk.printing.wording import captions_of, texts_of


def label_pdf(fields: LabelFields, faces: Faces, dots: Dots = DOTS_203) -> bytes | Refusal:
    """Return the label as a one-page PDF for a print head with these dots, or why it cannot be printed.

    Codes: ``label_glyph_missing`` (text, character), ``label_too_wide`` (text), ``label_too_full``,
    ``label_code_too_long`` (code).
    """
    trouble = unreadable((*texts_of(fields), *captions_of(fields.captions), fields.code), faces)
    if trouble:
        return trouble
    shape = flag_pdf if fields.shape is Shape.FLAG else along_pdf
    return shape(fields, faces, dots)
