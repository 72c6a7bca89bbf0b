"""The orders due at this counter, each with its patient as now known."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from kiosk.core.dose.order import Order
from kiosk.store import codec, prepared
from kiosk.store.connection import Database, Row


class OrderBook:
    """Reads the order list; an order under way or done is no longer due."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def due(self, now: datetime) -> Sequence[Order]:
        """Return the orders still to be prepared, earliest due first, late ones included."""
        return [_order(row) for row in self._database.rows(prepared.ORDERS_DUE)]

    def order(self, order_id: str) -> Order | None:
        """Return one order with the patient as now known."""
        row = self._database.row(prepared.ORDER, {"id": order_id})
        return _order(row) if row else None


def _order(row: Row) -> Order:
    """Return an order from its row and its patient's."""
    raw = codec.from_text(row["body"]) | {"patient": codec.from_text(row["patient"])}
    return codec.read(Order, raw)
