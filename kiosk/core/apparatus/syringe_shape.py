"""The body of a syringe in millimetres: where the scale lies on it, and all that is drawn around it.

Scale length, inner width, fixed needle are the syringe's own figures; tip, flange and rod are drawn as
such barrels usually are (common practice, no source) and measure nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.apparatus.barrel import inner_width
from kiosk.core.apparatus.strokes import mm
from kiosk.core.catalogue.devices import InjectionNeedle, Syringe, Tip
from kiosk.core.units import Measure

TOP: Final = mm(2)
WALL: Final = mm("0.8")
SPARE_SHARE: Final = Decimal("0.1")
"""Travel beyond the last line: usable capacity is at least 10 % above nominal (ISO 7886-1, from memory)."""
TIP_HEIGHT: Final = {Tip.LOCK: mm("9.4"), Tip.SLIP: mm("9.6"), Tip.FIXED: mm("6"), Tip.ORAL: mm("10")}
HUB_HEIGHT: Final = mm(15)
DOME: Final = Decimal("0.11")
"""How far the stopper's dome rises above its sealing edge, as a share of the bore."""


@dataclass(frozen=True, slots=True)
class ScalePlace:
    """Where the scale lies within the picture: ``zero_mm`` and ``scale_mm`` along ``axis``, from the tip."""

    axis: str
    zero_mm: Decimal
    scale_mm: Decimal


@dataclass(frozen=True, slots=True)
class SyringeShape:
    """Heights (y, from the top) and widths in mm of one syringe, standing on its thumb rest, tip up."""

    syringe: Syringe
    middle: Decimal
    bore: Decimal
    outer: Decimal
    needle: InjectionNeedle | None
    tip_top: Decimal
    tip_base: Decimal
    zero: Decimal
    scale: Decimal
    flange: Decimal
    flange_width: Decimal

    @property
    def shoulder(self) -> Decimal:
        """How deep the barrel's end is hollowed: the stopper's dome fits into it."""
        return (self.bore * DOME).quantize(Decimal("0.01"))

    @property
    def stopper(self) -> Decimal:
        """The height of the stopper, from its sealing edge down."""
        return min(max(self.bore * Decimal("0.62"), mm("3.6")), mm(10))

    def at(self, reading: Measure) -> Decimal:
        """Return the y of a scale reading."""
        return self.zero + position_at(self.syringe, reading)


def position_at(syringe: Syringe, reading: Measure) -> Decimal:
    """Return how many millimetres a reading lies from the zero line, along the scale."""
    return mm(syringe.scale_length.to("mm").value * reading.ratio(syringe.nominal))


def reading_at(syringe: Syringe, millimetres: Decimal) -> Measure:
    """Return the exact reading that lies so many millimetres from the zero line, kept within the scale."""
    share = Fraction(millimetres) / syringe.scale_length.to("mm").value
    return syringe.nominal.scaled(min(max(share, Fraction(0)), Fraction(1)))


def shape_of(syringe: Syringe, needle: InjectionNeedle | None = None) -> SyringeShape:
    """Return the body of a syringe, with its fixed needle, or with ``needle`` fitted."""
    on_it = syringe.fixed_needle or needle
    bore = mm(inner_width(syringe))
    outer = bore + 2 * WALL
    hub = HUB_HEIGHT - mm(5) if on_it and syringe.fixed_needle is None else mm(0)
    tip_top = TOP + (mm(on_it.length) if on_it else mm(0)) + hub
    tip_base = tip_top + TIP_HEIGHT[syringe.tip]
    scale = mm(syringe.scale_length)
    zero = tip_base + WALL + (bore * DOME).quantize(Decimal("0.01"))
    spare = max(scale * SPARE_SHARE, mm(5))
    flange_width = outer + (mm(13) if bore < mm(7) else mm(16))
    return SyringeShape(
        syringe=syringe,
        middle=flange_width / 2 + mm(1),
        bore=bore,
        outer=outer,
        needle=on_it,
        tip_top=tip_top,
        tip_base=tip_base,
        zero=zero,
        scale=scale,
        flange=zero + scale + spare + min(max(bore * Decimal("0.62"), mm("3.6")), mm(10)),
        flange_width=flange_width,
    )


def scale_place(syringe: Syringe, needle: InjectionNeedle | None = None) -> ScalePlace:
    """Return where the scale lies in ``syringe_picture`` of the same syringe."""
    shape = shape_of(syringe, needle)
    return ScalePlace("y", shape.zero, shape.scale)
