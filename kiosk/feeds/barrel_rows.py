"""Rows of the list of prefilled syringes: what each is as a syringe. A product without a row has no lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from kiosk.core.catalogue.container import Form, PrefilledBarrel, Product
from kiosk.core.catalogue.devices import InjectionNeedle, Tip
from kiosk.feeds.cells import Cells, source

PREFILLED: Final = (
    "product",
    "tip",
    "graduation",
    "numbered_every",
    "bore",
    "fixed_gauge",
    "fixed_length",
    "source",
    "known",
)


def read_barrel(cells: Cells, products: Mapping[str, Product]) -> tuple[str, PrefilledBarrel]:
    """Return a prefilled product's id and its barrel, whose lines divide what it holds."""
    product = cells.known("product", products)
    if product.form is not Form.PREFILLED or product.contents is None:
        cells.bad("product", "cell_not_prefilled")
    source(cells)
    graduation = cells.if_any("graduation", lambda column: cells.measure(column, "mL"))
    numbered = cells.if_any("numbered_every", lambda column: cells.measure(column, "mL"))
    if graduation is not None and product.contents.ratio(graduation).denominator != 1:
        cells.bad("graduation", "cell_not_a_scale")
    if numbered is not None and (graduation is None or numbered.ratio(graduation).denominator != 1):
        cells.bad("numbered_every", "cell_not_a_scale")
    barrel = PrefilledBarrel(
        tip=cells.choice("tip", Tip),
        graduation=graduation,
        numbered_every=numbered,
        bore=cells.if_any("bore", lambda column: cells.measure(column, "mm")),
        needle=_fixed(cells),
    )
    return product.id, barrel


def _fixed(cells: Cells) -> InjectionNeedle | None:
    """Return the needle that cannot be taken off; it must be there exactly on a fixed-needle barrel."""
    wanted = cells.choice("tip", Tip) is Tip.FIXED
    if bool(cells.maybe("fixed_gauge")) is not wanted:
        cells.bad("fixed_gauge", "cell_not_of_the_tip")
    if not wanted:
        return None
    name = f"{cells.text('product')}-needle"
    return InjectionNeedle(name, cells.whole("fixed_gauge"), cells.measure("fixed_length", "mm"))


def with_barrel(product: Product, barrels: Mapping[str, PrefilledBarrel]) -> Product:
    """Return a prefilled product with its barrel; any other product as it is."""
    return replace(product, barrel=barrels.get(product.id))
