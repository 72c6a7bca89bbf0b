"""What the events of stock do to the rows of containers and to the book."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

from kiosk.core.catalogue.container import Container
from kiosk.core.preparation import stock_events as e
from kiosk.core.preparation.house_events import LotRecalled
from kiosk.core.stock.expiry import is_opened
from kiosk.core.stock.holding import amount_of
from kiosk.core.stock.waste import Reason
from kiosk.store import codec, prepared
from kiosk.store.connection import Writing
from kiosk.store.entry import moment_text
from kiosk.store.place import Place
from kiosk.store.stock import container_of, container_row
from kiosk.store.stock_book import Line, held_by, open_book, thousandths, write_line


def _received(writing: Writing, place: Place, event: e.StockReceived) -> None:
    """Add to the row of that key, or make it; a counted one is booked."""
    container = event.container
    if writing.execute(prepared.HELD, {"container": container.id}).fetchone() is None:
        product = container.product
        body = codec.to_text(codec.written(product))
        known = {"id": product.id, "gtin": product.gtin, "drug": product.drug.id, "body": body}
        writing.execute(prepared.ADD_PRODUCT, known)
        row = container_row(replace(container, reserved_for=""), event.count)
        writing.execute(prepared.PUT_CONTAINER, row)
    else:
        writing.execute(prepared.ADD, {"container": container.id, "count": event.count})
    if event.count is not None:
        came = held_by(container) if is_opened(container) else _sealed(container, event.count)
        line = Line("received", container.id, event.by, event.witness, came=came, reason=event.read_by)
        open_book(writing, place, container.product, container.lot, line)


def _relisted(writing: Writing, place: Place, event: e.StockRelisted) -> None:
    """Write over a row what a list says of it; what the record knows better stays."""
    row = container_row(replace(event.container, reserved_for=""), None)
    writing.execute(prepared.PUT_CONTAINER, row)


def _counted(writing: Writing, place: Place, event: e.StockCounted) -> None:
    """Make the row say what was counted; what is missing is unaccounted for."""
    row = writing.execute(prepared.HELD, {"container": event.container}).fetchone()
    held = _row(writing, event.container)
    if row is None or held is None:
        return
    now = event.counted + row["in_hand"]
    writing.execute(prepared.SET_HELD, {"container": event.container, "count": now})
    off = event.counted - event.booked
    more, fewer = _sealed(held, max(off, 0)), _sealed(held, max(-off, 0))
    reason = Reason.UNACCOUNTED.value if fewer else event.reason
    line = Line("counted", held.id, event.by, event.witness, came=more, wasted=fewer, reason=reason)
    write_line(writing, place, held.product.id, held.lot, line)


def _moved(writing: Writing, place: Place, event: e.StockMoved) -> None:
    """Note the other drawer, on the row or on a row of its own."""
    target = event.own or event.container
    if event.own:
        held = _row(writing, event.container)
        if held is None:
            return
        writing.execute(prepared.TAKE, {"container": event.container, "count": event.count})
        apart = container_row(replace(held, id=event.own, reserved_for=""), event.count)
        writing.execute(prepared.PUT_CONTAINER, apart)
    writing.execute(prepared.SET_DRAWER, {"container": target, "drawer": event.drawer})


def _sent_back(writing: Writing, place: Place, event: e.StockSentBack) -> None:
    """Take sealed containers out of the row and the book."""
    held = _row(writing, event.container)
    if held is None:
        return
    writing.execute(prepared.TAKE, {"container": held.id, "count": event.count})
    sent = _sealed(held, event.count)
    line = Line("sent back", held.id, event.by, event.witness, sent=sent, reason=event.reason)
    write_line(writing, place, held.product.id, held.lot, line)


def _wasted(writing: Writing, place: Place, event: e.StockWasted) -> None:
    """Take what was thrown away out of the row and the book."""
    held = _row(writing, event.container)
    if held is None:
        return
    _gone(writing, held, event.count or 1)
    wasted = thousandths(event.amount)
    line = Line("wasted", held.id, event.by, event.witness, wasted=wasted, reason=event.reason)
    write_line(writing, place, held.product.id, held.lot, line)


def _settled(writing: Writing, place: Place, event: e.DiscrepancySettled) -> None:
    """Make one row agree with the count that two others settled."""
    held = _row(writing, event.container)
    if held is None:
        return
    amount = thousandths(event.amount)
    if event.off > 0:
        writing.execute(prepared.ADD, {"container": held.id, "count": event.off})
        line = Line("settled", held.id, event.by, event.witness, came=amount, reason=event.reason)
    else:
        _gone(writing, held, -event.off)
        reason = Reason.UNACCOUNTED.value
        line = Line("settled", held.id, event.by, event.witness, wasted=amount, reason=reason)
    write_line(writing, place, held.product.id, held.lot, line)


def _aside(writing: Writing, place: Place, event: e.StockSetAside) -> None:
    writing.execute(prepared.SET_ASIDE, {"container": event.container, "reason": event.reason})


def _released(writing: Writing, place: Place, event: e.StockReleased) -> None:
    writing.execute(prepared.SET_ASIDE, {"container": event.container, "reason": ""})


def _recalled(writing: Writing, place: Place, event: LotRecalled) -> None:
    writing.execute(prepared.RECALL_LOT, {"which": event.lot, "only": event.product})


def _handed_over(writing: Writing, place: Place, event: e.ControlledCounted) -> None:
    """Keep a count: the last one of a product says whether it agrees."""
    row = {name: getattr(event, name) for name in ("product", "sealed", "opened")}
    row |= {name: getattr(event, name) for name in ("sealed_booked", "opened_booked")}
    row |= {"entry": place.seq, "at": moment_text(place.at), "person": event.by, "other": event.witness}
    writing.execute(prepared.NOTE_COUNT, row)


def _row(writing: Writing, container: str) -> Container | None:
    """Return the container of a row."""
    row = writing.execute(prepared.CONTAINER, {"id": container}).fetchone()
    return container_of(row) if row else None


def _gone(writing: Writing, held: Container, count: int) -> None:
    """Take containers out of their row; an opened one leaves it empty."""
    writing.execute(prepared.TAKE, {"container": held.id, "count": count})
    writing.execute(prepared.EMPTIED, {"container": held.id})


def _sealed(container: Container, count: int) -> int:
    """Return what so many sealed containers hold, in thousandths."""
    return thousandths(amount_of(container.product, count))


STOCK_ROWS: Final[dict[type[Any], Callable[[Writing, Place, Any], None]]] = {
    e.StockReceived: _received,
    e.StockRelisted: _relisted,
    e.StockCounted: _counted,
    e.StockMoved: _moved,
    e.StockSentBack: _sent_back,
    e.StockWasted: _wasted,
    e.DiscrepancySettled: _settled,
    e.StockSetAside: _aside,
    e.StockReleased: _released,
    e.ControlledCounted: _handed_over,
    LotRecalled: _recalled,
}
