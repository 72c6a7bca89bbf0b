"""Deciding what happens to stock beside the syringes: who may, before whom, and how much there is.

Each function answers the entry that may be written, or a ``Refusal``. They read nothing but their arguments;
the store asks them inside the transaction that writes the answer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Final

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import stock_events as e
from kiosk.core.stock.expiry import is_expired
from kiosk.core.stock.holding import Holding
from kiosk.core.stock.waste import Reason

People = Mapping[str, Person]
KEEPERS: Final = frozenset({Role.KEEPER})
HANDS: Final = frozenset({Role.KEEPER, Role.PREPARER, Role.CHECKER})
MOST_AT_ONCE: Final = 9999
# GS1 General Specifications: a lot has at most twenty characters of a set without spaces.
_LOT: Final = re.compile(r"[!-~]{1,20}")


def may(by: str, roles: frozenset[Role], people: People) -> Refusal | None:
    """Return a refusal unless the person holds one of the roles."""
    person = people.get(by)
    return None if person and person.roles & roles else Refusal("may_not_keep_stock")


def seen(product: Product, by: str, witness: str, people: People) -> Refusal | None:
    """Return what is wrong with the second person: needed for controlled stock, and always a witness."""
    if not witness:
        return Refusal("stock_needs_witness") if product.drug.controlled else None
    if witness == by:
        return Refusal("witness_is_same_person")
    person = people.get(witness)
    return None if person and Role.WITNESS in person.roles else Refusal("may_not_witness")


def receive(
    by: str,
    witness: str,
    container: Container,
    count: int | None,
    people: People,
    now: datetime,
    read_by: str = "scan",
) -> e.StockReceived | Refusal:
    """Take containers in: in date, under a lot, controlled ones before a witness."""
    name = container.product.label_name
    if refusal := may(by, KEEPERS, people) or seen(container.product, by, witness, people):
        return refusal
    if count is not None and not 1 <= count <= MOST_AT_ONCE:
        return Refusal("stock_count_bad", {"container": name, "most": MOST_AT_ONCE})
    if count is not None and count > 1 and (container.serial or container.opened_at):
        return Refusal("stock_stands_alone", {"container": name})
    if not _LOT.fullmatch(container.lot):
        return Refusal("received_without_lot", {"container": name})
    if is_expired(container, now.date()):
        return Refusal("received_expired", {"container": name, "expiry": container.expiry})
    return e.StockReceived(by, container, count, witness, read_by)


def waste(
    by: str, witness: str, holding: Holding, count: int, reason: str, people: People
) -> e.StockWasted | Refusal:
    """Throw away sealed containers, or what is left in an opened one."""
    if reason not in set(Reason):
        return Refusal("waste_needs_reason")
    if refusal := _going(by, witness, holding, count, HANDS, people):
        return refusal
    sealed = 0 if holding.opened else count
    return e.StockWasted(by, holding.container.id, holding.amount(count), sealed, reason, witness)


def send_back(
    by: str, witness: str, holding: Holding, count: int, reason: str, people: People
) -> e.StockSentBack | Refusal:
    """Send sealed containers back; an opened one is wasted, never sent."""
    if holding.opened:
        return Refusal("opened_not_sent_back", {"container": holding.container.product.label_name})
    if not reason.strip():
        return Refusal("stock_needs_reason")
    if refusal := _going(by, witness, holding, count, KEEPERS, people):
        return refusal
    return e.StockSentBack(by, holding.container.id, count, reason.strip(), witness)


def move(
    by: str, holding: Holding, count: int, drawer: str, own: str, people: People
) -> e.StockMoved | Refusal:
    """Move some or all of a row to another drawer; ``own`` is the key of the row that some of it makes."""
    held, was = holding.container, holding.container.drawer
    if refusal := may(by, KEEPERS, people) or _enough(holding, count):
        return refusal
    if not drawer.strip() or drawer.strip() == was:
        return Refusal("stock_same_drawer", {"container": held.product.label_name, "drawer": was})
    return e.StockMoved(by, held.id, was, drawer.strip(), count, "" if count == holding.held else own)


def correct(
    by: str, witness: str, holding: Holding, counted: int, reason: str, people: People
) -> e.StockCounted | Refusal:
    """Make a row say what was counted. Controlled stock is not corrected but counted and settled by four."""
    container = holding.container
    name = container.product.label_name
    if refusal := may(by, KEEPERS, people) or seen(container.product, by, witness, people):
        return refusal
    if container.product.drug.controlled:
        return Refusal("controlled_not_corrected", {"container": name})
    if holding.opened:
        return Refusal("opened_not_counted", {"container": name})
    if not 0 <= counted <= MOST_AT_ONCE:
        return Refusal("stock_count_bad", {"container": name, "most": MOST_AT_ONCE})
    if counted < holding.in_hand:
        return Refusal("stock_in_hand", {"container": name, "count": holding.in_hand})
    if counted != holding.free and not reason.strip():
        return Refusal("stock_needs_reason")
    return e.StockCounted(by, container.id, holding.free, counted, reason.strip(), witness)


def set_aside(by: str, holding: Holding, reason: str, people: People) -> e.StockSetAside | Refusal:
    """Put a row in quarantine; everybody who works with stock may."""
    if refusal := may(by, HANDS, people):
        return refusal
    if not reason.strip():
        return Refusal("stock_needs_reason")
    return e.StockSetAside(by, holding.container.id, reason.strip())


def release(by: str, holding: Holding, reason: str, people: People) -> e.StockReleased | Refusal:
    """Let a row out of quarantine; a recalled lot stays where it is."""
    if refusal := may(by, KEEPERS, people):
        return refusal
    if not reason.strip():
        return Refusal("stock_needs_reason")
    if holding.container.recalled:
        return Refusal("recall_not_released", {"lot": holding.container.lot})
    return e.StockReleased(by, holding.container.id, reason.strip())


def _going(
    by: str, witness: str, holding: Holding, count: int, roles: frozenset[Role], people: People
) -> Refusal | None:
    """Return why stock may not leave: by this person, before this witness, this much of it."""
    product = holding.container.product
    return may(by, roles, people) or seen(product, by, witness, people) or _enough(holding, count)


def _enough(holding: Holding, count: int) -> Refusal | None:
    """Return a refusal unless so many stand there with nobody drawing from them."""
    name = holding.container.product.label_name
    if not 1 <= count <= MOST_AT_ONCE:
        return Refusal("stock_count_bad", {"container": name, "most": MOST_AT_ONCE})
    if count > holding.free:
        return Refusal("stock_not_there", {"container": name, "free": holding.free, "count": count})
    return None
