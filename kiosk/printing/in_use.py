"""The in-use label of an opened multi-dose vial: 45 x 22.5 mm, half the flag's stock.

Largest after the drug's name is the moment to discard, since that, not the day of opening, is what the
next person must know (Joint Commission MM.03.01.01, note to EP 7: the discard date is written).
"""

from __future__ import annotations

from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.says import InUseFields
from kiosk.printing.banner import banner
from kiosk.printing.faces import Faces
from kiosk.printing.marks import symbol_column
from kiosk.printing.paper import Paper
from kiosk.printing.rows import Piece, Setting, Stack, draw_rows, row_of, set_text, unreadable
from kiosk.printing.symbol import DOTS_203, Dots
from kiosk.printing.wording import captioned, captions_of, in_use_texts_of

WIDTH: Final = 45.0
HEIGHT: Final = 22.5
SIDE: Final = 1.4
EDGE: Final = 0.9
MODULE: Final = 0.375
WIDE: Final = WIDTH - 2 * SIDE
NAME: Final = (Setting(4.6, 4.8), Setting(3.85, 4.0), Setting(3.2, 3.1, lines=2))
SMALL: Final = 2.2
PITCH: Final = 2.35


def in_use_pdf(fields: InUseFields, faces: Faces, dots: Dots = DOTS_203) -> bytes | Refusal:
    """Return the label as a one-page PDF, or why it cannot be printed; codes as for ``label_pdf``."""
    trouble = unreadable((*in_use_texts_of(fields), *captions_of(fields.captions), fields.code), faces)
    column = symbol_column(fields.code, MODULE, faces, dots)
    training = banner(fields.training, WIDE, faces)
    if trouble:
        return trouble
    if isinstance(column, Refusal):
        return column
    if isinstance(training, Refusal):
        return training
    rows = _rows(fields, faces, WIDE - column.width - 0.8)
    spare = HEIGHT - 2 * EDGE - training.thick - rows.height
    if rows.refusal or spare < 0:
        return rows.refusal or Refusal("label_too_full")
    paper = Paper(WIDTH, HEIGHT, faces, fields.code)
    training.draw_across(paper, faces, 0)
    what, until = rows.rows[:-3], rows.rows[-3:]
    y = draw_rows(paper, faces, SIDE, training.thick + EDGE, what) + spare
    draw_rows(paper, faces, SIDE, y, until)
    column.draw(paper, faces, WIDTH - SIDE, HEIGHT - EDGE - column.height, dots)
    return paper.done()


def _rows(fields: InUseFields, faces: Faces, narrow: float) -> Stack:
    """What it is, when it must go, when and by whom it was opened, what is left."""
    says = fields.captions
    stack = Stack()
    stack.add(set_text(fields.drug, NAME, WIDE, faces, bold=True))
    left = Piece(captioned(says.left, fields.left), 2.7, gap=2.2)
    stack.add(row_of([Piece(fields.strength, 2.7), left], 3.0, WIDE, faces))
    stack.add(row_of([Piece(says.discard_after, SMALL)], PITCH, narrow, faces))
    stack.add(row_of([Piece(fields.discard_after, 3.5, bold=True)], 3.5, narrow, faces))
    opened = (
        Piece(captioned(says.opened, fields.opened), SMALL),
        Piece(says.by, SMALL, gap=0.6),
        Piece(fields.opened_by, SMALL, bold=True, gap=0.6),
    )
    stack.add(row_of(opened, PITCH, narrow, faces))
    return stack
