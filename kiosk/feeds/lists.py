"""Takes lists in and gives them out: products, stock, staff, syringes, needles, draw-up devices.

Nothing is taken in at once. A file is read to its end and compared with what is there; the answer is either
every trouble, row by row, or the values ready to be taken in together with what they would change. Only
``Ready`` holds values, so that a list with one bad row cannot get into the store.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final, Generic, TypeVar

from kiosk.core.catalogue.container import Product
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.catalogue.drug import Drug
from kiosk.core.findings import Refusal
from kiosk.feeds import device_rows, drug_rows, people_rows, stock_rows
from kiosk.feeds.cells import Cells, doubles, each, wrong_columns
from kiosk.feeds.people_rows import Staff
from kiosk.feeds.sheets import open_sheet, write_csv
from kiosk.feeds.stock_rows import StockLine

T = TypeVar("T")
KEY: Final = "id"
# Cells that a list may set but that are never given out, so that they are no difference either.
_SECRET: Final = frozenset({"pin"})


@dataclass(frozen=True, slots=True)
class ListKind(Generic[T]):
    """One kind of list: its columns, how a row is read and written."""

    name: str
    columns: tuple[str, ...]
    read: Callable[[Cells], T]
    write: Callable[[T], dict[str, str]]


class Changed(StrEnum):
    """What taking a row in would do."""

    ADDED = "added"
    CHANGED = "changed"
    SAME = "same"
    MISSING = "missing from the list"


@dataclass(frozen=True, slots=True)
class Change:
    """What taking one row in would change: ``cells`` are column, text before, text after."""

    id: str
    kind: Changed
    cells: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Ready(Generic[T]):
    """A list that can be taken in whole. What is ``missing from the list`` stays as it is."""

    kind: str
    values: tuple[T, ...]
    changes: tuple[Change, ...]

    def how_many(self, kind: Changed) -> int:
        """Return how many rows would be added, changed, stay the same, or are missing from the list."""
        return sum(change.kind is kind for change in self.changes)


@dataclass(frozen=True, slots=True)
class Troubled:
    """A list that cannot be taken in: every trouble, in the order of the rows."""

    kind: str
    troubles: tuple[Refusal, ...]


def products(drugs: Mapping[str, Drug]) -> ListKind[Product]:
    """Return the list of products of these drugs, by drug id."""
    return ListKind(
        "products",
        drug_rows.PRODUCTS,
        lambda cells: drug_rows.read_product(cells, drugs),
        drug_rows.write_product,
    )


def stock(products_by_id: Mapping[str, Product]) -> ListKind[StockLine]:
    """Return the stock list of these products, by product id."""
    return ListKind(
        "stock",
        stock_rows.STOCK,
        lambda cells: stock_rows.read_stock(cells, products_by_id),
        stock_rows.write_stock,
    )


STAFF: Final[ListKind[Staff]] = ListKind(
    "staff", people_rows.STAFF, people_rows.read_staff, people_rows.write_staff
)
SYRINGES: Final[ListKind[Syringe]] = ListKind(
    "syringes", device_rows.SYRINGES, device_rows.read_syringe, device_rows.write_syringe
)
NEEDLES: Final[ListKind[InjectionNeedle]] = ListKind(
    "needles", device_rows.NEEDLES, device_rows.read_needle, device_rows.write_needle
)
DRAW_UP_DEVICES: Final[ListKind[DrawUpDevice]] = ListKind(
    "draw-up devices", device_rows.DRAW_UP, device_rows.read_draw_up, device_rows.write_draw_up
)


def dry_run(kind: ListKind[T], path: Path, present: Iterable[T]) -> Ready[T] | Troubled:
    """Read a CSV or XLSX file as a list of this kind and compare it with what is ``present``.

    Writes nothing. Days and moments must be written out.
    """
    sheet = open_sheet(path)
    if isinstance(sheet, Refusal):
        return Troubled(kind.name, (sheet,))
    if wrong := wrong_columns(sheet, kind.columns):
        return Troubled(kind.name, wrong)
    good, bad = each(sheet, kind.read, None)
    troubles = (*bad, *doubles(sheet, sheet.rows, KEY))
    if troubles:
        return Troubled(kind.name, tuple(sorted(troubles, key=_line)))
    if not good:
        return Troubled(kind.name, (Refusal("list_empty", {"file": sheet.name}),))
    values = tuple(value for _, value in good)
    return Ready(kind.name, values, compare(kind, present, values))


def compare(kind: ListKind[T], present: Iterable[T], values: Sequence[T]) -> tuple[Change, ...]:
    """Return what the list would change, row by row in its order, then what it leaves out, by id."""
    before = {cells[KEY]: cells for cells in map(kind.write, present)}
    after = {cells[KEY]: cells for cells in map(kind.write, values)}
    rows = tuple(_change(name, before.get(name), cells) for name, cells in after.items())
    missing = tuple(Change(name, Changed.MISSING) for name in sorted(before.keys() - after.keys()))
    return rows + missing


def export(kind: ListKind[T], values: Iterable[T]) -> str:
    """Return a list as CSV text that ``dry_run`` takes for no change at all."""
    return write_csv(kind.columns, map(kind.write, values))


def _change(name: str, before: Mapping[str, str] | None, after: Mapping[str, str]) -> Change:
    """Return what taking one row in would do."""
    if before is None:
        return Change(name, Changed.ADDED)
    cells = tuple(
        (column, before[column], text)
        for column, text in after.items()
        if column not in _SECRET and before[column] != text
    )
    return Change(name, Changed.CHANGED if cells else Changed.SAME, cells)


def _line(trouble: Refusal) -> int:
    """Return the line a trouble is about; 0 for the file as a whole."""
    line = trouble.facts.get("line", 0)
    return line if isinstance(line, int) else 0
