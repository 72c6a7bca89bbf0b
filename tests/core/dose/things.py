"""Orders, patients and containers for the dose tests: each takes only what a test varies. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

from kiosk.core.catalogue.container import Container, Form, Product
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient, Weighed
from kiosk.core.catalogue.routes import Route
from kiosk.core.catalogue.strength import AmountInVolume, MakeUp, Powder, Strength
from kiosk.core.dose.agreed import agreed_plan
from kiosk.core.dose.order import FixedDose, Order, Ordered
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

NOW = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)


def m(text: str) -> Measure:
    """Read "2.5 mL"."""
    number, _, unit = text.partition(" ")
    return Measure.of(number, unit)


def drug(unit: str = "mg", **varied: object) -> Drug:
    return replace(Drug(id="testdrug", name="testDRUG", measured_in=unit), **varied)  # type: ignore[arg-type]


def patient(weight: str | None = "70 kg", height: str | None = None, sex: str = "female") -> Patient:
    return Patient(
        id="p1",
        name="Test Patient",
        number="0001",
        born=date(1980, 1, 1),
        sex=sex,
        place="bed 1",
        weighed=Weighed(m(weight), date(2026, 3, 14)) if weight else None,
        height=m(height) if height else None,
    )


def order(dose: str | Ordered, of: Drug | None = None, to: Patient | None = None, **varied: object) -> Order:
    made = Order(
        id="o1",
        patient=to or patient(),
        drug=of or drug(),
        dose=FixedDose(m(dose)) if isinstance(dose, str) else dose,
        route=Route.INTRAMUSCULAR,
        site=None,
        due=NOW,
    )
    return replace(made, **varied)  # type: ignore[arg-type]


def in_volume(amount: str, volume: str) -> AmountInVolume:
    return AmountInVolume(m(amount), m(volume))


def powder(
    amount: str,
    add: str | None = None,
    displacement: str | None = None,
    to: str | None = None,
    strength: str | None = None,
    routes: frozenset[str] = frozenset(),
) -> Powder:
    """Return a powder with one label line: "add", what it displaces, "make up to", what it then is."""
    return Powder(m(amount), (line(add, displacement, to, strength, routes),))


def line(
    add: str | None = None,
    displacement: str | None = None,
    to: str | None = None,
    strength: str | None = None,
    routes: frozenset[str] = frozenset(),
) -> MakeUp:
    given = (None if text is None else m(text) for text in (add, displacement, to, strength))
    return MakeUp("water for injections", *given, routes=routes)


def vial(
    strength: Strength, contents: str | None = "10 mL", of: Drug | None = None, **varied: object
) -> Container:
    product_fields = {name: varied.pop(name) for name in ("stated_as", "overfill") if name in varied}
    product = Product(
        id="pr1",
        gtin="09520000000004",
        drug=of or drug(),
        label_name="testdrug",
        strength=strength,
        form=Form.POWDER_VIAL if isinstance(strength, Powder) else Form.GLASS_AMPOULE,
        contents=m(contents) if contents else None,
        routes=frozenset({"intramuscular"}),
    )
    made = Container("c1", replace(product, **product_fields), "A1", date(2027, 1, 31))  # type: ignore[arg-type]
    return replace(made, **varied)  # type: ignore[arg-type]


def plan(of: Order, *containers: Container, make_up: MakeUp | None = None) -> VolumePlan:
    """Return the plan both computations agree on, failing with the refusal's code when there is none."""
    made = agreed_plan(of, containers, NOW, make_up)
    assert isinstance(made, VolumePlan), made
    return made


def refused(of: Order, *containers: Container, make_up: MakeUp | None = None) -> Refusal:
    """Return why there is no plan."""
    made = agreed_plan(of, containers, NOW, make_up)
    assert isinstance(made, Refusal), made
    return made


def percent(text: str) -> Decimal:
    return Decimal(text)
