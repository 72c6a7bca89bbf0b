"""How far what leaves a barrel may be off what the scale says: ISO 7886-1, and ISO 8537 for insulin."""

from __future__ import annotations

from fractions import Fraction

from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables, Shares, SyringeBand
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.units import Measure


def band_of(capacity: Measure, tables: DeviceTables) -> SyringeBand:
    """Return the ISO 7886-1 band a capacity falls into. Raises ``LookupError`` outside the table."""
    for band in tables.bands:
        if band.capacity_from <= capacity and (band.capacity_below is None or capacity < band.capacity_below):
            return band
    raise LookupError(f"no band holds a barrel of {capacity}")


def shares_of(syringe: Syringe, tables: DeviceTables, policy: DevicePolicy | None = None) -> Shares:
    """Return the tolerance formula that holds for a barrel."""
    if syringe.is_insulin:
        return tables.insulin_shares[(policy or tables.policy).insulin_tolerance]
    return band_of(syringe.capacity, tables).shares


def tolerance(
    syringe: Syringe, volume: Measure, tables: DeviceTables, policy: DevicePolicy | None = None
) -> Measure:
    """Return the published tolerance (plus or minus, exact, in mL) of ``volume`` from this barrel."""
    shares = shares_of(syringe, tables, policy)
    nominal, expelled = syringe.capacity.to("mL").value, volume.to("mL").value
    if expelled * 2 < nominal:
        off = (
            Fraction(shares.below_half_of_nominal) * nominal
            + Fraction(shares.below_half_of_expelled) * expelled
        )
    else:
        off = Fraction(shares.from_half_of_expelled) * expelled
    return Measure(off, "mL")
