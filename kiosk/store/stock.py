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
from kiosk.core.preparation.events import RestAccounted
from kiosk.core.stock.expiry import is_opened, may_be_kept
from kiosk.core.stock.moments import earliest, end_of, plus
from kiosk.core.units import Measure
from kiosk.store import codec, prepared
from kiosk.store.connection import Row, Writing
from kiosk.store.entry import moment_text

# An opened multi-dose vial whose maker gives no other time.
# Source: USP <797> (2023) and CDC injection safety guidance; known: from memory.
IN_USE_DEFAULT: Final = Measure.of(28, "day")


STATE: Final = ("left", "opened_at", "discard_after", "recalled", "used_up")


def discard_after(container: Container, opened_at: datetime) -> datetime:
    """Return until when a container opened then may be used: in-use time or pack, whichever ends first."""
    in_use = container.product.in_use or IN_USE_DEFAULT
    return earliest(plus(opened_at, in_use), end_of(container.expiry, opened_at))


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
    )


def product_of(text: str) -> Product:
    """Return a product from its stored body."""
    return codec.read(Product, codec.from_text(text))


def take(writing: Writing, container: Container) -> None:
    """Book a container that was taken for a syringe."""
    if not may_be_kept(container):
        writing.execute(prepared.TAKE_ONE, {"container": container.id})


def account_rest(writing: Writing, event: RestAccounted, seq: int, at: datetime) -> None:
    """Book what became of the rest of a multi-dose vial; ``seq`` is the entry that says so."""
    row = writing.execute(prepared.CONTAINER, {"id": event.container}).fetchone()
    if row is None or not may_be_kept(held := container_of(row)):
        return
    if event.fate != "kept":
        writing.execute(prepared.TAKE_ONE, {"container": held.id})
        writing.execute(prepared.EMPTIED, {"container": held.id})
        return
    own = held.id if is_opened(held) or row["held"] == 1 else _set_apart(writing, held, seq)
    until = moment_text(discard_after(held, at))
    kept = {"container": own, "volume": codec.written(event.volume), "at": moment_text(at), "until": until}
    writing.execute(prepared.KEEP_REST, kept)


def _set_apart(writing: Writing, lot: Container, seq: int) -> str:
    """Give one container of a lot a row and a key of its own, and return the key."""
    own = f"V{seq}"
    writing.execute(prepared.TAKE_ONE, {"container": lot.id})
    writing.execute(prepared.PUT_CONTAINER, container_row(replace(lot, id=own, reserved_for=""), held=1))
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
    }
