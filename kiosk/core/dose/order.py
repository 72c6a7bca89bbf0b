"""A written order: whose, what, how much, by which route, when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import TypeAlias

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class FixedDose:
    """So much of the drug: 8 mg, 20 units, 40 mmol, 2 mL."""

    amount: Measure


@dataclass(frozen=True, slots=True)
class DosePerBody:
    """So much for the patient's size: ``rate`` in mg/kg, mg/lb, units/kg, mg/m2, mg/kg/day ...

    A rate per day is divided by ``divided_into`` doses. ``maximum`` and ``minimum`` bound one dose,
    ``daily_maximum`` the day. ``surface_by`` names the formula of the body surface for a rate per m2:
    ``mosteller`` or ``du bois``.
    """

    rate: Measure
    divided_into: int = 1
    maximum: Measure | None = None
    minimum: Measure | None = None
    daily_maximum: Measure | None = None
    surface_by: str = "mosteller"


@dataclass(frozen=True, slots=True)
class DoseRange:
    """Any dose from ``low`` to ``high``: the preparer chooses one inside it."""

    low: Measure
    high: Measure
    chosen: Measure | None = None


Ordered: TypeAlias = FixedDose | DosePerBody | DoseRange


@dataclass(frozen=True, slots=True)
class Order:
    """One dose of one drug for one patient, due at one time.

    ``stated_as`` is ``base`` or ``salt`` where the drug has both, else empty. ``as_written`` is the
    prescriber's own text, checked for unsafe notation. ``last_given`` is when the patient last had it,
    ``given_today`` the amount already given this day. ``dose`` stays the whole dose where it is shared out
    over ``parts`` equal syringes, of which this is ``part``.
    """

    id: str
    patient: Patient
    drug: Drug
    dose: Ordered
    route: Route
    site: Site | None
    due: datetime
    prescriber: str = ""
    spoken: bool = False
    as_written: str = ""
    stated_as: str = ""
    last_given: datetime | None = None
    given_today: Measure | None = None
    doses_per_day: int | None = None
    concentration_asked: Decimal | None = None
    part: int = 1
    parts: int = 1
