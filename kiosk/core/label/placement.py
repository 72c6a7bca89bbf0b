"""Where a label goes so that the scale stays free, decided by the barrel's girth.

A label along the barrel lies opposite the scale; it is right when the barrel is stout enough to leave a
window for lines and numbers. On a thinner barrel the label is a flag: its blank edge sticks along the
barrel's back, opposite the scale, and the two printed panels fold back to back and stand off.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from kiosk.core.catalogue.devices import Syringe
from kiosk.core.label.says import Shape
from kiosk.core.units import Measure

# 355/113 is pi to seven figures; the girth of a barrel is not known to three.
PI: Final = Fraction(355, 113)


@dataclass(frozen=True, slots=True)
class Placement:
    """Sizes in mm: how high the label along the barrel is, the window the scale needs, a barrel's wall."""

    label_height: Measure
    scale_window: Measure
    wall: Measure


def stout_bore(sizes: Placement) -> Measure:
    """Return the least bore, in mm, of a barrel that takes the label along it and shows its scale."""
    girth = sizes.label_height.to("mm") + sizes.scale_window
    return girth.scaled(1 / PI) - sizes.wall.scaled(2)


def shape_for(syringe: Syringe, sizes: Placement) -> Shape:
    """Return which label suits this barrel.

    Where the bore is not in the list it follows from the volume of the scale and its length.
    """
    least = stout_bore(sizes)
    if syringe.barrel_bore is not None:
        return Shape.ALONG if syringe.barrel_bore >= least else Shape.FLAG
    section_mm2 = syringe.capacity.to("mL").value * 1000 / syringe.scale_length.to("mm").value
    return Shape.ALONG if section_mm2 >= PI / 4 * least.value**2 else Shape.FLAG
