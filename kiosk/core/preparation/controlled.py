"""Counting controlled stock at hand-over, and settling a count that does not agree.

Two people count blind: they say what they see before they hear what is booked. A count changes nothing. One
that does not agree stays open until two others have settled it and it was counted again.
"""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from kiosk.core.catalogue.container import Product
from kiosk.core.findings import Refusal
from kiosk.core.preparation import stock_events as e
from kiosk.core.preparation.stock_keeping import HANDS, KEEPERS, People, may, seen
from kiosk.core.stock.balance import Balance, Discrepancy, settle
from kiosk.core.stock.holding import WHOLE, Holding
from kiosk.core.units import Measure

Booked = tuple[int, int]


def count_controlled(
    by: str, witness: str, product: Product, counted: Booked, booked: Booked, people: People
) -> e.ControlledCounted | Refusal:
    """Compare what two people counted, sealed and opened, with what is booked and not in hand."""
    if refusal := may(by, HANDS, people) or seen(product, by, witness, people):
        return refusal
    if not product.drug.controlled:
        return Refusal("not_controlled", {"container": product.label_name})
    if min(counted) < 0:
        return Refusal("count_below_nothing", {"volume": _pieces(min(counted))})
    return e.ControlledCounted(by, witness, product.id, *counted, *booked)


def settle_count(
    by: str,
    witness: str,
    count: int,
    counted: e.ControlledCounted,
    booked: Booked,
    holding: Holding,
    off: int,
    reason: str,
    people: People,
    now: datetime,
) -> e.DiscrepancySettled | Refusal:
    """Make one row agree with a count that did not; ``off`` is how many containers more or fewer.

    ``count`` is the entry of the count, ``booked`` what is booked now. Two people, neither of whom counted,
    and a reason; the book must not have moved since. Refusals: those of ``balance.settle``,
    ``not_what_was_counted``, ``stock_not_there``.
    """
    product = holding.container.product
    if refusal := may(by, KEEPERS, people) or seen(product, by, witness, people):
        return refusal
    if refusal := _against_count(counted, booked, holding, by, witness, reason, now):
        return refusal
    missing = (
        counted.opened - counted.opened_booked if holding.opened else counted.sealed - counted.sealed_booked
    )
    if not off or off * missing <= 0 or abs(off) > abs(missing):
        return Refusal("not_what_was_counted", {"container": product.label_name, "off": missing})
    if -off > holding.free or (holding.opened and off > 0):
        name, free = product.label_name, holding.free
        return Refusal("stock_not_there", {"container": name, "free": free, "count": abs(off)})
    amount = holding.amount(abs(off)).scaled(1 if off > 0 else -1)
    container = holding.container.id
    return e.DiscrepancySettled(by, witness, product.id, count, container, off, amount, reason.strip())


def _against_count(
    counted: e.ControlledCounted,
    booked: Booked,
    holding: Holding,
    by: str,
    witness: str,
    reason: str,
    now: datetime,
) -> Refusal | None:
    """Return what the rule of settling says: two others, a reason, a book that has not moved."""
    now_there, then = (
        (booked[1], counted.opened_booked) if holding.opened else (booked[0], counted.sealed_booked)
    )
    said = counted.opened if holding.opened else counted.sealed
    if said == then:
        return Refusal("not_what_was_counted", {"container": holding.container.product.label_name, "off": 0})
    found = Discrepancy(
        _pieces(said), _pieces(then), _pieces(said - then), (counted.by, counted.witness), now
    )
    left = _pieces(now_there)
    balance = Balance(left, _pieces(0), _pieces(0), left)
    answer = settle(balance, found, (by, witness), now, reason)
    if not isinstance(answer, Refusal):
        return None
    return Refusal(answer.code, {"booked": then, "left": now_there}) if answer.facts else answer


def _pieces(count: int) -> Measure:
    """Return a number of containers."""
    return Measure(Fraction(count), WHOLE)
