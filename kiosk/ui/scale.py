"""Millimetres on this screen: the true ones for pictures, and those of the bench for everything else.

A picture is life-size or says that it is not, so it is drawn with the true dots per millimetre. Keys and
type follow the bench's own millimetre: the true one on a panel of the usual size (15.6 inch and thereabouts),
smaller where the panel cannot hold 20 mm keys, a little larger on a big one.
"""

from __future__ import annotations

from dataclasses import dataclass

CARD_WIDTH_MM = 85.60
CARD_HEIGHT_MM = 53.98
"""A bank card, ISO/IEC 7810 ID-1: what the calibration rectangle is compared with."""

MM_PER_INCH = 25.4
USUAL_DOTS_PER_MM = 96 / MM_PER_INCH
LANDSCAPE_MM = (318.0, 190.0)
PORTRAIT_MM = (204.0, 318.0)
"""The smallest panel that holds every screen with 20 mm keys, lying and standing (our own layout)."""

LEAST_DOTS, MOST_DOTS = 1.2, 20.0
"""Screens that claim to be coarser than 30 or finer than 500 dots per inch do not know their size."""


@dataclass(frozen=True, slots=True)
class Scale:
    """``life`` true dots per mm (calibrated or as the screen says); ``bench`` dots per bench mm."""

    life: float
    bench: float

    def mm(self, bench_mm: float) -> float:
        """Return dots for a size on the bench."""
        return bench_mm * self.bench


def believable(dots_per_mm: float) -> float:
    """Return what the screen claims, or the usual 96 dots per inch where that cannot be true."""
    return dots_per_mm if LEAST_DOTS <= dots_per_mm <= MOST_DOTS else USUAL_DOTS_PER_MM


def scale_for(width: int, height: int, dots_per_mm: float) -> Scale:
    """Return the scale for a window of ``width`` x ``height`` dots."""
    life = believable(dots_per_mm)
    least_wide, least_high = LANDSCAPE_MM if width >= height else PORTRAIT_MM
    room = min(width / life / least_wide, height / life / least_high)
    fit = min(room, 1 + max(0.0, room - 1) * 0.6, 1.45)
    return Scale(life=life, bench=life * fit)


def dots_from_card(card_width_dots: float) -> float:
    """Return dots per mm when a rectangle of that width covers a bank card exactly."""
    return card_width_dots / CARD_WIDTH_MM
