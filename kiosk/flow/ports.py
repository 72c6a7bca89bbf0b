"""The outside, as the desk sees it: Protocols that store, printing and hardware meet by shape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol, TypeAlias

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.catalogue.people import Person
from kiosk.core.dose.order import Order
from kiosk.core.findings import Refusal
from kiosk.core.label.says import InUseFields, LabelFields
from kiosk.core.preparation.events import Event
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.flow.scans import InUseScan, ProductScan


@dataclass(frozen=True, slots=True)
class Recorded:
    """One durable entry: its place in the ledger, its moment and the event."""

    seq: int
    at: datetime
    event: Event


@dataclass(frozen=True, slots=True)
class Printed:
    """How a print ended: ``printed``, ``failed`` or ``unknown``; ``detail`` for the record."""

    outcome: str
    detail: str = ""


class RecordTrouble(Exception):
    """The ledger cannot be written or read: the world's fault. ``code`` names the trouble in words.

    Codes: ``disk_full``, ``read_only``, ``locked``, ``damaged``, ``gone``, ``other``. Nothing was recorded.
    """

    def __init__(self, code: str, detail: str = "") -> None:
        super().__init__(f"{code}: {detail}")
        self.code = code
        self.detail = detail


class Overtaken(Exception):
    """Somebody else took what this action counted on, between the look and the record.

    Nothing was recorded; ``refusal`` says what is no longer so.
    """

    def __init__(self, refusal: Refusal) -> None:
        super().__init__(refusal.code)
        self.refusal = refusal


class Clock(Protocol):
    """The time of day, aware of its zone, and a count of time that no hand can set."""

    def now(self) -> datetime:
        """Return the present moment."""
        ...

    def steady(self) -> timedelta:
        """Return how long some clock has run that nobody sets: only differences mean anything."""
        ...


class Ledger(Protocol):
    """The append-only record."""

    def append(self, preparation: str, events: Sequence[Event], at: datetime, key: str) -> Sequence[Recorded]:
        """Write the events of one action durably, all or none, with their projections.

        ``key`` is made before the first try: writing it again is a no-op that answers what was
        written. Raises ``RecordTrouble`` or ``Overtaken``; then nothing was written.
        """
        ...

    def note(self, events: Sequence[HouseEvent], at: datetime) -> Sequence[object]:
        """Write events that belong to no syringe. Raises ``RecordTrouble``; then nothing was written."""
        ...

    def events(self, preparation: str) -> Sequence[Recorded]:
        """Return every entry of one preparation, oldest first."""
        ...

    def unfinished(self) -> Sequence[str]:
        """Return the ids of preparations neither finished nor discarded, oldest first."""
        ...


class People(Protocol):
    """Who works here, and the proof that it is they."""

    def person(self, person_id: str) -> Person | None:
        """Return a person by id."""
        ...

    def by_badge(self, badge: str) -> Person | None:
        """Return whose badge this is, without saying anything about a PIN."""
        ...

    def everybody(self) -> Sequence[Person]:
        """Return all who work here now, by name."""
        ...

    def sign_on(self, badge: str, pin: str, now: datetime) -> Person | Refusal:
        """Check badge and PIN (slow on purpose: call it off the interface thread)."""
        ...

    def sign_off(self, person_id: str, why: str, now: datetime) -> None:
        """Record that a person signed off: ``asked``, ``idle``, ``handed over``. Raises ``RecordTrouble``."""
        ...


class OrderBook(Protocol):
    """The orders due at this counter."""

    def due(self, now: datetime) -> Sequence[Order]:
        """Return the orders still to be prepared, earliest due first."""
        ...

    def order(self, order_id: str) -> Order | None:
        """Return one order with the patient as now known."""
        ...


class Shelf(Protocol):
    """What is on the counter and in its drawers."""

    def container_by_scan(self, scan: ProductScan | InUseScan, now: datetime) -> Container | Refusal:
        """Return the container a scanned symbol belongs to, or why none can be named.

        A product unknown to the list is ``unknown_product``; a lot never received ``unknown_lot``; a
        symbol without a lot, where several lots are in stock, ``lot_wanted``.
        """
        ...

    def containers_of(self, drug_id: str, now: datetime) -> Sequence[Container]:
        """Return usable and unusable containers of one drug, earliest expiry first."""
        ...

    def syringes(self) -> Sequence[Syringe]:
        """Return the kinds of syringe in stock."""
        ...

    def draw_up_devices(self) -> Sequence[DrawUpDevice]:
        """Return the kinds of draw-up device in stock."""
        ...

    def needles(self) -> Sequence[InjectionNeedle]:
        """Return the kinds of injection needle in stock."""
        ...


class LabelPrinter(Protocol):
    """Puts a label on paper. Blocks until the print has ended one way or another."""

    def print(self, fields: LabelFields, job: str) -> Printed:
        """Print one label; ``job`` is its unique name. Never raises for paper or printer trouble."""
        ...

    def print_in_use(self, fields: InUseFields, job: str) -> Printed:
        """Print the in-use label of an opened vial; the same promises as ``print``."""
        ...

    def ready(self) -> bool:
        """Say whether a label could be printed now."""
        ...


Answer: TypeAlias = Person | Refusal
