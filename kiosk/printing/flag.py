"""The syringe's label for thin barrels: a flag of 45 x 45 mm whose panels fold back to back.

The blank edge at the top sticks along the barrel's back, opposite the scale, so the scale is never
covered. Below it hang two panels, 20 mm high each: fold at the broken line and press them together.
The outer panel says what is in the syringe; lifted like the leaf of a notepad, the inner one says for
whom, by whom and until when, and carries the Data Matrix.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.says import LabelFields
from kiosk.printing.banner import Banner, banner
from kiosk.printing.faces import Faces
from kiosk.printing.marks import symbol_column
from kiosk.printing.paper import Paper
from kiosk.printing.rows import (
    Piece,
    Row,
    Setting,
    Stack,
    draw_rows,
    first_fitting,
    flowed,
    largest_that_fits,
    row_of,
    set_text,
)
from kiosk.printing.symbol import Dots
from kiosk.printing.wording import checked, copy_text, discard, dose, made, patient_marks

WIDTH: Final = 45.0
SPINE: Final = 5.0
PANEL: Final = 20.0
HEIGHT: Final = SPINE + 2 * PANEL
SIDE: Final = 1.4
EDGE: Final = 0.9
FOLD_GAP: Final = 0.35
MODULE: Final = 0.375
WIDE: Final = WIDTH - 2 * SIDE
NAME: Final = (Setting(5.6, 5.8), Setting(4.6, 4.9), Setting(3.85, 3.6, lines=2))
DOSE: Final = (4.8, 3.85)
PATIENT: Final = (Setting(3.0, 3.0), Setting(2.2, 2.3, lines=2))
SMALL: Final = 2.2
PITCH: Final = 2.3
FOLD_WORDS: Final = (Setting(2.0, 2.0, lines=2),)


def flag_pdf(fields: LabelFields, faces: Faces, dots: Dots) -> bytes | Refusal:
    """Return the flag as a one-page PDF, or why it cannot be set."""
    column = symbol_column(fields.code, MODULE, faces, dots)
    banners = _banners(fields, faces)
    edge = set_text(fields.captions.fold, FOLD_WORDS, WIDE, faces)
    if isinstance(column, Refusal):
        return column
    if isinstance(banners, Refusal):
        return banners
    if isinstance(edge, Refusal):
        return edge
    panels = _panels(fields, faces, banners, WIDE - column.width - 0.8)
    if isinstance(panels, Refusal):
        return panels
    paper = Paper(WIDTH, HEIGHT, faces, fields.code)
    _draw_edge(paper, faces, edge)
    for number, (panel, top) in enumerate(zip(panels, banners, strict=True)):
        _draw_panel(paper, faces, SPINE + number * PANEL, panel, top)
    column.draw(paper, faces, WIDTH - SIDE, SPINE + PANEL + banners[1].thick + EDGE + 0.2, dots)
    return paper.done()


def _panels(
    fields: LabelFields, faces: Faces, banners: tuple[Banner, Banner], narrow: float
) -> tuple[Stack, ...] | Refusal:
    """Return the outer and the inner panel, the drug's name as large as the rest allows."""
    inner = _inner(fields, faces, narrow)
    return largest_that_fits(
        NAME,
        lambda name: (_outer(fields, faces, name), inner),
        lambda panels: all(p.height <= _room(b) for p, b in zip(panels, banners, strict=True)),
    )


def _room(top: Banner) -> float:
    """Return the height left for rows on a panel under its banner."""
    return PANEL - 2 * EDGE - top.thick


def _banners(fields: LabelFields, faces: Faces) -> tuple[Banner, Banner] | Refusal:
    """Return the outer panel's banner and the inner one's, which also names a further copy.

    Where both do not fit in one line, the outer panel says that it is training, the inner one which copy.
    """
    outer = banner(fields.training, WIDE, faces)
    both = banner(" ".join(filter(None, (fields.training, copy_text(fields)))), WIDE, faces)
    inner = (
        banner(copy_text(fields), WIDE, faces) if isinstance(both, Refusal) or len(both.lines) > 1 else both
    )
    if isinstance(outer, Refusal):
        return outer
    return inner if isinstance(inner, Refusal) else (outer, inner)


def _outer(fields: LabelFields, faces: Faces, name: Sequence[Setting]) -> Stack:
    """What is in the syringe, and which way it goes in."""
    stack = Stack()
    stack.add(set_text(fields.drug, name, WIDE, faces, bold=True))
    stack.add(first_fitting(*(row_of(dose(fields, em), 4.6, WIDE, faces) for em in DOSE)))
    route = (Piece(fields.strength, 2.8), Piece(fields.route, 2.8, bold=True, gap=2.2))
    stack.add(flowed(route, 3.0, WIDE, faces))
    stack.add(flowed((Piece(w, SMALL, bold=True, gap=2.0) for w in fields.warnings), PITCH, WIDE, faces))
    return stack


def _inner(fields: LabelFields, faces: Faces, narrow: float) -> Stack:
    """For whom, by whom, and until when."""
    stack = Stack()
    stack.add(set_text(fields.patient, PATIENT, narrow, faces, bold=True))
    stack.add(flowed(patient_marks(fields, SMALL), PITCH, narrow, faces))
    stack.append_where_room(Piece(fields.place, SMALL, gap=1.8), narrow, faces)
    stack.add(flowed(made(fields, SMALL), PITCH, narrow, faces))
    stack.add(flowed(checked(fields, SMALL), PITCH, narrow, faces))
    stack.add(row_of(discard(fields, SMALL, 2.8), 3.0, WIDE, faces))
    return stack


def _draw_edge(paper: Paper, faces: Faces, words: tuple[Row, ...]) -> None:
    """Draw the words on the sticking edge, the line under it and the fold."""
    draw_rows(paper, faces, SIDE, 0.4, words)
    paper.box(0, SPINE - 0.125, WIDTH, 0.125)
    paper.dashes(0, SPINE + PANEL - 0.25, WIDTH)


def _draw_panel(paper: Paper, faces: Faces, top: float, panel: Stack, over: Banner) -> None:
    """Draw one panel: its banner if there is one, then its rows, the last at the foot."""
    over.draw_across(paper, faces, top + FOLD_GAP)
    spare = _room(over) - panel.height
    *rest, last = panel.rows
    draw_rows(paper, faces, SIDE, top + over.thick + EDGE + spare * 0.25, rest)
    draw_rows(paper, faces, SIDE, top + PANEL - EDGE - last.pitch - spare * 0.25, [last])
