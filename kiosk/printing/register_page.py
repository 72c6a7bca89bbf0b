"""A sheet of the register of controlled drugs on paper: A4 across, a line for each movement."""

from __future__ import annotations

from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.table_sheet import TableSheet
from kiosk.printing.faces import Faces
from kiosk.printing.table_pages import Grid, table_pdf

# Number, when, what for, lot, in, given, wasted or sent, balance, the two people.
GRID: Final = Grid(
    width=297.0,
    height=210.0,
    side=15.0,
    top=14.0,
    columns=(9.0, 29.0, 57.0, 24.0, 18.0, 18.0, 18.0, 20.0, 46.0),
    right=frozenset({0, 4, 5, 6, 7}),
)


def register_pdf(sheet: TableSheet, faces: Faces) -> bytes | Refusal:
    """Return the sheet of one drug and strength as a PDF, or why a text of it cannot be set."""
    return table_pdf(sheet, GRID, faces)
