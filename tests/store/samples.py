"""A small invented syringe from first to last, as the events the kiosk would write."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from kiosk.core.catalogue.container import Container, Form, Product
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.core.catalogue.people import Patient, Person, Role, Weighed
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.catalogue.strength import AmountInVolume
from kiosk.core.dose.order import FixedDose, Order
from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.core.preparation.stock_events import ControlledCounted, StockReceived
from kiosk.core.units import Measure
from kiosk.flow.keeping import NewPerson
from kiosk.flow.keeping_drugs import Wanted
from kiosk.store.opening import Store, open_store
from kiosk.store.policy import HashCost, SignOnPolicy

NOW = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)
FACTS = "f" * 64
CHEAP = SignOnPolicy(cost=HashCost(passes=1, kibibytes=8, lanes=1))
PREPARER, CHECKER, WITNESS, KEEPER = "p-ines", "p-olu", "p-wim", "p-kay"
OTHER_KEEPER = "p-rob"
MINUTE = timedelta(minutes=1)


@contextmanager
def a_store(folder: Path) -> Iterator[Store]:
    """Open a store in a folder of its own and close it after."""
    store = open_store(folder / "counter.db", folder / "keys", CHEAP)
    try:
        yield store
    finally:
        store.close()


def a_patient(number: str = "H-4711", name: str = "Marja Invented", **more: object) -> Patient:
    values: dict[str, object] = {"born": date(1950, 2, 28), "sex": "female", "place": "Bay 2, bed 4"} | more
    weighed = Weighed(Measure.of("61.5", "kg"), date(2026, 3, 14))
    return Patient(id=f"pt-{number}", name=name, number=number, weighed=weighed, **values)  # type: ignore[arg-type]


def a_drug(id: str = "gentamicin") -> Drug:
    return Drug(id=id, name=id, measured_in="mg")


def a_listed_drug(id: str = "gentamicin", **changes: object) -> Drug:
    """A drug with what an entry of the drug list must say; ``changes`` over it."""
    strength = AmountInVolume(Measure.of("80", "mg"), Measure.of("2", "mL"))
    return replace(a_drug(id), strengths=(strength,), source="invented", **changes)  # type: ignore[arg-type]


def keepers(store: Store) -> None:
    """Set the counter up with two keepers."""
    store.staff.set_up(NewPerson(a_person(KEEPER, Role.KEEPER), "PB1KAY", "9731"), NOW)
    store.staff.enrol(KEEPER, NewPerson(a_person(OTHER_KEEPER, Role.KEEPER), "PB1ROB", "5317"), NOW)


def list_drug(
    store: Store, drug: Drug | None = None, *, signers: int = 2, at: datetime = NOW
) -> EntryVersion:
    """Propose the next version of an entry from the day of ``at`` on, and let so many keepers sign it."""
    wanted = drug or a_listed_drug()
    assert store.drugs.propose(KEEPER, [Wanted(wanted, at.date())], "screen", at) is None
    made = store.drugs.versions(wanted.id)[-1]
    for keeper in (KEEPER, OTHER_KEEPER)[:signers]:
        signed = store.drugs.sign(keeper, wanted.id, made.number, at)
        assert isinstance(signed, EntryVersion), signed
        made = signed
    return made


def a_product(drug: Drug | None = None, *, form: Form = Form.MULTI_DOSE_VIAL, id: str = "gent-40") -> Product:
    return Product(
        id=id,
        gtin=f"0952000000{sum(id.encode()) % 10000:04d}",
        drug=drug or a_drug(),
        label_name="gentamicin 80 mg in 2 mL",
        strength=AmountInVolume(Measure.of("80", "mg"), Measure.of("2", "mL")),
        form=form,
        contents=Measure.of("20", "mL"),
        routes=frozenset({"intramuscular", "intravenous"}),
    )


def a_controlled() -> Product:
    """Ampoules of 1 mL of a controlled drug."""
    drug = Drug(id="morphine", name="morphine", measured_in="mg", controlled=True)
    strength = AmountInVolume(Measure.of("10", "mg"), Measure.of("1", "mL"))
    made = a_product(drug, form=Form.GLASS_AMPOULE, id="morph-10")
    return replace(
        made, label_name="morphine 10 mg in 1 mL", strength=strength, contents=Measure.of("1", "mL")
    )


def a_container(
    product: Product | None = None, *, id: str = "v1", lot: str = "L77", serial: str = "s1"
) -> Container:
    return Container(id, product or a_product(), lot, date(2027, 1, 31), serial=serial)


def stocked(count: int = 10) -> list[HouseEvent]:
    """So many controlled ampoules come in before a witness, and are counted."""
    ampoule = Container("AMP", a_controlled(), "L90", date(2027, 1, 31), drawer="CD")
    counted = ControlledCounted(KEEPER, WITNESS, "morph-10", count, 0, count, 0)
    return [StockReceived(KEEPER, ampoule, count, WITNESS), counted]


def an_order(id: str = "o-1", patient: Patient | None = None, *, due: datetime = NOW) -> Order:
    return Order(
        id=id,
        patient=patient or a_patient(),
        drug=a_drug(),
        dose=FixedDose(Measure.of("60", "mg")),
        route=Route.INTRAMUSCULAR,
        site=Site.VENTROGLUTEAL,
        due=due,
        prescriber="Dr Nobody",
        as_written="gentamicin 60 mg IM",
    )


def opened(
    order: Order | None = None, *, by: str = PREPARER, code: str = "A30001", second: bool = True
) -> e.Opened:
    reasons = ("high_alert",) if second else ()
    return e.Opened(by, order or an_order(), code, second, reasons)


def drawn(by: str = PREPARER, container: Container | None = None) -> list[e.Event]:
    """From the container to the plunger on the line."""
    line = Measure.of("1.5", "mL")
    return [
        e.ContainerTaken(by, container or a_container()),
        e.VolumeCommitted(by, line, line, True),
        e.SyringeTaken(by, "s-3", line, line, Measure.of("60", "mg")),
        e.DrawUpDeviceTaken(by, "blunt-18"),
        e.NeedleTaken(by, "n-25-25", 25, Measure.of("25", "mm")),
        e.StepDone(by, "wipe_stopper"),
        e.StepDone(by, "expel_to_line", last=True),
        e.PlungerRead(by, line, True),
        *stated(by),
    ]


def stated(by: str, facts: str = FACTS, round: int = 1) -> list[e.Event]:
    said = {"container": "gent-40|L77", "figure": "3/2 mL", "needle": "25 G 25 mm", "plunger": "3/2 mL"}
    return [e.Stated(by, matter, value, facts, round, 4) for matter, value in said.items()]


def checked(checker: str = CHECKER, facts: str = FACTS) -> list[e.Event]:
    people = (PREPARER, checker)
    vouched = e.Vouched(facts, people, "independent second person")
    return [e.CheckerCame(checker), *stated(checker, facts), vouched]


def labelled(copy: int = 1, facts: str = FACTS) -> list[e.Event]:
    return [e.LabelRequested(PREPARER, facts, copy), e.LabelEnded(facts, copy, "printed")]


def ended(container: str = "v1", witness: str = WITNESS, fate: str = "kept") -> list[e.Event]:
    rest = e.RestAccounted(PREPARER, container, Measure.of("37/2", "mL"), fate, witness)
    return [e.LabelScannedBack(PREPARER, "A30001"), rest, e.Finished(PREPARER)]


def whole() -> list[e.Event]:
    """A syringe from first to last."""
    return [opened(), *drawn(), *checked(), *labelled(), *ended()]


def write(
    store: Store, preparation: str, events: list[e.Event], *, at: datetime = NOW, key: str = ""
) -> None:
    """Write each event as an action of its own, a minute apart."""
    for number, event in enumerate(events):
        store.ledger.append(preparation, [event], at + number * MINUTE, f"{key or preparation}-{number}")


def a_person(id: str = PREPARER, *roles: Role) -> Person:
    return Person(id, f"Name of {id}", id[2:4].upper(), frozenset(roles or {Role.PREPARER, Role.CHECKER}))
