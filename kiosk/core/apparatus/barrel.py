"""The inside of a barrel and of a needle: widths, dead space, what a gauge number means in mm."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from kiosk.core.apparatus.flow import PI
from kiosk.core.apparatus.tolerance import band_of
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import InjectionNeedle, Syringe
from kiosk.core.units import Measure


def inner_width(syringe: Syringe) -> Measure:
    """Return the barrel's inner width in mm: as stocked, else what capacity over scale length makes it."""
    if syringe.barrel_bore is not None:
        return syringe.barrel_bore.to("mm")
    area = syringe.capacity.to("mL").value * 1000 / syringe.scale_length.to("mm").value
    width = (4 * Decimal(area.numerator) / Decimal(area.denominator) / PI).sqrt()
    return Measure.of(width.quantize(Decimal("0.001")), "mm")


def syringe_dead_space(syringe: Syringe, tables: DeviceTables) -> Measure:
    """Return what stays in the empty syringe in mL: as stocked, else the most the standard allows."""
    return syringe.dead_space or band_of(syringe.capacity, tables).most_dead_space


def needle_dead_space(gauge: int, tables: DeviceTables) -> Measure:
    """Return what stays in hub and bore in mL, from the measured gauge nearest to this one."""
    return min(tables.needle_dead_spaces, key=lambda d: (abs(d.gauge - gauge), d.gauge)).volume


def drawn_and_flushed(volume: Measure, syringe: Syringe, needle: int | None, tables: DeviceTables) -> Measure:
    """Return what the patient gets when a drug is drawn and then flushed through with the same syringe.

    ``needle`` is the gauge of the needle on it, None for a bare tip. The dead space comes on top.
    """
    kept = syringe_dead_space(syringe, tables)
    return volume + kept + (needle_dead_space(needle, tables) if needle else Measure(Fraction(0), "mL"))


def with_tubing(needle: InjectionNeedle, tables: DeviceTables) -> InjectionNeedle:
    """Return the needle with its outer width and bore filled in from its gauge, where it states none."""
    tube = tables.tubing.get(needle.gauge)
    if tube is None:
        return needle
    return replace(needle, outer=needle.outer or tube.outer or tube.metric, bore=needle.bore or tube.bore)


def fitted_out(syringe: Syringe, tables: DeviceTables) -> Syringe:
    """Return the syringe with the tubing of its fixed needle filled in, so that it can be drawn."""
    needle = syringe.fixed_needle
    return syringe if needle is None else replace(syringe, fixed_needle=with_tubing(needle, tables))
