"""The syringe's label along the barrel: 60 x 30 mm.

Read from the top: the drug, the dose with its volume, the strength with the route; under the rule the
patient, who made it and who checked it, and at the foot the moment to discard it. The Data Matrix and
its code stand at the lower right. It lies opposite the scale; see ``kiosk.core.label.placement``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.says import LabelFields
from kiosk.printing.banner import banner
from kiosk.printing.faces import Faces
from kiosk.printing.marks import SymbolColumn, chip_width, draw_chip, symbol_column
from kiosk.printing.paper import Paper
from kiosk.printing.rows import (
    Piece,
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

WIDTH: Final = 60.0
HEIGHT: Final = 30.0
SIDE: Final = 1.6
EDGE: Final = 1.0
MODULE: Final = 0.5
# The name is never lower than 2.5 mm in its capitals (ISO 26825:2020): 3.85 mm of em and more.
NAME: Final = (Setting(6.0, 6.0), Setting(4.6, 4.9), Setting(3.85, 3.6, lines=2))
DOSE: Final = (5.0, 4.2)
PATIENT: Final = (Setting(3.0, 2.95), Setting(2.3, 2.4, lines=2))
RULE: Final = 0.5
SMALL: Final = 2.3
PITCH: Final = 2.35


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where text may stand: from ``left``, ``wide`` above the symbol, ``narrow`` beside it."""

    left: float
    wide: float
    narrow: float


def along_pdf(fields: LabelFields, faces: Faces, dots: Dots) -> bytes | Refusal:
    """Return the label as a one-page PDF, or why it cannot be set."""
    column = symbol_column(fields.code, MODULE, faces, dots)
    training = banner(fields.training, HEIGHT - 2 * EDGE, faces)
    if isinstance(column, Refusal):
        return column
    if isinstance(training, Refusal):
        return training
    left = training.thick + SIDE
    wide = WIDTH - SIDE - left
    frame = _Frame(left, wide, wide - column.width - 0.8)
    blocks = _blocks(fields, faces, frame)
    if isinstance(blocks, Refusal):
        return blocks
    paper = Paper(WIDTH, HEIGHT, faces, fields.code)
    training.draw_side(paper, faces)
    _draw(paper, faces, frame, blocks)
    _draw_symbol(paper, faces, column, copy_text(fields), dots)
    return paper.done()


def _blocks(fields: LabelFields, faces: Faces, frame: _Frame) -> tuple[Stack, ...] | Refusal:
    """Return drug, patient and times, the drug's name as large as the rest allows."""
    patient, times = _patient(fields, faces, frame), _times(fields, faces, frame)
    return largest_that_fits(
        NAME,
        lambda name: (_drug(fields, faces, frame, name), patient, times),
        lambda blocks: _spare(blocks) >= 0,
    )


def _spare(blocks: tuple[Stack, ...]) -> float:
    """Return the height that the blocks and the rule leave free."""
    return HEIGHT - 2 * EDGE - RULE - sum(block.height for block in blocks)


def _drug(fields: LabelFields, faces: Faces, frame: _Frame, name: Sequence[Setting]) -> Stack:
    """What is in the syringe, and which way it goes in."""
    stack = Stack()
    stack.add(set_text(fields.drug, name, frame.wide, faces, bold=True))
    stack.add(first_fitting(*(row_of(dose(fields, em), 4.5, frame.wide, faces) for em in DOSE)))
    route = (Piece(fields.strength, 3.0), Piece(fields.route, 3.0, bold=True, gap=2.6))
    stack.add(row_of(route, 3.1, frame.wide - chip_width(copy_text(fields), faces), faces))
    stack.add(
        flowed((Piece(w, SMALL, bold=True, gap=2.0) for w in fields.warnings), PITCH, frame.narrow, faces)
    )
    return stack


def _patient(fields: LabelFields, faces: Faces, frame: _Frame) -> Stack:
    """Who it is for."""
    stack = Stack()
    stack.add(set_text(fields.patient, PATIENT, frame.narrow, faces, bold=True))
    stack.add(flowed(patient_marks(fields, SMALL), PITCH, frame.narrow, faces))
    stack.append_where_room(Piece(fields.place, SMALL, gap=1.8), frame.narrow, faces)
    return stack


def _times(fields: LabelFields, faces: Faces, frame: _Frame) -> Stack:
    """When and by whom it was made and checked, and when it must go."""
    stack = Stack()
    stack.add(row_of(made(fields, SMALL), PITCH, frame.narrow, faces))
    stack.add(row_of(checked(fields, SMALL), PITCH, frame.narrow, faces))
    stack.add(row_of(discard(fields, SMALL, 3.2), 3.1, frame.narrow, faces))
    return stack


def _draw(paper: Paper, faces: Faces, frame: _Frame, blocks: tuple[Stack, ...]) -> None:
    """Draw the three blocks with the spare height shared out between them."""
    spare = _spare(blocks)
    (*upper, strength), (patient, *marks), (*people, last) = (block.rows for block in blocks)
    y = draw_rows(paper, faces, frame.left, EDGE, upper) + spare * 0.3
    y = draw_rows(paper, faces, frame.left, y, [strength]) + spare * 0.2
    paper.box(frame.left, y + RULE * 0.3, frame.narrow, 0.25)
    y = draw_rows(paper, faces, frame.left, y + RULE + spare * 0.2, [patient, *marks])
    draw_rows(paper, faces, frame.left, y + spare * 0.1, people)
    draw_rows(paper, faces, frame.left, HEIGHT - EDGE - last.pitch, [last])


def _draw_symbol(paper: Paper, faces: Faces, column: SymbolColumn, copy: str, dots: Dots) -> None:
    """Draw the symbol at the lower right, and above it the chip of a further copy."""
    right, top = WIDTH - SIDE, HEIGHT - EDGE - column.height
    column.draw(paper, faces, right, top, dots)
    if copy:
        draw_chip(paper, faces, right, top - 4.3, copy)
