"""A drug as the site's list knows it: names, limits, who must look twice."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue.strength import Strength
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class DoseLimit:
    """A bound on the dose. ``per`` is ``dose``, ``day``, ``kg``, ``kg/day``, ``m2`` or ``m2/day``.

    ``low`` and ``high`` carry the matching unit (``mg``, ``mg/kg`` ...); either may be None. ``routes``
    empty means every route. ``min_age_days``/``max_age_days`` bound the ages it is for.
    """

    per: str
    low: Measure | None
    high: Measure | None
    routes: frozenset[str] = frozenset()
    min_age_days: int | None = None
    max_age_days: int | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Drug:
    """One drug, by its generic name.

    ``name`` is written with tall-man letters where a published look-alike pair exists.
    ``measured_in`` is the unit its amount is ordered in (``mg``, ``units``, ``mmol``, ``mEq``, ``mL``).
    ``allowed_error`` is the largest error of a measured dose, as a share (0.05 is 5 %).
    ``viscosity`` in mPa s is kept as a plain text-made Decimal with its unit in the name.
    ``looks_like`` are the ids of drugs whose names or packs are mistaken for this one.
    ``strengths`` are those that the site keeps, powders without their make-up lines; a pack of another one is
    refused. None at all means that nobody said.
    """

    id: str
    name: str
    measured_in: str
    classes: frozenset[str] = frozenset()
    allergy_classes: frozenset[str] = frozenset()
    high_alert: bool = False
    controlled: bool = False
    is_insulin: bool = False
    cloudy: bool = False
    limits: tuple[DoseLimit, ...] = ()
    least_interval: Measure | None = None
    allowed_error: Decimal = Decimal("0.05")
    viscosity_mpa_s: Decimal | None = None
    salt_to_base: Decimal | None = None
    valence: int | None = None
    molar_mass_g_per_mol: Decimal | None = None
    weight_basis: str = "actual"
    source: str = ""
    looks_like: frozenset[str] = frozenset()
    strengths: tuple[Strength, ...] = ()
