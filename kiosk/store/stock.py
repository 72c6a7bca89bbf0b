"""Containers as the store keeps them: what the list says, and what the record has made of it since.

A row stands for one container, or for ``held`` alike unopened ones of a lot (None: nobody counted them).
What is not kept once opened is gone when it is taken. A multi-dose vial is booked when its rest is: kept,
it becomes a row of its own; wasted, it is gone.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any, Final

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.findings import Refusal
from kiosk.core.preparation.events import RestAccounted
from kiosk.core.stock.expiry import is_opened, may_be_kept
from kiosk.core.stock.holding import Holding
from kiosk.flow.ports import Overtaken
from kiosk.store import codec, prepared
from kiosk.store.connection import Row, Writing
from kiosk.store.entry import moment_text
from kiosk.store.stock_book import held_by

STATE: Final = ("left", "opened_at", "discard_after", "recalled", "used_up", "set_aside")


def container_of(row: Row) -> Container:
    """Return a container from its row, the state of the record over that of the list."""
    raw = codec.from_text(row["body"])
    raw |= {"product": codec.from_text(row["product"])}
    raw |= {name: row[name] for name in ("left", "opened_at", "discard_after")}
    found = codec.read(Container, raw)
    return replace(
        found,
        recalled=bool(row["recalled"]),
        used_up=bool(row["used_up"]),
        reserved_for=row["reserved_for"] or "",
        set_aside=row["set_aside"],
    )


def holding_of(row: Row) -> Holding:
    """Return a row of stock with how many there are and how many of them are in hand."""
    return Holding(container_of(row), row["held"], row["in_hand"])


def product_of(text: str) -> Product:
    """Return a product from its stored body."""
    return codec.read(Product, codec.from_text(text))


def take(writing: Writing, container: Container) -> int:
    """Take a container in hand for a syringe; return what it holds, in thousandths, for the book.

    Nothing is answered for one that nobody counted: it is in no book. Raises ``Overtaken`` when the last one
    was taken by somebody else meanwhile, or the container is no longer as it was when it was looked at.
    """
    row = writing.execute(prepared.HELD, {"container": container.id}).fetchone()
    if row is None:
        return 0
    _refuse_changed(row, container)
    if row["held"] is None:
        return 0
    kept = may_be_kept(container)
    if row["held"] - (row["in_hand"] if kept else 0) < 1:
        raise Overtaken(Refusal("taken_meanwhile", {"container": container.product.label_name}))
    if not kept:
        writing.execute(prepared.TAKE, {"container": container.id, "count": 1})
    return held_by(container)


def _refuse_changed(row: Row, container: Container) -> None:
    """Raise ``Overtaken`` for a container that was drawn from, recalled or set aside since it was seen."""
    left = None if container.left is None else codec.written(container.left)
    aside = row["set_aside"] and not container.set_aside
    if row["left"] != left or (row["recalled"] and not container.recalled) or aside:
        raise Overtaken(Refusal("changed_meanwhile", {"container": container.product.label_name}))


def account_rest(writing: Writing, event: RestAccounted, seq: int, at: datetime) -> None:
    """Bring the row of a multi-dose vial up to what became of its rest; ``seq`` is the entry that says so."""
    row = writing.execute(prepared.CONTAINER, {"id": event.container}).fetchone()
    if row is None or not may_be_kept(held := container_of(row)):
        return
    if event.fate != "kept":
        writing.execute(prepared.TAKE, {"container": held.id, "count": 1})
        writing.execute(prepared.EMPTIED, {"container": held.id})
        return
    own = held.id if is_opened(held) or row["held"] == 1 else _set_apart(writing, held, seq, row["held"])
    until = moment_text(event.discard_after) if event.discard_after else None
    kept = {"container": own, "volume": codec.written(event.volume), "at": moment_text(at), "until": until}
    writing.execute(prepared.KEEP_REST, kept)


def _set_apart(writing: Writing, lot: Container, seq: int, held: int | None) -> str:
    """Give one container of a lot a row and a key of its own, and return the key; uncounted stays so."""
    own = f"V{seq}"
    writing.execute(prepared.TAKE, {"container": lot.id, "count": 1})
    row = container_row(replace(lot, id=own, reserved_for=""), None if held is None else 1)
    writing.execute(prepared.PUT_CONTAINER, row)
    return own


def container_row(container: Container, held: int | None) -> dict[str, Any]:
    """Return the row of a container: its product by id, its state beside its body."""
    raw = codec.written(container)
    state = {name: raw.pop(name) for name in STATE}
    raw.pop("product")
    raw.pop("reserved_for")
    return {
        "id": container.id,
        "product": container.product.id,
        "lot": container.lot,
        "serial": container.serial,
        "expiry": container.expiry.isoformat(),
        "body": codec.to_text(raw),
        **state,
        "recalled": int(container.recalled),
        "used_up": int(container.used_up),
        "held": held,
        "set_aside": container.set_aside,
    }
