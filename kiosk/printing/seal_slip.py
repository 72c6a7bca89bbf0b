"""The slip of a seal: 76 x 50 mm, few words, and the whole seal as one Data Matrix.

A scanner that reads it back gives the seal to ``kiosk record verify``, years later too.
"""

from __future__ import annotations

from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.seal_slip import SealSlip
from kiosk.printing.faces import Faces
from kiosk.printing.paper import Paper
from kiosk.printing.rows import Piece, Setting, Stack, draw_rows, row_of, set_text, unreadable
from kiosk.printing.symbol import DOTS_203, QUIET_MODULES, Dots, data_matrix

WIDTH: Final = 76.0
HEIGHT: Final = 50.0
EDGE: Final = 2.5
MODULE: Final = 0.375
LARGEST_SIDE: Final = 72
"""Modules: a seal of the longest entry number fits well below."""
TITLE: Final = (Setting(4.2, 5.0), Setting(3.6, 4.2, lines=2))
BODY: Final = 2.7
PITCH: Final = 3.5
FOOT: Final = (Setting(2.4, 2.9, lines=4),)


def seal_pdf(slip: SealSlip, faces: Faces, dots: Dots = DOTS_203) -> bytes | Refusal:
    """Return the slip as a one-page PDF, or why it cannot be printed; codes as for ``label_pdf``."""
    trouble = unreadable(texts_of(slip), faces)
    symbol = data_matrix(slip.code)
    if trouble:
        return trouble
    if symbol.side > LARGEST_SIDE:
        return Refusal("label_code_too_long", {"code": slip.code})
    module = dots.module(MODULE)
    side = symbol.side * module
    rows = _rows(slip, faces, WIDTH - 2 * EDGE - side - 2 * QUIET_MODULES * module)
    if rows.refusal or rows.height > HEIGHT - 2 * EDGE:
        return rows.refusal or Refusal("label_too_full")
    paper = Paper(WIDTH, HEIGHT, faces, slip.title)
    draw_rows(paper, faces, EDGE, EDGE, rows.rows)
    paper.symbol(dots.snapped(WIDTH - EDGE - side), dots.snapped(EDGE), symbol, module)
    return paper.done()


def texts_of(slip: SealSlip) -> tuple[str, ...]:
    """Return every text of the slip, in reading order."""
    said = tuple(text for row in slip.rows for text in row)
    return (slip.title, *said, slip.hash_caption, *slip.hash, slip.foot)


def _rows(slip: SealSlip, faces: Faces, wide: float) -> Stack:
    """Set title, facts, hash and foot under each other."""
    stack = Stack()
    stack.add(set_text(slip.title, TITLE, wide, faces, bold=True))
    for caption, value in slip.rows:
        stack.add(row_of((Piece(caption, BODY), Piece(value, BODY, bold=True, gap=0.9)), PITCH, wide, faces))
    stack.add(row_of((Piece(slip.hash_caption, BODY),), PITCH, wide, faces))
    for part in slip.hash:
        stack.add(row_of((Piece(part, BODY),), PITCH, wide, faces))
    stack.add(set_text(slip.foot, FOOT, wide, faces))
    return stack
