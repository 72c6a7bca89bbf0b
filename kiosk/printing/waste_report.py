"""The month's report of waste on paper: A4 upright, three charts, then the tables."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Final

from kiosk.core.findings import Refusal
from kiosk.core.label.table_sheet import TableSheet
from kiosk.core.label.waste_sheet import Bars, WasteSheet
from kiosk.printing.banner import banner
from kiosk.printing.faces import Faces
from kiosk.printing.paper import Paper
from kiosk.printing.rows import Row, Setting, draw_rows, set_text, unreadable

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

WIDTH, HEIGHT, SIDE, TOP, FOOT = 210.0, 297.0, 18.0, 16.0, 280.0
WIDE: Final = WIDTH - 2 * SIDE
TITLE: Final = (Setting(7.0, 8.6), Setting(5.6, 7.0, lines=2))
SUBTITLE: Final = (Setting(3.6, 4.8, lines=2),)
HEADING: Final = (Setting(3.6, 5.0),)
FIGURE: Final = (Setting(5.0, 6.2), Setting(4.0, 5.2, lines=2))
CELL: Final = (Setting(3.0, 3.9, lines=3),)
NAME: Final = (Setting(3.0, 4.0), Setting(2.8, 3.4, lines=2))
GAP: Final = 5.0
NAMES: Final = 66.0
ENDS: Final = 24.0
BAR: Final = 7.0
DAYS: Final = 31
COLUMNS: Final = (84.0, 28.0, 22.0, 20.0, 20.0)


def waste_pdf(sheet: WasteSheet, faces: Faces) -> bytes | Refusal:
    """Return the report as a PDF, or why a text of it cannot be set: the codes of ``label_pdf``."""
    training = banner(sheet.training, WIDE, faces)
    if trouble := unreadable(_texts(sheet), faces):
        return trouble
    if isinstance(training, Refusal):
        return training
    page = _Pages(Paper(WIDTH, HEIGHT, faces, sheet.title), faces)
    training.draw_across(page.paper, faces, 4.0)
    page.head(sheet)
    page.bars(sheet.by_reason)
    page.bars(sheet.by_product)
    page.columns(sheet.by_day)
    for table in sheet.tables:
        page.table(table)
    page.foot(sheet.foot)
    return page.refusal or page.paper.done()


def _texts(sheet: WasteSheet) -> Iterator[str]:
    """Yield every text of the report."""
    yield from (sheet.title, sheet.subtitle, sheet.foot, sheet.training)
    for name, figure in sheet.sums:
        yield from (name, figure)
    for chart in (sheet.by_reason, sheet.by_product, sheet.by_day):
        yield from (chart.heading, chart.empty)
        for bar in chart.bars:
            yield from (bar.name, bar.shown)
    for table in sheet.tables:
        yield from (table.title, table.empty, *table.headings)
        for row in table.rows:
            yield from row


class _Pages:
    """Writes from the top, turning where there is no room; remembers the first text that did not fit."""

    def __init__(self, paper: Paper, faces: Faces) -> None:
        self.paper, self._faces = paper, faces
        self._y = TOP
        self.refusal: Refusal | None = None

    def head(self, sheet: WasteSheet) -> None:
        """Title, when it was made, and the totals beside each other."""
        self._y = self._put(sheet.title, TITLE, SIDE, WIDE, bold=True)
        self._y = self._put(sheet.subtitle, SUBTITLE, SIDE, WIDE) + GAP
        each = WIDE / max(1, len(sheet.sums))
        ends = [
            self._sum(name, figure, SIDE + n * each, each - 4) for n, (name, figure) in enumerate(sheet.sums)
        ]
        self._y = max(ends) + GAP

    def _sum(self, name: str, figure: str, x: float, wide: float) -> float:
        """One total: its figure large, its name under it."""
        start = self._y
        self._y = self._put(figure, FIGURE, x, wide, bold=True)
        end, self._y = self._put(name, CELL, x, wide), start
        return end

    def bars(self, chart: Bars) -> None:
        """A chart of lying bars: names at the left, figures at the end of each."""
        self._room(10 + BAR * max(1, len(chart.bars)))
        self._heading(chart.heading)
        if not chart.bars:
            self._y = self._put(chart.empty, SUBTITLE, SIDE, WIDE) + GAP
            return
        longest = max(bar.length for bar in chart.bars) or 1
        room, top = WIDE - NAMES - ENDS, self._y
        lengths = [float(bar.length / longest) * room for bar in chart.bars]
        self.paper.picture(SIDE + NAMES, top, _lying(lengths, room, BAR * len(lengths)))
        for n, (bar, long) in enumerate(zip(chart.bars, lengths, strict=True)):
            self._y = top + n * BAR + 1.2
            self._put(bar.name, NAME, SIDE, NAMES - 3)
            self._put(bar.shown, NAME, SIDE + NAMES + long + 1.5, ENDS + room - long)
        self._y = top + BAR * len(chart.bars) + GAP

    def columns(self, chart: Bars) -> None:
        """A chart of standing bars, one for each day of the month, with the days under them.

        The figure of the tallest stands over it: it is the chart's scale.
        """
        self._room(52)
        self._heading(chart.heading)
        self._tallest(chart)
        high, each = 26.0, WIDE / DAYS
        of_day = {int(bar.name): float(bar.length) for bar in chart.bars}
        longest = max(of_day.values(), default=0.0) or 1.0
        heights = [of_day.get(day, 0.0) / longest * high for day in range(1, DAYS + 1)]
        self.paper.picture(SIDE, self._y, _standing(heights, WIDE, high))
        self.paper.box(SIDE, self._y + high, WIDE, 0.25)
        top = self._y + high + 1
        for day in (1, 5, 10, 15, 20, 25, 30):
            self._y = top
            self._put(str(day), CELL, SIDE + (day - 1) * each, 8)
        self._y = top + 4 + GAP

    def _tallest(self, chart: Bars) -> None:
        """The figure of the tallest bar, over the middle of it or as near as the page lets."""
        if not chart.bars:
            return
        top, start = max(chart.bars, key=lambda bar: bar.length), self._y
        middle = (int(top.name) - 0.5) * WIDE / DAYS
        self._put(top.shown, CELL, SIDE + min(max(0.0, middle - 7.5), WIDE - ENDS), ENDS)
        self._y = start + 4.5

    def table(self, table: TableSheet) -> None:
        """A small table under its heading, turned to the next page where it must."""
        self._room(24)
        self._heading(table.title)
        if not table.rows:
            self._y = self._put(table.empty, SUBTITLE, SIDE, WIDE) + GAP
            return
        self._row(table.headings, head=True)
        for row in table.rows:
            if self._room(12):
                self._row(table.headings, head=True)
            self._row(row)
        self._y += GAP

    def _row(self, texts: tuple[str, ...], *, head: bool = False) -> None:
        """A row of a table over its rule; that of the headings is the stronger."""
        ends, at, start = [self._y], SIDE, self._y
        for text, wide in zip(texts, COLUMNS, strict=True):
            ends.append(self._put(text, CELL, at, wide - 2, bold=head))
            self._y, at = start, at + wide
        self._y = max(ends) + 1.2
        self.paper.box(SIDE, self._y - 0.7, WIDE, 0.3 if head else 0.1)

    def foot(self, text: str) -> None:
        """The small words at the bottom of the last page."""
        self.paper.box(SIDE, FOOT - 2, WIDE, 0.2)
        self._y = FOOT
        self._put(text, CELL, SIDE, WIDE)

    def _heading(self, text: str) -> None:
        self._y = self._put(text, HEADING, SIDE, WIDE, bold=True) + 1.0

    def _room(self, high: float) -> bool:
        """Turn to the next page where so much no longer fits, and say whether it was turned."""
        turned = self._y + high > FOOT - GAP
        if turned:
            self.paper.turn()
            self._y = TOP
        return turned

    def _put(
        self, text: str, settings: tuple[Setting, ...], x: float, wide: float, *, bold: bool = False
    ) -> float:
        """Draw a text from the present height and return where it ends."""
        rows: tuple[Row, ...] | Refusal = set_text(text, settings, wide, self._faces, bold=bold)
        if isinstance(rows, Refusal):
            self.refusal = self.refusal or rows
            rows = ()
        return draw_rows(self.paper, self._faces, x, self._y, [row for row in rows if row.pieces[0].text])


def _lying(lengths: list[float], wide: float, high: float) -> Drawing:
    """Return lying bars, the first at the top, as long as said; in millimetres."""
    from reportlab.graphics.charts.barcharts import HorizontalBarChart

    chart: Any = HorizontalBarChart()
    chart.data = [list(reversed(lengths))]
    return _chart(chart, wide, high)


def _standing(heights: list[float], wide: float, high: float) -> Drawing:
    """Return standing bars from left to right, as high as said; in millimetres."""
    from reportlab.graphics.charts.barcharts import VerticalBarChart

    chart: Any = VerticalBarChart()
    chart.data = [heights]
    return _chart(chart, wide, high)


def _chart(chart: Any, wide: float, high: float) -> Drawing:
    """Return a chart that draws bars and nothing else: the words around it are set by the page."""
    from reportlab.graphics.shapes import Drawing
    from reportlab.lib.colors import Color

    value, category = chart.valueAxis, chart.categoryAxis
    chart.x, chart.y, chart.width, chart.height = 0, 0, wide, high
    value.valueMin, value.valueMax = 0, wide if chart.__class__.__name__.startswith("H") else high
    value.visible, category.visible = 0, 0
    chart.barWidth, chart.groupSpacing = 10, 5
    chart.bars[0].fillColor = Color(0.33, 0.33, 0.33)
    chart.bars[0].strokeColor = None
    drawing = Drawing(wide, high)
    drawing.add(chart)
    return drawing
