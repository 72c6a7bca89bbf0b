"""What our labels share: the symbol with its code for the eye, and the chip that marks a further copy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.code import grouped
from kiosk.printing.faces import Faces
from kiosk.printing.paper import Paper
from kiosk.printing.symbol import QUIET_MODULES, Dots, Symbol, data_matrix

CODE_SIZE: Final = 2.2
CODE_PITCH: Final = 2.0
CODE_GAP: Final = 0.7
CHIP_SIZE: Final = 2.4
CHIP_HEIGHT: Final = 2.7
CHIP_PAD: Final = 0.7
LARGEST_SIDE: Final = 16


@dataclass(frozen=True, slots=True)
class SymbolColumn:
    """The Data Matrix right below ``top`` with the code for the eye under it; ``width`` keeps it quiet."""

    symbol: Symbol
    module: float
    code: tuple[str, ...]
    code_width: float

    @property
    def side(self) -> float:
        """The symbol's edge in mm, without its quiet zone."""
        return self.symbol.side * self.module

    @property
    def width(self) -> float:
        """The symbol with the quiet zone on its left, or the code where that is wider."""
        return max(self.side + QUIET_MODULES * self.module, self.code_width)

    @property
    def height(self) -> float:
        """The symbol, the gap and the lines of code."""
        return self.side + CODE_GAP + len(self.code) * CODE_PITCH

    def draw(self, paper: Paper, faces: Faces, right: float, top: float, dots: Dots) -> None:
        """Draw it with its right edge at ``right``, moved to the nearest dot."""
        x, y = dots.snapped(right - self.side), dots.snapped(top)
        paper.symbol(x, y, self.symbol, self.module)
        cap = faces.regular.cap * CODE_SIZE
        for number, line in enumerate(self.code):
            baseline = y + self.side + CODE_GAP + number * CODE_PITCH + cap
            start = x + self.side - max(self.side, self.code_width)
            paper.text(start, baseline, line, CODE_SIZE)


def symbol_column(code: str, module_mm: float, faces: Faces, dots: Dots) -> SymbolColumn | Refusal:
    """Return the symbol of a code with modules near ``module_mm``, or refuse one that grows too large."""
    symbol = data_matrix(code)
    if symbol.side > LARGEST_SIDE:
        return Refusal("label_code_too_long", {"code": code})
    lines = tuple(grouped(code).split(" "))
    widest = max(faces.regular.width(line, CODE_SIZE) for line in lines)
    return SymbolColumn(symbol, dots.module(module_mm), lines, widest)


def chip_width(text: str, faces: Faces) -> float:
    """Return how wide a chip with this text is; nothing for no text."""
    return faces.bold.width(text, CHIP_SIZE) + 2 * CHIP_PAD if text else 0.0


def draw_chip(paper: Paper, faces: Faces, right: float, top: float, text: str) -> None:
    """Draw a small black field with light text, its right edge at ``right``."""
    width = chip_width(text, faces)
    paper.box(right - width, top, width, CHIP_HEIGHT)
    baseline = top + (CHIP_HEIGHT + faces.bold.cap * CHIP_SIZE) / 2
    paper.text(right - width + CHIP_PAD, baseline, text, CHIP_SIZE, bold=True, light=True)
