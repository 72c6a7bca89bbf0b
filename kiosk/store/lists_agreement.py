"""Are the lists what they were when somebody last took one in? Each list whole against its last entry.

A list of products or devices changes by being taken in and in no other way; the entry that says so carries a
digest of the whole list as it then stood. Orders and patients change in two further ways: a dose that is
shared out makes orders of its parts, which say what their first part says; and who is erased is off both
lists, of which the digests are taken anew.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from hashlib import sha256
from typing import Any, Final

from kiosk.core.dose.parts import part_id
from kiosk.core.preparation.house_events import ListChanged
from kiosk.store import codec, prepared
from kiosk.store.connection import Writing
from kiosk.store.diagnosis import Break, How
from kiosk.store.entry import read_entry
from kiosk.store.lists import Counts

LISTS: Final = {
    "products": prepared.EVERY_PRODUCT,
    "devices": prepared.EVERY_DEVICE,
    "patients": prepared.EVERY_PATIENT,
    "orders": prepared.EVERY_ORDER,
}
_PART: Final = ("part", "parts")


def whole_of(connection: sqlite3.Connection | Writing, name: str) -> str:
    """Return a digest of a whole list: SHA-256 over its rows by id, orders without what sharing out adds."""
    made = sha256()
    for row in connection.execute(LISTS[name]):
        values = tuple(row)
        if name == "orders":
            body = codec.from_text(values[-1])
            if body.get("part", 1) > 1:
                continue
            values = (*values[:-1], codec.to_text({k: v for k, v in body.items() if k not in _PART}))
        made.update("\x1f".join(map(str, values)).encode() + b"\x1e")
    return made.hexdigest()


def list_changed(writing: Writing, by: str, name: str, counts: Counts) -> ListChanged:
    """Return the entry that says what became of a list; those not kept by this digest carry none."""
    whole = whole_of(writing, name) if name in LISTS else ""
    told = (counts.added, counts.changed, counts.same, counts.digest, counts.removed)
    return ListChanged(by, name, *told, whole)


def list_breaks(connection: sqlite3.Connection) -> Iterator[Break]:
    """Yield the first list that is not as it was last taken in, and the first part that nobody shared out."""
    last = dict[str, str]()
    for (text,) in connection.execute(prepared.LIST_ENTRIES):
        raw = read_entry(text).raw
        last[raw["list"]] = raw.get("whole", "")
    for name in LISTS:
        if last.get(name) and whole_of(connection, name) != last[name]:
            yield Break(0, How.CHANGED, f"{name}: the list is not as it was last taken in")
            return
    yield from _part_breaks(connection)


def _part_breaks(connection: sqlite3.Connection) -> Iterator[Break]:
    """Yield the first order that is said to be a part, and is not one of a dose that somebody shared out."""
    orders = {row[0]: (*row[1:-1], codec.from_text(row[-1])) for row in connection.execute(LISTS["orders"])}
    shared = {row[0]: row[1] for row in connection.execute(prepared.SHARED_OUT)}
    wanted = dict[str, tuple[Any, ...]]()
    for id in shared.keys() & orders.keys():
        wanted |= _parts_of(id, orders[id], shared[id])
    spared = {part_id(id, n) for id, parts in shared.items() if id not in orders for n in range(1, parts + 1)}
    for id in wanted.keys() | orders.keys() - spared:
        is_part = id in orders and orders[id][-1].get("parts", 1) > 1
        if (is_part or id in wanted) and orders.get(id) != wanted.get(id):
            yield Break(0, How.CHANGED, f"orders: {id} is not a part as it was shared out")
            return


def _parts_of(id: str, row: tuple[Any, ...], parts: int) -> dict[str, tuple[Any, ...]]:
    """Return the rows that an order shared out amounts to: as its first part says, each under its name."""
    *listed, body = row
    return {
        (name := part_id(id, part)): (*listed, body | {"id": name, "part": part, "parts": parts})
        for part in range(1, parts + 1)
    }
