"""Lists coming in, several in one transaction, with counts for each."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.catalogue.people import Patient, Person
from kiosk.core.dose.order import Order
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.store import lists, prepared
from kiosk.store.connection import Writing
from kiosk.store.keys import Keys
from kiosk.store.lists import Counts
from kiosk.store.lists_agreement import list_changed
from kiosk.store.pins import pin_hash
from kiosk.store.policy import SignOnPolicy
from kiosk.store.staff_rows import issue_badge, put_pin


class Import:
    """One taking-in of lists. ``counts`` says what each brought, by the list's name."""

    def __init__(self, writing: Writing, keys: Keys, policy: SignOnPolicy, by: str, now: datetime) -> None:
        self.writing = writing
        self.counts: dict[str, Counts] = {}
        self._told: list[HouseEvent] = []
        self._by = by
        self._keys = keys
        self._policy = policy
        self._now = now

    def products(self, rows: Iterable[Product]) -> Counts:
        """Take in products of the drug list."""
        return self._counted("products", lists.put_products(self.writing, rows))

    def stock(self, rows: Iterable[tuple[Container, int | None]], witness: str = "") -> Counts:
        """Take in containers, each with how many alike ones it stands for (None: nobody counted).

        What is new stands in the drawers once the taking-in is on record; controlled stock comes in before
        a ``witness``.
        """
        counts, told = lists.put_stock(self.writing, self._by, witness, rows)
        self._told += told
        return self._counted("stock", counts)

    def devices(self, rows: Iterable[Syringe | DrawUpDevice | InjectionNeedle]) -> Counts:
        """Take in kinds of syringe, draw-up device and needle."""
        return self._counted("devices", lists.put_devices(self.writing, rows))

    def patients(self, rows: Iterable[Patient]) -> Counts:
        """Take in patients as now known."""
        return self._counted("patients", lists.put_patients(self.writing, rows))

    def orders(self, rows: Iterable[Order]) -> Counts:
        """Take in orders."""
        orders, patients = lists.put_orders(self.writing, rows)
        if patients.added:
            self._counted("patients", patients)
        return self._counted("orders", orders)

    def withdraw_orders(self, order_ids: Iterable[str]) -> None:
        """Take back orders that are no longer wanted; one under way is not stopped by it."""
        counts = self.counts.setdefault("orders", Counts())
        for order_id in order_ids:
            counts.removed += self.writing.execute(prepared.DROP_ORDER, {"id": order_id}).rowcount

    def people(self, rows: Iterable[tuple[Person, str, str]]) -> Counts:
        """Take in staff, each with badge and PIN; an empty badge or PIN leaves what there is.

        Slow on purpose where PINs are given: each is hashed.
        """
        kept = list(rows)
        people = [person for person, _, _ in kept]
        counts, told = lists.put_people(self.writing, self._keys, self._by, people)
        self._told += told
        for person, badge, pin in kept:
            if badge:
                self._issue(person.id, badge)
            if pin:
                self._set_pin(person.id, pin)
        return self._counted("people", counts)

    def entries(self) -> list[HouseEvent]:
        """Return the entries that tell what was taken in."""
        return self._told + [
            list_changed(self.writing, self._by, name, counts) for name, counts in self.counts.items()
        ]

    def _issue(self, person_id: str, badge: str) -> None:
        """Give a person a badge, unless it is theirs already."""
        digest = self._keys.badge_digest(badge)
        old = self.writing.execute(prepared.BADGE, {"digest": digest}).fetchone()
        if old is None or old["person"] != person_id or old["ended_at"] is not None:
            self._told += issue_badge(self.writing, self._keys, self._by, person_id, digest, self._now)

    def _set_pin(self, person_id: str, pin: str) -> None:
        """Set a person's PIN."""
        hashed = pin_hash(self._keys.peppered(pin), self._policy.cost)
        self._told.append(put_pin(self.writing, self._keys, self._by, person_id, hashed, self._now))

    def _counted(self, name: str, counts: Counts) -> Counts:
        """Keep the counts of a list; of one taken in twice, both together."""
        before = self.counts.get(name)
        self.counts[name] = counts if before is None else before.plus(counts)
        return counts
