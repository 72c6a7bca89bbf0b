"""One real demo counter with a nurse at it, and what a test may ask of it afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kiosk.core.dose.order import Order
from kiosk.core.preparation.events import Event
from kiosk.hardware.clock import SetClock
from kiosk.pages.driver import Driver
from kiosk.store import lists
from kiosk.store.opening import Store
from tests.counter import NOW
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.nurse import Nurse


class Counter:
    """Store, driver, hand and nurse of one counter."""

    def __init__(self, store: Store, driver: Driver, hand: DriverHand) -> None:
        self.store, self.driver, self.hand, self.nurse = store, driver, hand, Nurse(hand)

    def ordered(self, order: Order) -> str:
        """Put an order of a test's own on the list; return its id."""
        with self.store.database.writing() as writing:
            lists.put_orders(writing, [order])
        return order.id

    def due(self) -> set[str]:
        """The ids of the orders still to be made."""
        return {one.id for one in self.driver.orders.due(self.driver.desk.now())}

    def happened(self) -> list[Event]:
        """Every entry of the syringe last begun, oldest first."""
        rows = self.store.database.rows(
            "SELECT id FROM preparations ORDER BY opened_at DESC, rowid DESC LIMIT 1"
        )
        return [entry.event for entry in self.store.ledger.events(str(rows[0]["id"]))]


@contextmanager
def at_a_counter(folder: Path, language: str = "en") -> Iterator[Counter]:
    """A fresh counter of one's own, open for a while."""
    clock, home = SetClock(NOW), fresh(folder)
    store, driver = opened(home, clock, language)
    yield Counter(store, driver, DriverHand(driver, clock, home.labels))
    store.close()
