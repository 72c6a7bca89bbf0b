"""Do the rows of containers hold what the book says is left? Lot by lot, to the thousandth."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from typing import Final, TypeAlias

from kiosk.core.stock.holding import MILLILITRES, Holding
from kiosk.store import prepared
from kiosk.store.diagnosis import Break, How
from kiosk.store.stock import holding_of
from kiosk.store.stock_book import thousandths

Lot: TypeAlias = tuple[str, str]
DRY: Final = "1"


def stock_breaks(connection: sqlite3.Connection) -> Iterator[Break]:
    """Yield the first lot whose containers, with those in hand, are not what its book says is left."""
    cursor = connection.cursor()
    cursor.row_factory = sqlite3.Row
    units = {(row["product"], row["lot"]): row["unit"] for row in cursor.execute(prepared.LOTS_LEFT)}
    there: defaultdict[Lot, int] = defaultdict(int)
    for row in cursor.execute(prepared.EVERY_CONTAINER).fetchall():
        held = holding_of(row)
        lot = (held.container.product.id, held.container.lot)
        there[lot] += _holds(held, units.get(lot, DRY))
    for row in cursor.execute(prepared.IN_HAND).fetchall():
        there[row["product"], row["lot"]] += row["had"]
    for row in cursor.execute(prepared.LOTS_LEFT).fetchall():
        lot = (row["product"], row["lot"])
        if there[lot] != row["left"]:
            told = f"containers: lot {row['lot']} of {row['product']} is not what its book says is left"
            yield Break(0, How.DISAGREES, told)
            return


def _holds(held: Holding, unit: str) -> int:
    """Return what a row that somebody counted holds, in thousandths of the book's unit."""
    if held.held is None:
        return 0
    if held.opened and unit == MILLILITRES:
        return thousandths(held.amount(1)) if held.held else 0
    return thousandths(held.amount(held.held))
