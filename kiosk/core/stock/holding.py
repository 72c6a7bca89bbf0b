"""A row of stock as it stands: one container or so many alike ones, what they hold, what is in hand."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.dose.strengths import strength_per_ml
from kiosk.core.findings import Refusal
from kiosk.core.stock.expiry import is_opened
from kiosk.core.units import Measure, same_kind

WHOLE = "1"
MILLILITRES = "mL"


@dataclass(frozen=True, slots=True)
class Holding:
    """A row of stock. ``held`` is how many there are, None where nobody counted; an opened one is one.

    ``in_hand`` are those of them that open syringes are drawing from and may still put back.
    """

    container: Container
    held: int | None
    in_hand: int = 0

    @property
    def opened(self) -> bool:
        """Say whether this is an opened container, which stands alone."""
        return is_opened(self.container)

    @property
    def free(self) -> int:
        """Return how many stand in the drawer, whole or opened, with nobody drawing from them."""
        return 0 if self.container.used_up else max(0, (self.held or 0) - self.in_hand)

    def amount(self, count: int) -> Measure:
        """Return what ``count`` of them hold: in mL, or in containers where the fill is not known."""
        if self.opened and self.container.left is not None:
            return self.container.left.to(MILLILITRES)
        return amount_of(self.container.product, count)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of the register of controlled drugs: a drug in one strength, and the unit it counts in.

    ``id`` is the drug and its strength per mL, or the amount of a dry one; two makers of the same share it.
    """

    id: str
    drug: str
    unit: str


def unit_of(product: Product) -> str:
    """Return what a product is counted in: ``mL``, or ``1`` (containers) where its fill is not known."""
    return WHOLE if product.contents is None else MILLILITRES


def amount_of(product: Product, count: int) -> Measure:
    """Return what ``count`` sealed containers of a product hold, in its unit."""
    if product.contents is None:
        return Measure.of(count, WHOLE)
    return product.contents.to(MILLILITRES).scaled(count)


def sheet_of(product: Product) -> Sheet | None:
    """Return the register's sheet of a product; None for a drug that is not controlled."""
    drug = product.drug
    if not drug.controlled:
        return None
    per_ml = strength_per_ml(product.strength)
    if isinstance(per_ml, Refusal):
        return Sheet(f"{drug.id}, {product.id}", drug.id, unit_of(product))
    unit = f"{drug.measured_in}/mL"
    shown = per_ml.to(unit) if same_kind(per_ml.unit, unit) else per_ml
    each = "" if product.contents is not None else ", by container"
    return Sheet(f"{drug.id} {shown.decimal:f} {shown.unit}{each}", drug.id, unit_of(product))
