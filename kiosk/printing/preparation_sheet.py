"""One preparation on one A4 page: what was ordered, used, worked out, found, and who answered for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.sheet import PreparationSheet, SheetSection, WorkingColumn
from kiosk.printing.banner import Banner, banner
from kiosk.printing.faces import Faces
from kiosk.printing.marks import SymbolColumn, symbol_column
from kiosk.printing.paper import Paper
from kiosk.printing.rows import Piece, Row, Setting, draw_rows, set_text, unreadable
from kiosk.printing.symbol import DOTS_300, Dots

WIDTH: Final = 210.0
HEIGHT: Final = 297.0
SIDE: Final = 20.0
TOP: Final = 18.0
FOOT: Final = 282.0
WIDE: Final = WIDTH - 2 * SIDE
NAMES: Final = 44.0
MODULE: Final = 0.6
TITLE: Final = (Setting(8.0, 9.5), Setting(6.0, 7.2, lines=2))
SUBTITLE: Final = (Setting(4.2, 5.6, lines=2),)
HEADING: Final = (Setting(3.6, 5.0),)
BODY: Final = (Setting(3.6, 4.8, lines=8),)
SMALL: Final = (Setting(3.0, 4.0, lines=3),)
GAP: Final = 4.0


def sheet_pdf(sheet: PreparationSheet, faces: Faces, dots: Dots = DOTS_300) -> bytes | Refusal:
    """Return the record as a one-page PDF, or why it cannot be set.

    Codes: those of ``label_pdf`` for a text, and ``sheet_too_long`` when it does not fit on one page.
    """
    column = symbol_column(sheet.code, MODULE, faces, dots)
    training = banner(sheet.training, WIDE, faces)
    trouble = unreadable(_texts(sheet), faces)
    if trouble:
        return trouble
    if isinstance(column, Refusal):
        return column
    if isinstance(training, Refusal):
        return training
    paper = Paper(WIDTH, HEIGHT, faces, sheet.title)
    page = _Page(paper, faces)
    page.head(sheet, column, training, dots)
    for section in sheet.sections:
        page.section(section)
    page.working(sheet.working_heading, sheet.working)
    page.foot(sheet.foot)
    return page.refusal or paper.done()


def _texts(sheet: PreparationSheet) -> Iterator[str]:
    """Yield every text of the sheet."""
    yield from (sheet.title, sheet.subtitle, sheet.code, sheet.working_heading, sheet.foot, sheet.training)
    for section in sheet.sections:
        yield section.heading
        for name, value in section.rows:
            yield from (name, value)
    for column in sheet.working:
        yield from (column.heading, *column.lines)


class _Page:
    """Writes down the page from the top; remembers the first thing that did not fit."""

    def __init__(self, paper: Paper, faces: Faces) -> None:
        self._paper = paper
        self._faces = faces
        self._y = TOP
        self.refusal: Refusal | None = None

    def head(self, sheet: PreparationSheet, column: SymbolColumn, training: Banner, dots: Dots) -> None:
        """Title and subtitle at the left, the syringe's symbol at the right."""
        training.draw_across(self._paper, self._faces, TOP - 12)
        column.draw(self._paper, self._faces, WIDTH - SIDE, TOP, dots)
        wide = WIDE - column.width - 6
        self._y = self._put(sheet.title, TITLE, SIDE, wide, bold=True)
        self._y = max(self._put(sheet.subtitle, SUBTITLE, SIDE, wide), TOP + column.height) + GAP

    def section(self, section: SheetSection) -> None:
        """A heading under a rule, then a name and what stands beside it, row by row."""
        self._heading(section.heading)
        for name, value in section.rows:
            below = self._put(name, BODY, SIDE, NAMES - 4)
            self._y = max(below, self._put(value, BODY, SIDE + NAMES, WIDE - NAMES))
        self._y += GAP

    def working(self, heading: str, columns: tuple[WorkingColumn, ...]) -> None:
        """The written forms of the working beside each other."""
        if not columns:
            return
        self._heading(heading)
        each = (WIDE - (len(columns) - 1) * 6) / len(columns)
        ends = [self._column(column, SIDE + n * (each + 6), each) for n, column in enumerate(columns)]
        self._y = max(ends) + GAP

    def foot(self, text: str) -> None:
        """The small words at the bottom; what stands above must end before them."""
        if self._y > FOOT - GAP:
            self.refusal = self.refusal or Refusal("sheet_too_long")
        self._paper.box(SIDE, FOOT - 2, WIDE, 0.2)
        self._y = FOOT
        self._put(text, SMALL, SIDE, WIDE)

    def _heading(self, text: str) -> None:
        self._paper.box(SIDE, self._y, WIDE, 0.3)
        self._y += 1.4
        self._y = self._put(text, HEADING, SIDE, WIDE, bold=True) + 0.6

    def _column(self, column: WorkingColumn, x: float, wide: float) -> float:
        """Draw one column of the working from the present height and return where it ends."""
        start = self._y
        self._y = self._put(column.heading, SMALL, x, wide)
        for line in column.lines:
            self._y = self._put(line, BODY, x, wide)
        end, self._y = self._y, start
        return end

    def _put(
        self, text: str, settings: tuple[Setting, ...], x: float, wide: float, *, bold: bool = False
    ) -> float:
        """Draw a text from the present height and return where it ends."""
        rows = set_text(text, settings, wide, self._faces, bold=bold)
        if isinstance(rows, Refusal):
            self.refusal = self.refusal or rows
            rows = (Row((Piece("", settings[0].size),), settings[0].pitch),)
        return draw_rows(self._paper, self._faces, x, self._y, rows)
