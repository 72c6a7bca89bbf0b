"""Exact balances: what came in is what was used, wasted and is left; never less than nothing.

A balance counts one thing in one unit: the millilitres of one opened vial, the ampoules of one controlled
drug in one strength. Controlled stock moves only before two people. Source: controlled-drug register
practice (running balance, two signatures), as collected in the label-and-check facts; common practice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from fractions import Fraction

from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


class Move(StrEnum):
    """What can happen to stock."""

    RECEIVED = "received"
    USED = "used"
    WASTED = "wasted"


@dataclass(frozen=True, slots=True)
class Booking:
    """One line of the book: how much moved, which way, before whom, when, and for what.

    ``people`` are person ids, the doer first; ``reference`` names the syringe, delivery or waste it is for.
    """

    move: Move
    amount: Measure
    people: tuple[str, ...]
    at: datetime
    reference: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Balance:
    """The state of one thing's book, in one unit. ``left`` is kept, not derived, so it can be checked."""

    received: Measure
    used: Measure
    wasted: Measure
    left: Measure

    @property
    def adds_up(self) -> bool:
        """Say whether what came in is what was used, wasted and is left, and none is below nothing."""
        out = self.used + self.wasted + self.left
        parts = (self.received, self.used, self.wasted, self.left)
        return self.received == out and all(part.value >= 0 for part in parts)


def empty(unit: str) -> Balance:
    """Return the balance of a thing nothing of which has come in yet, counted in ``unit``."""
    none = Measure(Fraction(0), unit)
    return Balance(none, none, none, none)


def book(balance: Balance, booking: Booking, controlled: bool) -> Balance | Refusal:
    """Return the balance after one booking.

    Refusals: ``volume_not_positive``, ``other_unit_booked``, ``balance_too_low``, ``waste_needs_reason``,
    ``book_needs_two_people``, ``book_needs_a_person``.
    """
    refusal = _people_wanted(booking, controlled) or _amount_wrong(balance, booking)
    if refusal:
        return refusal
    amount = booking.amount.to(balance.left.unit)
    if booking.move is Move.RECEIVED:
        return replace(balance, received=balance.received + amount, left=balance.left + amount)
    if booking.move is Move.USED:
        return replace(balance, used=balance.used + amount, left=balance.left - amount)
    return replace(balance, wasted=balance.wasted + amount, left=balance.left - amount)


def _people_wanted(booking: Booking, controlled: bool) -> Refusal | None:
    """Return a refusal where too few distinct people stand behind a booking."""
    people = {person for person in booking.people if person}
    wanted = 2 if controlled else 1
    if len(people) < wanted:
        return Refusal("book_needs_two_people" if controlled else "book_needs_a_person")
    return None


def _amount_wrong(balance: Balance, booking: Booking) -> Refusal | None:
    """Return a refusal for an amount that cannot be booked here."""
    if booking.amount.value <= 0:
        return Refusal("volume_not_positive", {"volume": booking.amount})
    if not booking.amount.is_like(balance.left):
        return Refusal("other_unit_booked", {"volume": booking.amount, "unit": balance.left.unit})
    if booking.move is Move.WASTED and not booking.reason.strip():
        return Refusal("waste_needs_reason")
    if booking.move is not Move.RECEIVED and booking.amount > balance.left:
        return Refusal("balance_too_low", {"left": balance.left, "volume": booking.amount})
    return None


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a register: the booking and the balance before and after it."""

    before: Measure
    booking: Booking
    after: Measure


def register(bookings: Iterable[Booking], unit: str, controlled: bool) -> tuple[Line, ...] | Refusal:
    """Return the register page of one thing from its bookings in order, or the first that cannot stand."""
    balance, lines = empty(unit), []
    for booking in bookings:
        after = book(balance, booking, controlled)
        if isinstance(after, Refusal):
            return after
        lines.append(Line(balance.left, booking, after.left))
        balance = after
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class Agreed:
    """A count that agrees with the book, before two people where the drug is controlled."""

    counted: Measure
    people: tuple[str, ...]
    at: datetime


@dataclass(frozen=True, slots=True)
class Discrepancy:
    """A count that does not agree: ``off`` is counted less booked, below nothing when some is missing."""

    counted: Measure
    booked: Measure
    off: Measure
    people: tuple[str, ...]
    at: datetime


def count(
    balance: Balance, counted: Measure, people: tuple[str, ...], at: datetime, controlled: bool
) -> Agreed | Discrepancy | Refusal:
    """Compare what was counted with the book. A count changes nothing; a discrepancy is settled by bookings.

    Refusals: ``book_needs_two_people``, ``book_needs_a_person``, ``other_unit_booked``,
    ``count_below_nothing``.
    """
    refusal = _people_wanted(Booking(Move.RECEIVED, counted, people, at), controlled)
    if refusal:
        return refusal
    if not counted.is_like(balance.left):
        return Refusal("other_unit_booked", {"volume": counted, "unit": balance.left.unit})
    if counted.value < 0:
        return Refusal("count_below_nothing", {"volume": counted})
    if counted.same(balance.left):
        return Agreed(counted, people, at)
    off = counted.to(balance.left.unit) - balance.left
    return Discrepancy(counted, balance.left, off, people, at)


def settle(
    balance: Balance, discrepancy: Discrepancy, people: tuple[str, ...], at: datetime, reason: str
) -> Balance | Refusal:
    """Return the balance made to agree with a count, by one booking that says why.

    What was found too much is received; what is missing is wasted as unaccounted for. Two people in any
    case, neither of them from the count. Refusals: ``settling_needs_others``, ``settling_needs_reason``,
    ``count_is_stale`` when the book has moved since, and those of ``book``.
    """
    if set(people) & set(discrepancy.people):
        return Refusal("settling_needs_others")
    if not reason.strip():
        return Refusal("settling_needs_reason")
    if balance.left != discrepancy.booked:
        return Refusal("count_is_stale", {"booked": discrepancy.booked, "left": balance.left})
    move = Move.RECEIVED if discrepancy.off.value > 0 else Move.WASTED
    booking = Booking(move, abs(discrepancy.off), people, at, "count", reason.strip())
    return book(balance, booking, controlled=True)
