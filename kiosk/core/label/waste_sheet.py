"""What the month's report of waste says: bars to look at, then tables. Words and figures, no layout."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.label.table_sheet import TableSheet


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: its name, how long it is, and what stands at its end."""

    name: str
    length: Decimal
    shown: str


@dataclass(frozen=True, slots=True)
class Bars:
    """A chart of bars under a heading; with none, ``empty`` stands in its place."""

    heading: str
    bars: tuple[Bar, ...]
    empty: str


@dataclass(frozen=True, slots=True)
class WasteSheet:
    """A month's report: three charts and the tables behind them. ``sums`` are its totals, name and figure."""

    title: str
    subtitle: str
    sums: tuple[tuple[str, str], ...]
    by_reason: Bars
    by_product: Bars
    by_day: Bars
    tables: tuple[TableSheet, ...]
    foot: str
    training: str = ""
