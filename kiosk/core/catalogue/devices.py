"""Syringes, draw-up devices and injection needles. A draw-up device is never an injection needle."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kiosk.core.units import Measure


class Tip(StrEnum):
    """How the needle sits on the barrel."""

    LOCK = "lock"
    SLIP = "slip"
    FIXED = "fixed needle"
    ORAL = "oral"


@dataclass(frozen=True, slots=True)
class InjectionNeedle:
    """A needle that goes into the patient: ``gauge`` number, ``length`` in mm, tubing sizes in mm."""

    id: str
    gauge: int
    length: Measure
    outer: Measure | None = None
    bore: Measure | None = None
    inch_text: str = ""
    gtin: str = ""


class DrawUpKind(StrEnum):
    """Devices that fill a syringe and never touch a patient."""

    BLUNT_FILL = "blunt fill needle"
    BLUNT_FILTER = "blunt filter needle"
    FILTER_STRAW = "filter straw"


@dataclass(frozen=True, slots=True)
class DrawUpDevice:
    """A device that fills the syringe: blunt fill, blunt filter (``pore`` in micrometres as text)."""

    id: str
    kind: DrawUpKind
    gauge: int
    length: Measure
    filter_micrometres: str = ""
    inch_text: str = ""
    gtin: str = ""


@dataclass(frozen=True, slots=True)
class Syringe:
    """A syringe as the counter stocks it.

    ``nominal`` and ``graduation`` share the scale's unit: ``mL``, or ``units`` on an insulin barrel
    (then ``insulin_strength`` is the concentration it is graduated for, e.g. 100 units/mL, and
    ``capacity`` the same nominal in mL). ``scale_length`` is the length of the full scale in mm.
    """

    id: str
    nominal: Measure
    graduation: Measure
    numbered_every: Measure
    capacity: Measure
    scale_length: Measure
    tip: Tip
    barrel_bore: Measure | None = None
    dead_space: Measure | None = None
    insulin_strength: Measure | None = None
    fixed_needle: InjectionNeedle | None = None
    gtin: str = ""
    source: str = ""

    @property
    def is_insulin(self) -> bool:
        """Graduated in insulin units rather than millilitres."""
        return self.insulin_strength is not None
