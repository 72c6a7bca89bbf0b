"""Rows of the stock list: which lots of which products stand where, sealed or opened."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.stock.expiry import may_be_kept
from kiosk.feeds.cells import Cells
from kiosk.feeds.written import write_measure
from kiosk.feeds.written_time import write_moment

STOCK: Final = (
    "id",
    "product",
    "lot",
    "expiry",
    "count",
    "drawer",
    "serial",
    "left",
    "opened",
    "discard_after",
    "recalled",
)
# The key of a container is printed in the in-use label's code, which holds no more than this.
_KEY: Final = re.compile(r"[0-9A-Z]{1,8}")
# GS1 General Specifications: a lot has at most twenty characters of a set without spaces.
_LOT: Final = re.compile(r"[!-~]{1,20}")


@dataclass(frozen=True, slots=True)
class StockLine:
    """Containers that are alike, and how many of them there are; an opened or numbered one stands alone."""

    container: Container
    count: int


def read_stock(cells: Cells, products: Mapping[str, Product]) -> StockLine:
    """Return one line of stock; what says it is open must say how much is left and since when."""
    product = cells.known("product", products)
    key, lot, count = cells.text("id"), cells.text("lot"), cells.whole("count")
    if not _KEY.fullmatch(key):
        cells.bad("id", "cell_not_a_key")
    if not _LOT.fullmatch(lot):
        cells.bad("lot", "cell_not_a_lot")
    container = Container(
        id=key,
        product=product,
        lot=lot,
        expiry=cells.day("expiry"),
        serial=cells.maybe("serial"),
        drawer=cells.text("drawer"),
        left=cells.if_any("left", lambda column: cells.measure(column, "mL")),
        opened_at=cells.if_any("opened", cells.moment),
        discard_after=cells.if_any("discard_after", cells.moment),
        recalled=cells.yes("recalled"),
    )
    if count < 1 or (count > 1 and (container.serial or cells.maybe("opened"))):
        cells.bad("count", "cell_count_bad")
    _refuse_half_open(cells, container)
    return StockLine(container, count)


def _refuse_half_open(cells: Cells, container: Container) -> None:
    """Raise when a container is open in one column and sealed in another, or holds more than its fill."""
    filled = [bool(cells.maybe(column)) for column in ("left", "opened", "discard_after")]
    if any(filled) and not all(filled):
        cells.bad("opened", "cell_half_open")
    if any(filled) and not may_be_kept(container):
        cells.bad("opened", "cell_not_kept", form=container.product.form.value)
    fill = container.product.contents
    if container.left is not None and fill is not None and container.left > fill:
        cells.bad("left", "cell_more_than_fill", fill=fill)


def write_stock(line: StockLine) -> dict[str, str]:
    """Return the cells of one line of stock."""
    one = line.container
    return {
        "id": one.id,
        "product": one.product.id,
        "lot": one.lot,
        "expiry": one.expiry.isoformat(),
        "count": str(line.count),
        "drawer": one.drawer,
        "serial": one.serial,
        "left": "" if one.left is None else write_measure(one.left),
        "opened": "" if one.opened_at is None else write_moment(one.opened_at),
        "discard_after": "" if one.discard_after is None else write_moment(one.discard_after),
        "recalled": "yes" if one.recalled else "no",
    }
