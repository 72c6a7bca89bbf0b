"""A piece of paper at true size: text, boxes, lines and a Data Matrix, from the top left, in millimetres.

The bytes depend on what is drawn and on nothing else: no date, no random name (ReportLab's invariant mode).
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from kiosk.printing.faces import POINTS_PER_MM, Faces
from kiosk.printing.symbol import Symbol

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing
    from reportlab.pdfgen.canvas import Canvas


class Paper:
    """Pages of ``width`` x ``height`` mm. Draws what it is told; deciding what fits is the layout's."""

    def __init__(self, width: float, height: float, faces: Faces, title: str) -> None:
        from reportlab.pdfgen.canvas import Canvas

        self._out = io.BytesIO()
        self._faces = faces
        self.width, self.height = width, height
        size = (width * POINTS_PER_MM, height * POINTS_PER_MM)
        self._canvas: Canvas = Canvas(
            self._out,
            pagesize=size,
            invariant=1,
            initialFontName=faces.regular.name,  # type: ignore[arg-type]  # a name; the stubs say float
            initialFontSize=1,
        )
        self._canvas.setTitle(title)
        self._canvas.setCreator("Prep Counter")
        self._canvas.setAuthor("Prep Counter")
        # From here on the unit is the millimetre; only y still points upwards.
        self._canvas.scale(POINTS_PER_MM, POINTS_PER_MM)

    def text(
        self, x: float, baseline: float, text: str, size: float, *, bold: bool = False, light: bool = False
    ) -> None:
        """Draw a text from ``x`` on its baseline; ``light`` draws paper-coloured text for a black ground."""
        self._canvas.setFillGray(1 if light else 0)
        self._canvas.setFont(self._faces.face(bold).name, size)
        self._canvas.drawString(x, self.height - baseline, text)

    def upright(self, x: float, bottom: float, text: str, size: float, *, bold: bool = False) -> None:
        """Draw a text that climbs from ``bottom`` along its baseline at ``x``, light on a black ground."""
        self._canvas.saveState()
        self._canvas.translate(x, self.height - bottom)
        self._canvas.rotate(90)
        self._canvas.setFillGray(1)
        self._canvas.setFont(self._faces.face(bold).name, size)
        self._canvas.drawString(0, 0, text)
        self._canvas.restoreState()

    def box(self, x: float, y: float, width: float, height: float, *, grey: float = 0) -> None:
        """Fill a rectangle whose top left corner is at ``x``, ``y``; ``grey`` 0 is black, 1 is paper."""
        self._canvas.setFillGray(grey)
        self._canvas.rect(x, self.height - y - height, width, height, stroke=0, fill=1)

    def dashes(self, x: float, y: float, width: float, dash: float = 1.0, thick: float = 0.25) -> None:
        """Draw a level dashed line as small boxes, so that it lies on whole dots like all else."""
        count = int(width / (2 * dash))
        for number in range(count):
            self.box(x + number * 2 * dash, y, dash, thick)

    def symbol(self, x: float, y: float, symbol: Symbol, module: float) -> None:
        """Draw a symbol as one filled path, its top left module at ``x``, ``y``, modules of ``module`` mm."""
        path = self._canvas.beginPath()
        for column, row, across, down in symbol.runs:
            top = self.height - y - row * module
            path.rect(x + column * module, top - down * module, across * module, down * module)
        self._canvas.setFillGray(0)
        self._canvas.drawPath(path, stroke=0, fill=1)

    def picture(self, x: float, y: float, drawing: Drawing) -> None:
        """Draw a chart, its top left corner at ``x``, ``y``; its own units are millimetres."""
        from reportlab.graphics import renderPDF

        renderPDF.draw(drawing, self._canvas, x, self.height - y - float(drawing.height))

    def turn(self) -> None:
        """Finish this page and begin another of the same size."""
        self._canvas.showPage()
        self._canvas.scale(POINTS_PER_MM, POINTS_PER_MM)

    def done(self) -> bytes:
        """Finish the page and return the PDF."""
        self._canvas.showPage()
        self._canvas.save()
        return self._out.getvalue()
