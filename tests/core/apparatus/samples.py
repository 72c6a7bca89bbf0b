"""Invented syringes, needles, orders and plans for the tests of choosing; each takes what a test varies."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from functools import lru_cache

from kiosk.core.catalogue.container import Container, Form, Product
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import DrawUpDevice, DrawUpKind, InjectionNeedle, Syringe, Tip
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient, Weighed
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.catalogue.strength import AmountInVolume, Powder, Strength
from kiosk.core.dose.order import FixedDose, Order
from kiosk.core.dose.plan import RecipeStep, Take, VolumePlan
from kiosk.core.units import Measure
from kiosk.tables.device_tables import device_tables

TODAY = date(2026, 3, 15)
NOW = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)


@lru_cache(maxsize=1)
def tables() -> DeviceTables:
    return device_tables()


def ml(value: str) -> Measure:
    return Measure.of(value, "mL")


def mm(value: str) -> Measure:
    return Measure.of(value, "mm")


def units(value: str) -> Measure:
    return Measure.of(value, "units")


def a_syringe(
    nominal: str,
    graduation: str,
    *,
    every: str = "1",
    scale: str = "50",
    tip: Tip = Tip.LOCK,
    bore: str | None = None,
    needle: InjectionNeedle | None = None,
    id: str = "",
) -> Syringe:
    return Syringe(
        id=id or f"{nominal} mL {tip.value}",
        nominal=ml(nominal),
        graduation=ml(graduation),
        numbered_every=ml(every),
        capacity=ml(nominal),
        scale_length=mm(scale),
        tip=tip,
        barrel_bore=mm(bore) if bore else None,
        fixed_needle=needle,
    )


def an_insulin_syringe(
    nominal: str,
    graduation: str = "1",
    *,
    every: str = "10",
    per_ml: str = "100",
    scale: str = "57",
    needle: InjectionNeedle | None = None,
) -> Syringe:
    return Syringe(
        id=f"insulin {nominal} of {per_ml} by {graduation}",
        nominal=units(nominal),
        graduation=units(graduation),
        numbered_every=units(every),
        capacity=Measure(units(nominal).value / units(per_ml).value, "mL"),
        scale_length=mm(scale),
        tip=Tip.FIXED,
        insulin_strength=Measure.of(per_ml, "units/mL"),
        fixed_needle=needle or a_needle(29, "12.7", "1/2"),
    )


ONE = a_syringe("1", "0.01", every="0.1", scale="57.6", bore="4.7")
THREE = a_syringe("3", "0.1", every="0.5", scale="50.5", bore="8.7")
FIVE = a_syringe("5", "0.2", scale="43.5", bore="12.1")
TEN = a_syringe("10", "0.2", scale="59.7", bore="14.6")
TWENTY = a_syringe("20", "1", every="5", scale="69.1", bore="19.2")
THIRTY = a_syringe("30", "1", every="5", scale="78", bore="22.1")
HALF = a_syringe("0.5", "0.01", every="0.1", scale="57", bore="3.3")
TRAY = (THIRTY, TEN, ONE, FIVE, TWENTY, THREE)


def a_needle(
    gauge: int, length: str, inch: str = "", *, outer: str = "", bore: str = "", id: str = ""
) -> InjectionNeedle:
    return InjectionNeedle(
        id=id or f"{gauge} G {length} mm",
        gauge=gauge,
        length=mm(length),
        outer=mm(outer) if outer else None,
        bore=mm(bore) if bore else None,
        inch_text=inch,
    )


NEEDLES = tuple(
    a_needle(gauge, length)
    for gauge, length in (
        (18, "38.1"),
        (20, "38.1"),
        (21, "38.1"),
        (21, "25.4"),
        (22, "38.1"),
        (22, "31.75"),
        (23, "25.4"),
        (23, "16"),
        (25, "25.4"),
        (25, "15.875"),
        (26, "9.53"),
        (27, "12.7"),
        (29, "12.7"),
        (30, "8"),
    )
)

BLUNT_FILL = DrawUpDevice("blunt-fill", DrawUpKind.BLUNT_FILL, 18, mm("38"), inch_text="1 1/2")
BLUNT_FILTER = DrawUpDevice("blunt-filter", DrawUpKind.BLUNT_FILTER, 18, mm("38"), "5", "1 1/2")
STRAW = DrawUpDevice("straw", DrawUpKind.FILTER_STRAW, 18, mm("50"), "5")
DEVICES = (STRAW, BLUNT_FILL, BLUNT_FILTER)


def a_drug(
    name: str = "marzeline",
    *,
    unit: str = "mg",
    insulin: bool = False,
    cloudy: bool = False,
    classes: frozenset[str] = frozenset(),
    viscosity: str | None = None,
    allowed: str = "0.05",
) -> Drug:
    return Drug(
        id=name,
        name=name,
        measured_in=unit,
        classes=classes,
        is_insulin=insulin,
        cloudy=cloudy,
        allowed_error=Decimal(allowed),
        viscosity_mpa_s=None if viscosity is None else Decimal(viscosity),
    )


INSULIN = a_drug("insulin regular", unit="units", insulin=True, classes=frozenset({"insulin short"}))
CLOUDY = a_drug(
    "insulin isophane", unit="units", insulin=True, cloudy=True, classes=frozenset({"insulin isophane"})
)


def a_patient(
    *, born: date = date(1961, 4, 3), kg: str | None = "65", sex: str = "female", height: str | None = None
) -> Patient:
    weighed = None if kg is None else Weighed(Measure.of(kg, "kg"), TODAY)
    return Patient(
        id="p1",
        name="Ines Halvard",
        number="40 118",
        born=born,
        sex=sex,
        place="Bay 3",
        weighed=weighed,
        height=None if height is None else Measure.of(height, "cm"),
    )


def years(age: int) -> date:
    return date(TODAY.year - age, TODAY.month, TODAY.day)


def an_order(
    drug: Drug | None = None,
    *,
    patient: Patient | None = None,
    route: Route = Route.INTRAMUSCULAR,
    site: Site | None = Site.DELTOID,
    dose: Measure | None = None,
) -> Order:
    return Order(
        id="o1",
        patient=patient or a_patient(),
        drug=drug or a_drug(),
        dose=FixedDose(dose or Measure.of("10", "mg")),
        route=route,
        site=site,
        due=NOW,
    )


def a_plan(
    volume: str, *, per_ml: str = "10", containers: tuple[tuple[str, str, str], ...] = ()
) -> VolumePlan:
    """A plan in mg: so many mg/mL, takes as (container, volume, left)."""
    drawn = ml(volume)
    takes = tuple(Take(c, ml(v), ml(left)) for c, v, left in containers) or (Take("c1", drawn, ml("0")),)
    strength = Measure.of(per_ml, "mg/mL")
    dose = Measure(drawn.value * strength.value, "mg")
    return VolumePlan(dose, strength, drawn, takes, ())


def an_insulin_plan(
    dose: str, *, per_ml: str = "100", takes: tuple[Take, ...] = (), recipe: tuple[RecipeStep, ...] = ()
) -> VolumePlan:
    strength = Measure.of(per_ml, "units/mL")
    volume = Measure(units(dose).value / strength.value, "mL")
    return VolumePlan(units(dose), strength, volume, takes or (Take("c1", volume, ml("5")),), (), recipe)


def a_container(
    form: Form = Form.GLASS_AMPOULE,
    *,
    id: str = "c1",
    drug: Drug | None = None,
    strength: Strength | None = None,
    left: str | None = None,
    opened: bool = False,
    contents: str = "1",
    name: str = "",
) -> Container:
    product = Product(
        id=f"product of {id}",
        gtin="09520000000004",
        drug=drug or a_drug(),
        label_name=name or f"label of {id}",
        strength=strength or AmountInVolume(Measure.of("10", "mg"), ml("1")),
        form=form,
        contents=ml(contents),
        routes=frozenset({"intramuscular"}),
    )
    return Container(
        id=id,
        product=product,
        lot="A1",
        expiry=date(2027, 1, 31),
        left=None if left is None else ml(left),
        opened_at=NOW if opened else None,
    )


def a_powder(id: str = "c1") -> Container:
    return a_container(Form.POWDER_VIAL, id=id, strength=Powder(Measure.of("500", "mg")))
