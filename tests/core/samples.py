"""Small invented things on a counter, for tests of checks and stock. Each takes only what a test varies."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

from kiosk.core.catalogue.container import Container, Form, Product
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.routes import Route
from kiosk.core.catalogue.strength import AmountInVolume, Strength
from kiosk.core.dose.order import FixedDose, Order
from kiosk.core.units import Measure

NOW = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)


def mg_in_ml(amount: str, volume: str) -> AmountInVolume:
    return AmountInVolume(Measure.of(amount, "mg"), Measure.of(volume, "mL"))


def a_drug(
    id: str = "prochlorperazine", *, unit: str = "mg", looks_like: frozenset[str] = frozenset()
) -> Drug:
    return Drug(id=id, name=id, measured_in=unit, looks_like=looks_like)


def a_product(
    drug: Drug | None = None,
    *,
    id: str = "prochlorperazine-12.5",
    strength: Strength | None = None,
    form: Form = Form.GLASS_AMPOULE,
    routes: frozenset[str] = frozenset({"intramuscular"}),
    contents: str = "1",
    in_use: Measure | None = None,
    stable: Measure | None = None,
) -> Product:
    return Product(
        id=id,
        gtin="09520000000004",
        drug=drug or a_drug(),
        label_name=id,
        strength=strength or mg_in_ml("12.5", "1"),
        form=form,
        contents=Measure.of(contents, "mL"),
        routes=routes,
        in_use=in_use,
        stable_in_syringe=stable,
    )


def a_container(
    product: Product | None = None,
    *,
    id: str = "c1",
    lot: str = "A1",
    expiry: date = date(2027, 1, 31),
    serial: str = "",
    left: str | None = None,
    opened_at: datetime | None = None,
    discard_after: datetime | None = None,
    recalled: bool = False,
    used_up: bool = False,
    reserved_for: str = "",
    drawer: str = "top",
) -> Container:
    return Container(
        id=id,
        product=product or a_product(),
        lot=lot,
        expiry=expiry,
        serial=serial,
        drawer=drawer,
        left=None if left is None else Measure.of(left, "mL"),
        opened_at=opened_at,
        discard_after=discard_after,
        recalled=recalled,
        used_up=used_up,
        reserved_for=reserved_for,
    )


def an_order(
    drug: Drug | None = None,
    *,
    route: Route = Route.INTRAMUSCULAR,
    dose: Measure | None = None,
    concentration_asked: Decimal | None = None,
) -> Order:
    drug = drug or a_drug()
    patient = Patient("p1", "Invented Person", "0001", date(1980, 1, 1), "female", "bed 1")
    return Order(
        id="o1",
        patient=patient,
        drug=drug,
        dose=FixedDose(dose or Measure.of("12.5", drug.measured_in)),
        route=route,
        site=None,
        due=NOW,
        concentration_asked=concentration_asked,
    )
