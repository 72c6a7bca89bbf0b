"""What happens to stock beside the syringes: it comes, moves, is counted, set aside, goes. A closed set.

Like the other events they stand in the one ledger and stay readable for ever. Each names who did it and,
where the drug is controlled, who saw it (``witness``). ``container`` is the counter's own key of a row of
stock: one container, or so many alike ones of a lot.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from kiosk.core.catalogue.container import Container
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class StockReceived:
    """So many alike containers came in; ``count`` None where nobody counted. The row is kept whole."""

    by: str
    container: Container
    count: int | None
    witness: str = ""
    read_by: str = "scan"


@dataclass(frozen=True, slots=True)
class StockRelisted:
    """A list says other of a known row than before, its expiry say; how many there are it leaves alone."""

    by: str
    container: Container


@dataclass(frozen=True, slots=True)
class StockCounted:
    """A row was counted and did not agree with the book; the book now says what was counted, and why."""

    by: str
    container: str
    booked: int
    counted: int
    reason: str
    witness: str = ""


@dataclass(frozen=True, slots=True)
class StockMoved:
    """Some or all of a row moved to another drawer; some of it makes a row of its own, ``own``."""

    by: str
    container: str
    was: str
    drawer: str
    count: int
    own: str = ""


@dataclass(frozen=True, slots=True)
class StockSentBack:
    """So many sealed containers left the counter, back to whoever sent them."""

    by: str
    container: str
    count: int
    reason: str
    witness: str = ""


@dataclass(frozen=True, slots=True)
class StockSetAside:
    """A row is in quarantine: none of it may be used until it is released."""

    by: str
    container: str
    reason: str


@dataclass(frozen=True, slots=True)
class StockReleased:
    """A row is out of quarantine."""

    by: str
    container: str
    reason: str


@dataclass(frozen=True, slots=True)
class StockWasted:
    """Sealed containers, or what was left in an opened one, were thrown away.

    ``amount`` is in mL, or a number of containers (unit 1) where the fill is not known; ``count`` is how
    many sealed containers that was, 0 for an opened one.
    """

    by: str
    container: str
    amount: Measure
    count: int
    reason: str
    witness: str = ""


@dataclass(frozen=True, slots=True)
class ControlledCounted:
    """Two people counted a controlled product at hand-over: sealed and opened containers.

    ``sealed_booked`` and ``opened_booked`` are what should be there, without what is in hand for a syringe.
    """

    by: str
    witness: str
    product: str
    sealed: int
    opened: int
    sealed_booked: int
    opened_booked: int

    @property
    def agrees(self) -> bool:
        """Say whether what was counted is what is booked."""
        return (self.sealed, self.opened) == (self.sealed_booked, self.opened_booked)


@dataclass(frozen=True, slots=True)
class DiscrepancySettled:
    """Two other people settled a count that did not agree: one row of the product was made to agree.

    ``count`` is the entry of the count that is settled; ``off`` how many sealed containers more (or, below
    nothing, fewer) there are than were booked. ``amount`` is that in mL, or in containers (unit 1), with
    its sign.
    """

    by: str
    witness: str
    product: str
    count: int
    container: str
    off: int
    amount: Measure
    reason: str


@dataclass(frozen=True, slots=True)
class StockRefused:
    """The kiosk refused something about stock: which act, why. Refusals are part of the record."""

    by: str
    act: str
    code: str
    facts: tuple[tuple[str, str], ...] = ()


StockEvent: TypeAlias = (
    StockReceived
    | StockRelisted
    | StockCounted
    | StockMoved
    | StockSentBack
    | StockSetAside
    | StockReleased
    | StockWasted
    | ControlledCounted
    | DiscrepancySettled
    | StockRefused
)
