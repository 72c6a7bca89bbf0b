"""Reads a whole ward from a folder of lists: people, patients, drugs, products, devices, stock, orders.

Every list is read to its end, so that all its troubles are told at once; a ward with one bad row is not
handed out. Days and moments may be counted from the day the ward is built.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TypeVar

from kiosk.core.catalogue.container import Container, PrefilledBarrel, Product
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.strength import Powder
from kiosk.core.dose.order import Order
from kiosk.core.findings import Refusal
from kiosk.feeds import barrel_rows, device_rows, drug_rows, order_rows, people_rows, stock_rows
from kiosk.feeds.cells import Cells, doubles, each, wrong_columns
from kiosk.feeds.people_rows import Staff
from kiosk.feeds.sheets import open_sheet
from kiosk.feeds.stock_rows import StockLine

T = TypeVar("T")


class BadWard(ValueError):
    """A ward's lists cannot be used; ``troubles`` says so row by row."""

    def __init__(self, troubles: Iterable[Refusal]) -> None:
        self.troubles = tuple(troubles)
        super().__init__("; ".join(told(trouble) for trouble in self.troubles))


@dataclass(frozen=True, slots=True)
class Ward:
    """Everything a counter knows on the morning it is set up; each tuple in the order of its list."""

    staff: tuple[Staff, ...]
    patients: tuple[Patient, ...]
    drugs: tuple[Drug, ...]
    products: tuple[Product, ...]
    stock: tuple[StockLine, ...]
    syringes: tuple[Syringe, ...]
    needles: tuple[InjectionNeedle, ...]
    draw_up_devices: tuple[DrawUpDevice, ...]
    orders: tuple[Order, ...]

    @property
    def containers(self) -> tuple[Container, ...]:
        """The containers in stock, one for each line."""
        return tuple(line.container for line in self.stock)


def told(trouble: Refusal) -> str:
    """Return a trouble as one line for a log: file, line, column, code, cell."""
    where = ":".join(str(trouble.facts[key]) for key in ("file", "line", "column") if key in trouble.facts)
    rest = ", ".join(f"{k}={v}" for k, v in trouble.facts.items() if k not in ("file", "line", "column"))
    return f"{where}: {trouble.code} ({rest})" if rest else f"{where}: {trouble.code}"


class _Folder:
    """Reads the lists of one folder and gathers their troubles."""

    def __init__(self, folder: Path, today: datetime) -> None:
        self.folder = folder
        self.today = today
        self.troubles: list[Refusal] = []

    def read(self, name: str, columns: tuple[str, ...], key: str, row: Callable[[Cells], T]) -> tuple[T, ...]:
        """Return the rows of ``name.csv``; ``key`` names the column that must not repeat, if any."""
        sheet = open_sheet(self.folder / f"{name}.csv")
        if isinstance(sheet, Refusal):
            self.troubles.append(sheet)
            return ()
        if wrong := wrong_columns(sheet, columns):
            self.troubles.extend(wrong)
            return ()
        good, bad = each(sheet, row, self.today)
        self.troubles.extend(bad)
        if key:
            self.troubles.extend(doubles(sheet, sheet.rows, key))
        return tuple(value for _, value in good)


def read_ward(folder: Path, today: datetime) -> Ward:
    """Return the ward in ``folder`` as of ``today`` (aware). Raises ``BadWard`` with every trouble."""
    lists = _Folder(folder, today)
    drugs = _drugs(lists)
    products = _products(lists, drugs)
    by_id = {product.id: product for product in products}
    patients = lists.read("patients", people_rows.PATIENTS, "id", people_rows.read_patient)
    ward = Ward(
        staff=lists.read("staff", people_rows.STAFF, "id", people_rows.read_staff),
        patients=patients,
        drugs=drugs,
        products=products,
        stock=lists.read("stock", stock_rows.STOCK, "id", lambda c: stock_rows.read_stock(c, by_id)),
        syringes=lists.read("syringes", device_rows.SYRINGES, "id", device_rows.read_syringe),
        needles=lists.read("needles", device_rows.NEEDLES, "id", device_rows.read_needle),
        draw_up_devices=lists.read("draw_up_devices", device_rows.DRAW_UP, "id", device_rows.read_draw_up),
        orders=_orders(lists, patients, drugs),
    )
    lists.troubles.extend(_shared(ward))
    if lists.troubles:
        raise BadWard(lists.troubles)
    return ward


def _drugs(lists: _Folder) -> tuple[Drug, ...]:
    """Return the drugs with their limits."""
    drugs = lists.read("drugs", drug_rows.DRUGS, "id", drug_rows.read_drug)
    by_id = {drug.id: drug for drug in drugs}
    limits = lists.read("limits", drug_rows.LIMITS, "", lambda c: drug_rows.read_limit(c, by_id))
    return tuple(drug_rows.with_limits(drug, list(limits)) for drug in drugs)


def _products(lists: _Folder, drugs: tuple[Drug, ...]) -> tuple[Product, ...]:
    """Return the products with the make-up lines of powders and the barrels of prefilled syringes."""
    by_drug = {drug.id: drug for drug in drugs}
    products = lists.read("products", drug_rows.PRODUCTS, "id", lambda c: drug_rows.read_product(c, by_drug))
    by_id = {product.id: product for product in products}
    lines = lists.read("make_ups", drug_rows.MAKE_UPS, "", lambda c: drug_rows.read_make_up(c, by_id))
    made = (drug_rows.with_make_ups(product, list(lines)) for product in products)
    barrels = dict(_barrels(lists, by_id))
    return tuple(barrel_rows.with_barrel(product, barrels) for product in made)


def _barrels(lists: _Folder, products: dict[str, Product]) -> tuple[tuple[str, PrefilledBarrel], ...]:
    """Return the barrels of prefilled syringes; a ward that has none needs no list of them."""
    if not (lists.folder / "prefilled.csv").exists():
        return ()
    read = partial(barrel_rows.read_barrel, products=products)
    return lists.read("prefilled", barrel_rows.PREFILLED, "product", read)


def _orders(lists: _Folder, patients: tuple[Patient, ...], drugs: tuple[Drug, ...]) -> tuple[Order, ...]:
    """Return the orders."""
    people, names = {p.id: p for p in patients}, {d.id: d for d in drugs}
    return lists.read("orders", order_rows.ORDERS, "id", lambda c: order_rows.read_order(c, people, names))


def _shared(ward: Ward) -> Iterable[Refusal]:
    """Yield what no single list can see: a number used twice across lists, a neighbour that is not listed."""
    yield from _twice("gtin", _gtins(ward))
    yield from _twice("badge", [one.badge for one in ward.staff])
    yield from _twice("number", [patient.number for patient in ward.patients])
    drugs = {drug.id for drug in ward.drugs}
    for drug in ward.drugs:
        for other in sorted(drug.looks_like - drugs):
            yield Refusal("cell_names_nothing", {"file": "drugs.csv", "column": "looks_like", "cell": other})
    for trouble in drug_rows.contradictions(ward.drugs):
        yield Refusal(trouble.why.code, {"file": "limits.csv", "column": trouble.column, **trouble.why.facts})
    for product in ward.products:
        if isinstance(product.strength, Powder) and not _can_be_made_up(product):
            yield Refusal("powder_without_make_up", {"file": "make_ups.csv", "cell": product.id})


def _gtins(ward: Ward) -> list[str]:
    """Return every trade item number of the ward."""
    products = [product.gtin for product in ward.products]
    syringes = [syringe.gtin for syringe in ward.syringes]
    needles = [needle.gtin for needle in ward.needles]
    return products + syringes + needles + [device.gtin for device in ward.draw_up_devices]


def _can_be_made_up(product: Product) -> bool:
    """Say whether every route of a powder product has a line of the label that says how to make it up."""
    assert isinstance(product.strength, Powder)
    lines = product.strength.make_ups
    return all(any(not line.routes or route in line.routes for line in lines) for route in product.routes)


def _twice(column: str, values: list[str]) -> Iterable[Refusal]:
    """Yield a refusal for every value that stands more than once."""
    for value in sorted({value for value in values if values.count(value) > 1}):
        yield Refusal("number_twice", {"column": column, "cell": value})
