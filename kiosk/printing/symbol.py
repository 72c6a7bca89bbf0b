"""The Data Matrix on the printer's own dots: every module a whole number of them, no blur, no stroke."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

LEAST_DOTS: Final = 3
QUIET_MODULES: Final = 1


@dataclass(frozen=True, slots=True)
class Dots:
    """A print head: ``nominal`` dots per inch as printers are sold, ``per_mm`` as they are built."""

    nominal: int
    per_mm: float

    def snapped(self, mm: float) -> float:
        """Return the position of the nearest dot to ``mm`` from the label's edge."""
        return round(mm * self.per_mm) / self.per_mm

    def module(self, wanted_mm: float) -> float:
        """Return the module size nearest to ``wanted_mm`` that is whole dots, never under three."""
        return max(LEAST_DOTS, round(wanted_mm * self.per_mm)) / self.per_mm


# A head sold as 203 dpi has 8 dots to the millimetre (common practice, no source).
DOTS_203: Final = Dots(203, 8.0)
DOTS_300: Final = Dots(300, 300 / 25.4)


@dataclass(frozen=True, slots=True)
class Symbol:
    """Dark runs in module units (x, y, width, height) from the top left; ``side`` without the quiet zone."""

    side: int
    runs: tuple[tuple[int, int, int, int], ...]


def data_matrix(text: str) -> Symbol:
    """Return the square ECC 200 symbol of an ASCII text (ISO/IEC 16022)."""
    from pystrich.datamatrix import DataMatrixData, DataMatrixEncoder

    marks = DataMatrixEncoder(DataMatrixData(text, encoding="ascii"), quiet_zone=0).get_rect_marks()
    return Symbol(marks.width, tuple((m[0], m[1], m[2], m[3]) for m in marks.marks))
