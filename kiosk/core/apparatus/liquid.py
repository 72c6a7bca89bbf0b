"""What kind of liquid a drug is for a needle: by class, and by how thick it is."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables, Liquid
from kiosk.core.catalogue.drug import Drug

VACCINE_CLASS: Final = "vaccine"


def viscosity_mpa_s(drug: Drug, tables: DeviceTables) -> Decimal:
    """Return a drug's viscosity in mPa s; one that states none is taken for water."""
    return tables.water_mpa_s if drug.viscosity_mpa_s is None else drug.viscosity_mpa_s


def is_thick(drug: Drug, policy: DevicePolicy) -> bool:
    """Say whether the site treats the liquid as thick."""
    return drug.viscosity_mpa_s is not None and drug.viscosity_mpa_s >= policy.viscous_from_mpa_s


def liquid_of(drug: Drug, policy: DevicePolicy) -> Liquid:
    """Return the kind of liquid."""
    if drug.is_insulin:
        return Liquid.INSULIN
    if is_thick(drug, policy):
        return Liquid.VISCOUS
    return Liquid.VACCINE if VACCINE_CLASS in drug.classes else Liquid.AQUEOUS
