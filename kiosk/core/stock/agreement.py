"""Does a symbol say the same as what was received? The one guard against a date misread in the symbol.

No check digit covers the expiry in a GS1 symbol: a wrong but possible date reads as well as a right one.
What was received under a lot is on record, so the symbol is compared with that.
"""

from __future__ import annotations

from datetime import date

from kiosk.core.catalogue.container import Container
from kiosk.core.findings import Refusal


def disagreement(container: Container, lot: str, expiry: date | None, serial: str) -> Refusal | None:
    """Return where a symbol and the record of this container differ; what the symbol leaves out agrees."""
    name = container.product.label_name
    if lot and lot != container.lot:
        return Refusal("unknown_lot", {"container": name, "lot": lot})
    if expiry is not None and expiry != container.expiry:
        return Refusal(
            "scan_expiry_differs",
            {"container": name, "lot": container.lot, "scanned": expiry, "received": container.expiry},
        )
    if serial and container.serial and serial != container.serial:
        return Refusal("unknown_serial", {"container": name, "serial": serial})
    return None
