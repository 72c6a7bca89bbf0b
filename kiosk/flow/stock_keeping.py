"""What the stock room's pages ask of the store behind them. Values that pass between, and one Protocol.

Every act is on record before it counts, a refused one too. ``by`` is who acts and ``witness`` who saw it, by
person id; both have proved with badge and PIN who they are. Any of them may raise ``RecordTrouble``; then
nothing was written.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple, Protocol

from kiosk.core.catalogue.container import Product
from kiosk.core.findings import Refusal
from kiosk.core.preparation.stock_events import ControlledCounted
from kiosk.core.stock.holding import Holding, Sheet
from kiosk.core.stock.recall import Use
from kiosk.core.stock.waste import Wasted
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Delivered:
    """So many alike containers that came in. Without a ``drawer`` they go where the product usually is."""

    product: Product
    lot: str
    expiry: date | None
    serial: str = ""
    count: int = 1
    drawer: str = ""


@dataclass(frozen=True, slots=True)
class RegisterLine:
    """One line of the register: what moved, before whom, and the balance after it, in the sheet's unit.

    ``came`` and the rest are None where nothing moved that way. ``preparation`` is the syringe it was for,
    ``code`` its label and ``patient`` the name of whom it was for; all empty where it was for none.
    """

    number: int
    entry: int
    at: datetime
    move: str
    product: str
    lot: str
    came: Measure | None
    used: Measure | None
    wasted: Measure | None
    sent: Measure | None
    balance: Measure
    person: str
    other: str
    preparation: str = ""
    reason: str = ""
    code: str = ""
    patient: str = ""


@dataclass(frozen=True, slots=True)
class LastCount:
    """When a controlled product was counted, and what that count said."""

    entry: int
    at: datetime
    said: ControlledCounted


@dataclass(frozen=True, slots=True)
class Controlled:
    """A controlled product: its sheet with the balance, and its last count if it was ever counted."""

    product: Product
    sheet: Sheet
    balance: Measure
    last: LastCount | None


@dataclass(frozen=True, slots=True)
class Whose:
    """A patient whom a lot has reached; name and number read ``erased`` once they are."""

    ref: str
    name: str
    number: str


@dataclass(frozen=True, slots=True)
class Reach:
    """What a lot of a product has touched: stock here, syringes under way and finished, patients.

    ``patients`` are those for whom a syringe was finished; ``codes`` are the labels of the syringes by id.
    """

    product: str
    lot: str
    sealed: tuple[Holding, ...]
    opened: tuple[Holding, ...]
    unfinished: tuple[Use, ...]
    finished: tuple[Use, ...]
    patients: tuple[Whose, ...]
    codes: Mapping[str, str]


class Match(NamedTuple):
    """A product found by what was typed: its id and the name on its label."""

    product: str
    name: str


@dataclass(frozen=True, slots=True)
class ProductsFound:
    """What fits, and, where next to nothing does, what would fit but for one slip of the finger."""

    matches: tuple[Match, ...]
    meant: tuple[Match, ...] = ()


class StockRoom(Protocol):
    """The drawers of a counter, the book of what moved, the register of controlled drugs."""

    def holdings(self, product: str = "") -> Sequence[Holding]:
        """Return what stands in the drawers, of one product or of all, by drug and then earliest expiry."""
        ...

    def holding(self, container: str) -> Holding | None:
        """Return one row by its key, used up or not."""
        ...

    def product(self, product_id: str) -> Product | None:
        """Return a product by its id."""
        ...

    def product_of_gtin(self, gtin: str) -> Product | None:
        """Return the product with this trade item number."""
        ...

    def receive(
        self, by: str, witness: str, lines: Sequence[Delivered], now: datetime
    ) -> tuple[Holding, ...] | Refusal:
        """Take a delivery in, all of it or none; return its rows as they then stand."""
        ...

    def correct(
        self, by: str, witness: str, container: str, counted: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Make a row say what was counted."""
        ...

    def move(self, by: str, container: str, count: int, drawer: str, now: datetime) -> Holding | Refusal:
        """Move some or all of a row to another drawer; return the row that is there now."""
        ...

    def send_back(
        self, by: str, witness: str, container: str, count: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Send sealed containers back to whoever sent them."""
        ...

    def waste(
        self, by: str, witness: str, container: str, count: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Throw away sealed containers or what is left in an opened one."""
        ...

    def set_aside(self, by: str, container: str, reason: str, now: datetime) -> Holding | Refusal:
        """Put a row in quarantine."""
        ...

    def release(self, by: str, container: str, reason: str, now: datetime) -> Holding | Refusal:
        """Let a row out of quarantine."""
        ...

    def controlled(self) -> Sequence[Controlled]:
        """Return the controlled products that were ever booked, by name."""
        ...

    def register(self, sheet: str) -> Sequence[RegisterLine]:
        """Return the lines of one sheet of the register, oldest first."""
        ...

    def counts(self, sheet: str) -> Sequence[LastCount]:
        """Return every count of the products of one sheet, oldest first."""
        ...

    def count_controlled(
        self, by: str, witness: str, product: str, sealed: int, opened: int, now: datetime
    ) -> ControlledCounted | Refusal:
        """Put on record what two people counted of a controlled product."""
        ...

    def settle(
        self, by: str, witness: str, container: str, off: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Make one row agree with the last count of its product, which did not."""
        ...

    def wasted(self, year: int, month: int, now: datetime) -> Sequence[Wasted]:
        """Return what was thrown away in one month by the clock's own zone, oldest first."""
        ...

    def products_of_lot(self, lot: str) -> Sequence[Product]:
        """Return the products that ever stood here under this lot number."""
        ...

    def reach(self, product: str, lot: str) -> Reach:
        """Return everything that a lot of a product has touched."""
        ...

    def recall_lot(self, by: str, product: str, lot: str, reason: str, now: datetime) -> Reach | Refusal:
        """Set a lot aside for good and return what it has touched."""
        ...

    def ready_to_find(self) -> int:
        """Make ready to find products by typing; return how many there are. Slow for a long list."""
        ...

    def find(self, typed: str) -> ProductsFound:
        """Return the products that fit what was typed, at most twenty."""
        ...

    def mistaken_for(self, product: Product) -> Sequence[str]:
        """Return the names of drugs in these drawers that are easily mistaken for this product's."""
        ...
