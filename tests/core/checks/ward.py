"""An invented ward for the order checks: a few drugs with bounds, patients of every age, one normal order.

The bounds are round invented figures; what is tested is the comparing, not the figures.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.people import Patient, Person, Role, Weighed
from kiosk.core.catalogue.routes import Route
from kiosk.core.checks.check import OrderCase, run
from kiosk.core.checks.order_checks import order_checks
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Order
from kiosk.core.findings import Finding
from kiosk.core.units import Measure
from kiosk.tables.check_tables import order_tables
from kiosk.tables.unsafe_forms import unsafe_forms

NOW = datetime(2026, 3, 15, 9, 50, tzinfo=UTC)
TODAY = NOW.date()
ADULT = date(1980, 5, 1)

TABLES: OrderTables = order_tables(unsafe_forms())
CHECKS = order_checks(TABLES)


def m(text: str) -> Measure:
    """Read ``5 mg/kg``."""
    value, unit = text.split(" ")
    return Measure.of(value, unit)


def limit(
    per: str, low: str = "", high: str = "", *routes: str, ages: tuple[int, int] | None = None
) -> DoseLimit:
    """A bound such as ``limit("kg", "3 mg/kg", "7 mg/kg")``."""
    return DoseLimit(
        per,
        m(low) if low else None,
        m(high) if high else None,
        frozenset(routes),
        ages[0] if ages else None,
        ages[1] if ages else None,
        "invented",
    )


def a_drug(id: str = "somnolin", unit: str = "mg", *limits: DoseLimit, **more: Any) -> Drug:
    """A drug with its bounds."""
    return Drug(id=id, name=id, measured_in=unit, limits=limits, **more)


MORPHINE = a_drug(
    "morphine",
    "mg",
    limit("dose", "1 mg", "15 mg", "intramuscular", "subcutaneous"),
    limit("day", "", "60 mg"),
    classes=frozenset({"opioid"}),
    allergy_classes=frozenset({"phenanthrene opioid"}),
    controlled=True,
    high_alert=True,
    least_interval=m("3 h"),
)
GENTAMICIN = a_drug(
    "gentamicin",
    "mg",
    limit("kg", "3 mg/kg", "7 mg/kg"),
    limit("kg/day", "", "7.5 mg/kg/day"),
    allergy_classes=frozenset({"aminoglycoside"}),
)
CEFTRIAXONE = a_drug(
    "ceftriaxone", "mg", limit("dose", "250 mg", "2000 mg"), allergy_classes=frozenset({"cephalosporin"})
)
HEPARIN = a_drug(
    "heparin",
    "units",
    limit("dose", "1000 units", "10000 units"),
    classes=frozenset({"anticoagulant"}),
    allergy_classes=frozenset({"heparin"}),
)
INSULIN = a_drug(
    "insulin", "units", limit("dose", "1 units", "200 units"), classes=frozenset({"insulin"}), is_insulin=True
)
POTASSIUM = a_drug(
    "potassium_chloride",
    "mmol",
    limit("dose", "5 mmol", "40 mmol"),
    valence=1,
    molar_mass_g_per_mol=Decimal("74.55"),
)
CHEMO = a_drug("vinblastine", "mg", limit("m2", "3 mg/m2", "18 mg/m2"))


def a_patient(
    born: date = ADULT,
    weight: str = "",
    *,
    sex: str = "female",
    weighed_on: date | None = None,
    earlier: tuple[Weighed, ...] = (),
    height: str = "",
    allergies: tuple[str, ...] = (),
) -> Patient:
    """A patient; ``weight`` such as ``62 kg``."""
    return Patient(
        "p1",
        "Invented Person",
        "0001",
        born,
        sex,
        "bed 1",
        Weighed(m(weight), weighed_on or TODAY - timedelta(days=1)) if weight else None,
        earlier,
        m(height) if height else None,
        allergies,
    )


def an_order(drug: Drug = MORPHINE, dose: Any = "5 mg", patient: Patient | None = None, **more: Any) -> Order:
    """A normal order, due in ten minutes: ``an_order(GENTAMICIN, "5 mg/kg", a_patient(weight="62 kg"))``."""
    if isinstance(dose, str):
        dose = DosePerBody(m(dose)) if "/" in dose else FixedDose(m(dose))
    given: dict[str, Any] = {
        "route": Route.INTRAMUSCULAR,
        "site": None,
        "due": NOW + timedelta(minutes=10),
        "prescriber": "Dr Invented",
    }
    return Order(id="o1", patient=patient or a_patient(), drug=drug, dose=dose, **{**given, **more})


def a_range(low: str, high: str, chosen: str = "") -> DoseRange:
    """From one dose to another."""
    return DoseRange(m(low), m(high), m(chosen) if chosen else None)


def findings(order: Order, now: datetime = NOW) -> tuple[Finding, ...]:
    """What all order checks see."""
    return run(CHECKS, OrderCase(order, now))


def ids(order: Order, now: datetime = NOW) -> list[str]:
    """The ids of what all order checks see."""
    return [found.id for found in findings(order, now)]


def the_finding(order: Order, now: datetime = NOW) -> Finding:
    """The one thing the checks see."""
    (found,) = findings(order, now)
    return found


def a_person(*, trainee: bool = False) -> Person:
    """A preparer."""
    return Person("n1", "Invented Nurse", "IN", frozenset({Role.PREPARER}), trainee)
