"""The order slip: a sheet of paper that is always there and always whole.

Lying along the side it is one column; at the head of a standing screen it is three. When much must be
said the gaps close and the large lettering steps down, never below the least sizes; nothing is cut off.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Slip
from kiosk.ui.flow import Flow, bound
from kiosk.ui.hands import Hands, Say
from kiosk.ui.look import Look, Type
from kiosk.ui.part import PartWidget

FOOT_MM = 2.4
AIRY = 0.7
STANDING_MM = 86.0
TICK = Type(3.2, "regular", "ink", step=1.7)


@dataclass(frozen=True, slots=True)
class Density:
    """How closely the slip is set: share of the gaps, and the lettering that may step down."""

    gaps: float
    name: Type
    drug: Type
    dose: Type
    lines: Type
    run_on: bool = False


def _density(
    gaps: float, name: float, dose: float, lines: float, step: float, run_on: bool = False
) -> Density:
    """Return one setting: lettering of name and drug, of the dose, of the lines, in mm of capitals."""
    return Density(
        gaps,
        Type(name, "semibold", step=1.45),
        Type(name, "bold", step=1.45),
        Type(dose, "bold", step=1.4),
        Type(lines, step=step),
        run_on,
    )


DENSITIES = (
    _density(1.35, 5.4, 9.0, 4.0, 1.8),
    _density(1.2, 5.4, 9.0, 4.0, 1.8),
    _density(1.05, 5.2, 8.6, 4.0, 1.75),
    _density(0.92, 5.0, 8.2, 4.0, 1.7),
    _density(0.8, 4.8, 7.8, 4.0, 1.65),
    _density(0.7, 4.6, 7.2, 4.0, 1.6),
    _density(0.62, 4.4, 6.6, 4.0, 1.55),
    _density(0.56, 4.2, 6.0, 4.0, 1.5, run_on=True),
    _density(0.5, 4.0, 5.4, 3.6, 1.5, run_on=True),
    _density(0.45, 4.0, 5.0, 3.1, 1.5, run_on=True),
)
"""Tried in this order until the whole slip fits."""


class SlipSheet(PartWidget):
    """Draws a ``Slip``."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.slip: Slip | None = None
        self._measured: dict[tuple[float, Density], float] = {}
        self.setObjectName("slip")

    def show_part(self, slip: Slip | None) -> None:
        """Show an order; with none, keep nothing of the one before."""
        if slip == self.slip:
            return
        self.slip = slip
        self._measured.clear()
        if slip is None:
            self.setAccessibleName("")
            return
        marks = tuple(f"{mark.text} {mark.at}" for mark in slip.marks)
        said = (slip.banner, slip.heading, slip.due, slip.patient, *slip.patient_lines, slip.drug, slip.dose)
        said += (*slip.lines, slip.allergies_heading, *slip.allergies, slip.confirmed_heading, *marks)
        self.setAccessibleName("\n".join(text for text in said if text))
        self.update()

    def _lying(self, width: float) -> bool:
        """Say whether the slip is wide enough for three columns."""
        return width > self.mm(150)

    def height_for(self, width: float) -> float:
        """Return the height at the loosest setting."""
        return self._height(width, DENSITIES[0])

    def _height(self, width: float, density: Density) -> float:
        """Return the height at a setting, measured once for each order."""
        if (width, density) not in self._measured:
            self._measured[width, density] = self.set_slip(None, width, density)
        return self._measured[width, density]

    def density(self, width: float, height: float) -> Density:
        """Return the loosest setting that is whole in the room there is."""
        fits = (d for d in DENSITIES if self.unbroken(width, d) and self._height(width, d) <= height)
        return next(fits, DENSITIES[-1])

    def least_height(self, width: float) -> float:
        """Return the height at the loosest setting that stays within ``STANDING_MM`` and breaks no name."""
        high = 0.0
        for density in DENSITIES:
            high = self._height(width, density) + self.mm(FOOT_MM)
            if self.unbroken(width, density) and high <= self.mm(STANDING_MM):
                break
        return high

    def unbroken(self, width: float, density: Density) -> bool:
        """Say whether the drug's name and the dose break between words only."""
        if self.slip is None:
            return True
        room = self._columns(width)[1][1]
        flow = self.flow(None, 0, 0, room)
        words = [(word, density.drug) for word in self.slip.drug.split()]
        words += [(word, density.dose) for word in bound(self.slip.dose).split(" ")]
        return all(flow.measure(word, kind) <= room for word, kind in words)

    def _columns(self, width: float) -> list[tuple[float, float]]:
        """Return start and width of the columns for who, what and care: one, or three side by side."""
        pad = self.mm(5.5)
        if not self._lying(width):
            return [(pad, width - 2 * pad)] * 3
        gap = self.mm(5)
        room = width - 2 * pad - 2 * gap
        shares = (0.31, 0.38, 0.31)
        starts = (pad, pad + room * 0.31 + gap, pad + room * 0.69 + 2 * gap)
        return [(start, room * share) for start, share in zip(starts, shares, strict=True)]

    def at_ease(self, width: float, height: float) -> bool:
        """Say whether the slip is whole there with some air between its lines."""
        return self.density(width, height - self.mm(FOOT_MM)).gaps >= AIRY

    def set_slip(self, painter: QPainter | None, width: float, density: Density) -> float:
        """Set the whole slip; return its height."""
        if self.slip is None:
            return 0.0
        columns = self._columns(width)
        if not self._lying(width):
            flow = self.flow(painter, columns[0][0], self.mm(6.2), columns[0][1])
            self._who(flow, self.slip, density)
            self._fold(flow, density)
            self._what(flow, self.slip, density)
            self._fold(flow, density)
            self._care(flow, self.slip, density)
            return flow.y + self.mm(5.5)
        bottoms = []
        for (left, wide), section in zip(columns, (self._who, self._what, self._care), strict=True):
            flow = self.flow(painter, left, self.mm(6), wide)
            section(flow, self.slip, density)
            bottoms.append(flow.y)
        return max(bottoms) + self.mm(5)

    def _who(self, flow: Flow, slip: Slip, d: Density) -> None:
        """Set banner, heading, patient and what identifies them."""
        if slip.banner:
            flow.write(slip.banner, "small_strong", ink="caution")
            flow.gap(4 * d.gaps)
        flow.pair(slip.heading, slip.due, "label", "small_strong")
        flow.gap(5.2 * d.gaps)
        flow.write(slip.patient, d.name)
        lines = ("  ·  ".join(slip.patient_lines),) if d.run_on else slip.patient_lines
        for n, line in enumerate(lines):
            flow.gap((3.6 if n == 0 else 3.0) * max(d.gaps, 0.62))
            flow.write(line, "small")

    def _what(self, flow: Flow, slip: Slip, d: Density) -> None:
        """Set drug, dose and how it is given."""
        flow.write(slip.drug, d.drug)
        flow.gap(5.0 * max(d.gaps, 0.62))
        flow.write(slip.dose, d.dose)
        for n, line in enumerate(slip.lines):
            flow.gap((5.0 if n == 0 else 3.4) * max(d.gaps, 0.62))
            flow.write(line, d.lines)

    def _care(self, flow: Flow, slip: Slip, d: Density) -> None:
        """Set allergies, then what has been confirmed against which object."""
        flow.write(slip.allergies_heading, "label")
        for n, line in enumerate(slip.allergies):
            flow.gap((3.6 if n == 0 else 3.0) * max(d.gaps, 0.62))
            flow.write(line, "strong")
        if not slip.marks:
            return
        flow.gap(4.6 * d.gaps)
        flow.rule("soft")
        flow.gap(4.6 * d.gaps)
        flow.write(slip.confirmed_heading, "label")
        for mark in slip.marks:
            flow.gap(4.4 * max(d.gaps, 0.6))
            self._mark(flow, mark.text, mark.at)

    def _mark(self, flow: Flow, text: str, at: str) -> None:
        """Set one done mark: a tick, the object, the time."""
        flow.icon("tick", 4.2, "accent", drop=-0.6)
        step = self.mm(6.6)
        inner = Flow(self.look, flow.painter, flow.x + (0 if self.rtl else step), flow.y, 0, self.rtl)
        inner.width = flow.width - step
        time = inner.measure(at, "small")
        inner.width -= time + self.mm(2.5)
        if self.rtl:
            inner.x += time + self.mm(2.5)
        inner.write(text, TICK)
        side = Flow(self.look, flow.painter, flow.x, flow.y, flow.width, self.rtl)
        side.write(at, "small", "end")
        flow.y = inner.y

    def _fold(self, flow: Flow, d: Density) -> None:
        """Set the dashed fold between sections."""
        flow.gap(5.2 * d.gaps)
        flow.rule("hair", dashed=True)
        flow.gap(5.6 * d.gaps)

    def paint(self, painter: QPainter) -> None:
        """Paint the paper with its torn foot, and the order."""
        paper = self._paper(QRectF(self.rect()))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.look.ink("shadow"))
        painter.drawPath(paper.translated(0, self.mm(0.9)))
        painter.setPen(QPen(self.look.ink("hair"), max(1.0, self.mm(0.2))))
        painter.setBrush(self.look.ink("paper"))
        painter.drawPath(paper)
        height = self.height() - self.mm(FOOT_MM)
        self.set_slip(painter, self.width(), self.density(self.width(), height))

    def _paper(self, rect: QRectF) -> QPainterPath:
        """Return the outline: straight at the head, torn in small teeth at the foot."""
        tooth = self.mm(1.5)
        bottom = rect.bottom() - self.mm(1.2) - tooth
        count = max(2, round(rect.width() / (2 * tooth)))
        step = rect.width() / count
        path = QPainterPath(QPointF(rect.left(), rect.top()))
        path.lineTo(rect.right(), rect.top())
        path.lineTo(rect.right(), bottom)
        for n in range(count):
            right = rect.right() - n * step
            path.lineTo(right - step / 2, bottom + tooth)
            path.lineTo(right - step, bottom)
        path.closeSubpath()
        return path
