"""A recall: what a lot has touched, read from the one index that holds it all, and setting the lot aside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from kiosk.core.catalogue.container import Product
from kiosk.core.findings import Refusal
from kiosk.core.preparation.house_events import LotRecalled
from kiosk.core.preparation.stock_keeping import KEEPERS, may
from kiosk.core.stock.recall import Recall, Use, touched
from kiosk.flow.stock_keeping import Reach, Whose
from kiosk.store import prepared
from kiosk.store.codec import moment
from kiosk.store.connection import Row
from kiosk.store.identities import ERASED
from kiosk.store.register import Registers
from kiosk.store.stock import holding_of, product_of
from kiosk.store.stock_office import refusal_noted


class Recalls(Registers):
    """Drawers, register and recalls of one counter."""

    def uses_of_lot(self, product: str, lot: str) -> Sequence[Row]:
        """Return every taking of a product's lot, oldest first: when, for which syringe and patient."""
        return self._database.rows(prepared.USES_OF_LOT, {"product": product, "lot": lot})

    def products_of_lot(self, lot: str) -> Sequence[Product]:
        """Return the products that ever stood here under this lot number: two makers may use the same."""
        rows = self._database.rows(prepared.PRODUCTS_OF_LOT, {"lot": lot})
        return [product_of(row["body"]) for row in rows]

    def reach(self, product: str, lot: str) -> Reach:
        """Return everything that a lot of a product has touched."""
        rows = self._database.rows(prepared.CONTAINERS_OF_LOT, {"lot": lot})
        held = [one for one in map(holding_of, rows) if one.container.product.id == product]
        uses = self.uses_of_lot(product, lot)
        ends = {row["id"]: row for row in self._database.rows(prepared.ENDS_OF_LOT, {"lot": lot})}
        recalled = Recall(product, frozenset({lot}), datetime.max, "", "")  # noqa: DTZ901 nothing is compared
        found = touched(recalled, (), [_use(row, product, lot, ends[row["preparation"]]) for row in uses])
        there = [one for one in held if not one.container.used_up]
        return Reach(
            product=product,
            lot=lot,
            sealed=tuple(one for one in there if not one.opened),
            opened=tuple(one for one in there if one.opened),
            unfinished=found.unfinished,
            finished=found.finished,
            patients=tuple(self._whose(ref) for ref in found.patients),
            codes={name: row["code"] for name, row in ends.items()},
        )

    def recall_lot(self, by: str, product: str, lot: str, reason: str, now: datetime) -> Reach | Refusal:
        """Set a lot aside for good and return what it has touched."""
        refusal = may(by, KEEPERS, self.staff()) or _wrongly_asked(lot, reason)
        if refusal is not None:
            self._ledger.note([refusal_noted(by, "recall", refusal)], now)
            return refusal
        self._ledger.note([LotRecalled(by, lot, reason.strip(), product)], now)
        return self.reach(product, lot)

    def _whose(self, ref: str) -> Whose:
        """Return the patient of a reference, or that they are erased."""
        row = self._database.row(prepared.SEEN_BY_REF, {"ref": ref})
        if row is None or row["erased_at"] is not None:
            return Whose(ref, ERASED, ERASED)
        return Whose(ref, row["name"], row["number"])


def _wrongly_asked(lot: str, reason: str) -> Refusal | None:
    """Return a refusal for a recall of nothing or for nothing."""
    if not lot.strip():
        return Refusal("recall_without_lot")
    return None if reason.strip() else Refusal("stock_needs_reason")


def _use(row: Row, product: str, lot: str, end: Row) -> Use:
    """Return one taking, with how its syringe ended. The product stands where the core reads the number."""
    return Use(
        preparation=row["preparation"],
        patient=row["patient"],
        container=row["container"],
        gtin=product,
        lot=lot,
        at=moment(row["at"]),
        outcome=end["outcome"] or "",
    )
