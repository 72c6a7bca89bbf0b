"""A table on paper, over as many pages as it takes: the same head on each, no row ever broken or dropped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from kiosk.core.findings import Refusal
from kiosk.core.label.table_sheet import TableSheet
from kiosk.printing.banner import Banner, banner
from kiosk.printing.faces import Faces
from kiosk.printing.paper import Paper
from kiosk.printing.rows import Row, Setting, draw_rows, set_text, unreadable

TITLE: Final = (Setting(6.5, 8.0), Setting(5.2, 6.4, lines=2))
SUBTITLE: Final = (Setting(3.8, 5.0, lines=2),)
HEADING: Final = (Setting(3.0, 3.9, lines=3),)
CELL: Final = (Setting(3.0, 3.9, lines=6),)
FOOT: Final = (Setting(2.8, 3.6, lines=3),)
PAD: Final = 1.2
BETWEEN: Final = 3.5
FOOT_ROOM: Final = 16.0

Cells: TypeAlias = tuple[tuple[Row, ...], ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A page of ``width`` x ``height`` mm with columns of these widths between its margins.

    ``right`` are the columns whose text ends at the right, as figures do.
    """

    width: float
    height: float
    side: float
    top: float
    columns: tuple[float, ...]
    right: frozenset[int] = frozenset()

    @property
    def wide(self) -> float:
        """The room between the margins."""
        return self.width - 2 * self.side

    def starts(self) -> Iterator[float]:
        """Yield where each column begins."""
        at = self.side
        for wide in self.columns:
            yield at
            at += wide + BETWEEN


def table_pdf(sheet: TableSheet, grid: Grid, faces: Faces) -> bytes | Refusal:
    """Return the table as a PDF, or why it cannot be set: the codes of ``label_pdf`` for a text."""
    training = banner(sheet.training, grid.wide, faces)
    trouble = unreadable(_texts(sheet), faces)
    if trouble:
        return trouble
    if isinstance(training, Refusal):
        return training
    laid = _Laid(sheet, grid, faces)
    if laid.refusal is not None:
        return laid.refusal
    paper = Paper(grid.width, grid.height, faces, sheet.title)
    pages = list(laid.pages())
    for number, rows in enumerate(pages, start=1):
        if number > 1:
            paper.turn()
        laid.draw(paper, training, rows, number, len(pages))
    return paper.done()


def _texts(sheet: TableSheet) -> Iterator[str]:
    """Yield every text of the sheet."""
    yield from (sheet.title, sheet.subtitle, sheet.foot, sheet.page, sheet.empty, sheet.training)
    yield from sheet.headings
    for row in sheet.rows:
        yield from row


class _Laid:
    """The texts of a table set in their columns; ``refusal`` is the first that does not fit."""

    def __init__(self, sheet: TableSheet, grid: Grid, faces: Faces) -> None:
        self._sheet, self._grid, self._faces = sheet, grid, faces
        self.refusal: Refusal | None = None
        self._title = self._set(sheet.title, TITLE, grid.wide, bold=True)
        self._subtitle = self._set(sheet.subtitle, SUBTITLE, grid.wide)
        self._foot = self._set(sheet.foot, FOOT, grid.wide - 40)
        self._head = self._cells(sheet.headings, HEADING, bold=True)
        self._rows = tuple(self._cells(row, CELL) for row in sheet.rows)

    def _set(
        self, text: str, settings: Sequence[Setting], wide: float, *, bold: bool = False
    ) -> tuple[Row, ...]:
        """Set one text, or remember that it does not fit."""
        rows = set_text(text, settings, wide, self._faces, bold=bold)
        if isinstance(rows, Refusal):
            self.refusal = self.refusal or rows
            return ()
        return tuple(row for row in rows if row.pieces[0].text)

    def _cells(self, texts: Sequence[str], settings: Sequence[Setting], *, bold: bool = False) -> Cells:
        """Set a row of texts."""
        widths = self._grid.columns
        return tuple(
            self._set(text, settings, wide, bold=bold) for text, wide in zip(texts, widths, strict=True)
        )

    @property
    def _above(self) -> float:
        """Where the first row begins: under title, subtitle and headings."""
        head = _high(self._title) + _high(self._subtitle) + 3.0
        return self._grid.top + head + _tallest(self._head) + 2 * PAD

    def pages(self) -> Iterator[list[Cells]]:
        """Yield the rows of each page."""
        room = self._grid.height - FOOT_ROOM - self._above
        page, used = list[Cells](), 0.0
        for row in self._rows:
            high = _tallest(row) + 2 * PAD
            if page and used + high > room:
                yield page
                page, used = [], 0.0
            page.append(row)
            used += high
        yield page

    def draw(self, paper: Paper, training: Banner, rows: list[Cells], page: int, pages: int) -> None:
        """Draw one page."""
        grid = self._grid
        training.draw_across(paper, self._faces, 4.0)
        y = draw_rows(paper, self._faces, grid.side, grid.top, self._title)
        y = draw_rows(paper, self._faces, grid.side, y, self._subtitle) + 3.0
        y = self._row(paper, y, self._head)
        paper.box(grid.side, y, grid.wide, 0.35)
        for row in rows:
            y = self._row(paper, y, row)
            paper.box(grid.side, y, grid.wide, 0.12)
        if not self._rows:
            draw_rows(paper, self._faces, grid.side, y + 4, self._set(self._sheet.empty, SUBTITLE, grid.wide))
        self._below(paper, page, pages)

    def _row(self, paper: Paper, y: float, cells: Cells) -> float:
        """Draw a row of cells and return where it ends."""
        starts = zip(self._grid.starts(), self._grid.columns, cells, strict=True)
        for number, (x, wide, rows) in enumerate(starts):
            self._cell(paper, x, y + PAD, wide, rows, right=number in self._grid.right)
        return y + _tallest(cells) + 2 * PAD

    def _cell(
        self, paper: Paper, x: float, y: float, wide: float, rows: tuple[Row, ...], *, right: bool
    ) -> None:
        """Draw one cell, figures to the right."""
        for row in rows:
            piece = row.pieces[0]
            off = wide - self._faces.face(piece.bold).width(piece.text, piece.size) if right else 0.0
            y = draw_rows(paper, self._faces, x + off, y, (row,))

    def _below(self, paper: Paper, page: int, pages: int) -> None:
        """Draw the foot and the number of the page."""
        grid, y = self._grid, self._grid.height - FOOT_ROOM + 3
        draw_rows(paper, self._faces, grid.side, y, self._foot)
        text = self._sheet.page.format(page=page, pages=pages)
        wide = self._faces.regular.width(text, FOOT[0].size)
        draw_rows(paper, self._faces, grid.width - grid.side - wide, y, self._set(text, FOOT, wide + 1))


def _high(rows: tuple[Row, ...]) -> float:
    """Return how high rows are together."""
    return sum(row.pitch for row in rows)


def _tallest(cells: Cells) -> float:
    """Return how high the tallest of some cells is."""
    return max((_high(cell) for cell in cells), default=0.0)
