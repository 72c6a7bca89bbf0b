"""What is on the counter and in its drawers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TypeVar

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.findings import Refusal
from kiosk.core.stock.agreement import disagreement
from kiosk.core.stock.expiry import is_empty
from kiosk.flow.scans import InUseScan, ProductScan
from kiosk.store import codec, prepared
from kiosk.store.connection import Database
from kiosk.store.stock import container_of, product_of

DeviceT = TypeVar("DeviceT", Syringe, DrawUpDevice, InjectionNeedle)


class Shelf:
    """Reads the lists of containers and devices."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def container_by_scan(self, scan: ProductScan | InUseScan, now: datetime) -> Container | Refusal:
        """Return the container a scanned symbol belongs to, or why none can be named.

        A product unknown to the list is ``unknown_product``; a lot never received ``unknown_lot``; a
        symbol without a lot, where several lots are in stock, ``lot_wanted``; an expiry that is not the
        one received under that lot ``scan_expiry_differs``.
        """
        if isinstance(scan, InUseScan):
            row = self._database.row(prepared.CONTAINER, {"id": scan.container})
            return container_of(row) if row else Refusal("unknown_container", {"code": scan.container})
        product = self._database.row(prepared.PRODUCT_OF_GTIN, {"gtin": scan.gtin})
        if product is None:
            return Refusal("unknown_product", {"code": scan.gtin})
        rows = self._database.rows(prepared.CONTAINERS_OF_PRODUCT, {"product": product["id"]})
        found = _meant([container_of(row) for row in rows], scan, product_of(product["body"]).label_name)
        if isinstance(found, Refusal):
            return found
        return disagreement(found, scan.lot, scan.expiry, "") or found

    def containers_of(self, drug_id: str, now: datetime) -> Sequence[Container]:
        """Return usable and unusable containers of one drug, earliest expiry first."""
        return [
            container_of(row) for row in self._database.rows(prepared.CONTAINERS_OF_DRUG, {"drug": drug_id})
        ]

    def syringes(self) -> Sequence[Syringe]:
        """Return the kinds of syringe in stock."""
        return self._devices(Syringe)

    def draw_up_devices(self) -> Sequence[DrawUpDevice]:
        """Return the kinds of draw-up device in stock."""
        return self._devices(DrawUpDevice)

    def needles(self) -> Sequence[InjectionNeedle]:
        """Return the kinds of injection needle in stock."""
        return self._devices(InjectionNeedle)

    def _devices(self, kind: type[DeviceT]) -> Sequence[DeviceT]:
        """Return the devices of one kind."""
        rows = self._database.rows(prepared.DEVICES_OF, {"kind": kind.__name__})
        return [codec.read(kind, codec.from_text(row["body"])) for row in rows]


def _meant(held: Sequence[Container], scan: ProductScan, name: str) -> Container | Refusal:
    """Return which of the containers of one product a symbol means."""
    of_lot = [c for c in held if scan.lot in ("", c.lot)]
    if not of_lot:
        return Refusal("unknown_lot", {"container": name, "lot": scan.lot})
    own = [c for c in of_lot if scan.serial and c.serial == scan.serial]
    if own:
        return own[0]
    if len({c.lot for c in of_lot}) > 1:
        return Refusal("lot_wanted", {"container": name})
    if scan.serial and all(c.serial for c in of_lot):
        return Refusal("unknown_serial", {"container": name, "serial": scan.serial})
    return next((c for c in of_lot if not is_empty(c)), of_lot[0])
