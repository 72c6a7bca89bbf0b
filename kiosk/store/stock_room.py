"""The stock room of a counter, whole: drawers, register, recalls, and finding a product by typing."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk.core.catalogue.container import Product
from kiosk.core.stock.near_names import mistaken_for
from kiosk.flow.stock_keeping import ProductsFound
from kiosk.store import prepared
from kiosk.store.connection import Database
from kiosk.store.ledger import Ledger
from kiosk.store.people import People
from kiosk.store.product_search import ProductSearch
from kiosk.store.recall import Recalls
from kiosk.store.stock import product_of


class StockRoom(Recalls):
    """Meets ``kiosk.flow.stock_keeping.StockRoom``."""

    def __init__(self, database: Database, ledger: Ledger, people: People) -> None:
        super().__init__(database, ledger, people)
        self._search = ProductSearch(database)

    def ready_to_find(self) -> int:
        """Make ready to find products by typing; return how many there are."""
        return self._search.make_ready()

    def find(self, typed: str) -> ProductsFound:
        """Return the products that fit what was typed, at most twenty."""
        return self._search.find(typed)

    def mistaken_for(self, product: Product) -> Sequence[str]:
        """Return the names of drugs in these drawers that are easily mistaken for this product's."""
        rows = self._database.rows(prepared.DRUGS_HERE)
        return mistaken_for(product.drug, [product_of(row["body"]).drug for row in rows])
