"""What a scanned symbol can turn out to be. Parsing is the feeds room's; these are its answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeAlias

from kiosk.core.findings import Refusal


@dataclass(frozen=True, slots=True)
class ProductScan:
    """A trade item: 14-digit GTIN and whatever else its symbol carried; absent fields are empty.

    ``flags`` are finding ids, of what deserves a look; ``more`` the other identifiers with their values.
    """

    gtin: str
    lot: str = ""
    expiry: date | None = None
    serial: str = ""
    flags: tuple[str, ...] = ()
    more: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class BadgeScan:
    """A staff badge."""

    badge: str


@dataclass(frozen=True, slots=True)
class SyringeScan:
    """The kiosk's own label on a syringe."""

    code: str


@dataclass(frozen=True, slots=True)
class InUseScan:
    """The kiosk's own label on an opened vial."""

    container: str


@dataclass(frozen=True, slots=True)
class SealScan:
    """The slip of a seal: its whole line of text."""

    text: str


@dataclass(frozen=True, slots=True)
class OrderScan:
    """An order slip."""

    order: str


@dataclass(frozen=True, slots=True)
class RepeatedScan:
    """The scan before once more, within the time one trigger takes: it counts for nothing."""


Scan: TypeAlias = ProductScan | BadgeScan | SyringeScan | InUseScan | OrderScan | SealScan | RepeatedScan
ReadScan: TypeAlias = Callable[[str, datetime], Scan | Refusal]
