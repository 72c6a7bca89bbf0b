"""Taking in the lists a counter keeps: products, containers, devices, patients, orders, people.

A row of a known id is overwritten, others are added, none is dropped. What the record knows better than a
list (what an opened vial still holds, when it was opened) is left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any, Final

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.catalogue.people import Patient, Person
from kiosk.core.dose.order import Order
from kiosk.core.dose.parts import part_id
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.core.preparation.stock_events import StockReceived, StockRelisted
from kiosk.store import codec, prepared
from kiosk.store.connection import Row, RuleBroken, Writing
from kiosk.store.entry import moment_text
from kiosk.store.keys import Keys
from kiosk.store.staff_rows import person_row, put_person
from kiosk.store.stock import container_row

# What the record knows better than a list.
_OF_THE_RECORD: Final = frozenset({"held", "left", "opened_at", "discard_after", "used_up", "set_aside"})


@dataclass(slots=True)
class Counts:
    """What a list brought: rows added, changed and the same as before; ``digest`` is over all of them.

    ``removed`` rows were taken off it.
    """

    added: int = 0
    changed: int = 0
    same: int = 0
    removed: int = 0
    _sum: Any = field(default_factory=sha256, repr=False)

    def count(self, old: Row | None, row: Mapping[str, Any]) -> str:
        """Count one row against the one it meets and say what it is: ``added``, ``changed`` or ``same``."""
        self._sum.update(codec.to_text(dict(row)).encode())
        if old is None:
            self.added += 1
            return "added"
        if all(old[name] == value for name, value in row.items() if name not in _OF_THE_RECORD):
            self.same += 1
            return "same"
        self.changed += 1
        return "changed"

    def plus(self, more: Counts) -> Counts:
        """Return the counts of two takings-in of one list together; the digest is that of the later one."""
        more.added, more.changed = self.added + more.added, self.changed + more.changed
        more.same, more.removed = self.same + more.same, self.removed + more.removed
        return more

    @property
    def digest(self) -> str:
        """SHA-256 over the rows in the order they came, in hex."""
        return str(self._sum.hexdigest())


def put_products(writing: Writing, products: Iterable[Product]) -> Counts:
    """Take in products of the drug list."""
    rows = ({"id": p.id, "gtin": p.gtin, "drug": p.drug.id, "body": _body(p)} for p in products)
    return _put(writing, prepared.PRODUCTS_BY_ID, prepared.PUT_PRODUCT, rows)


def put_stock(
    writing: Writing, by: str, witness: str, lines: Iterable[tuple[Container, int | None]]
) -> tuple[Counts, list[HouseEvent]]:
    """Take in containers, each with how many alike ones it stands for (None: nobody counted).

    A row that is new comes in by an entry of its own, which is returned and makes it; a known one that the
    list changes too, but for what the record knows better: how many there are, and what is in them.
    """
    counts, events = Counts(), list[HouseEvent]()
    for container, held in lines:
        row = container_row(container, held)
        old = writing.execute(prepared.CONTAINERS_BY_ID, {"id": row["id"]}).fetchone()
        if old is not None:  # a list that does not know of a recall does not lift it
            row["recalled"] = max(row["recalled"], old["recalled"])
        what = counts.count(old, row)
        if what == "added":
            if writing.execute(prepared.PRODUCTS_BY_ID, {"id": row["product"]}).fetchone() is None:
                raise RuleBroken(f"{container.id} is of a product that is not listed")
            events.append(StockReceived(by, container, held, witness, "list"))
        elif what == "changed":
            events.append(StockRelisted(by, container))
    return counts, events


def put_devices(writing: Writing, devices: Iterable[Syringe | DrawUpDevice | InjectionNeedle]) -> Counts:
    """Take in kinds of syringe, draw-up device and needle."""
    rows = ({"id": d.id, "kind": type(d).__name__, "gtin": d.gtin, "body": _body(d)} for d in devices)
    return _put(writing, prepared.DEVICES_BY_ID, prepared.PUT_DEVICE, rows)


def put_patients(writing: Writing, patients: Iterable[Patient]) -> Counts:
    """Take in patients as now known."""
    rows = ({"id": p.id, "number": p.number, "name": p.name, "body": _body(p)} for p in patients)
    return _put(writing, prepared.PATIENTS_BY_ID, prepared.PUT_PATIENT, rows)


def put_orders(writing: Writing, orders: Iterable[Order]) -> tuple[Counts, Counts]:
    """Take in orders; each brings its patient along where that one is not known yet.

    Returns the counts of the orders and those of the patients they brought.
    """
    kept, brought = list(orders), dict[str, Patient]()
    for order in kept:
        if writing.execute(prepared.PATIENTS_BY_ID, {"id": order.patient.id}).fetchone() is None:
            brought.setdefault(order.patient.id, order.patient)
    patients = put_patients(writing, brought.values())
    rows = (row for order in kept for row in _with_parts(writing, _order(order)))
    return _put(writing, prepared.ORDERS_BY_ID, prepared.PUT_ORDER, rows), patients


def _with_parts(writing: Writing, row: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the row of an order; where its dose was shared out here it stays so, and its parts follow it."""
    old = writing.execute(prepared.ORDERS_BY_ID, {"id": row["id"]}).fetchone()
    parts = codec.from_text(old["body"]).get("parts", 1) if old is not None else 1
    if parts == 1:
        return [row]
    body = codec.from_text(row["body"]) | {"parts": parts}
    names = [part_id(row["id"], part) for part in range(1, parts + 1)]
    return [
        row | {"id": name, "body": codec.to_text(body | {"id": name, "part": part})}
        for part, name in enumerate(names, start=1)
    ]


def put_people(
    writing: Writing, keys: Keys, by: str, people: Iterable[Person]
) -> tuple[Counts, list[HouseEvent]]:
    """Take in staff, without badge or PIN; return the counts and the entries that tell of each change."""
    counts, events = Counts(), list[HouseEvent]()
    for person in people:
        old = writing.execute(prepared.PERSON, {"id": person.id}).fetchone()
        row = person_row(person)
        if counts.count(old, row) != "same":
            what = "came" if old is None or old["left_at"] else "changed"
            events.append(put_person(writing, keys, by, person, what))
    return counts, events


def _order(order: Order) -> dict[str, Any]:
    """Return the row of an order: its patient by id."""
    raw = codec.written(order)
    raw.pop("patient")
    return {
        "id": order.id,
        "patient": order.patient.id,
        "drug": order.drug.id,
        "due": moment_text(order.due),
        "body": codec.to_text(raw),
    }


def _body(value: Any) -> str:
    """Return a value as canonical text."""
    return codec.to_text(codec.written(value))


def _put(writing: Writing, by_id: str, put: str, rows: Iterable[Mapping[str, Any]]) -> Counts:
    """Write rows and count what they changed."""
    counts = Counts()
    for row in rows:
        counts.count(writing.execute(by_id, {"id": row["id"]}).fetchone(), row)
        writing.execute(put, row)
    return counts
