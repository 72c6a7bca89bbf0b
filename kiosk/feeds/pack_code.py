"""Writes what the symbol on a pack says, as a scanner sends it: for the demo, for training and for tests."""

from __future__ import annotations

from datetime import date
from typing import Final

from kiosk.core.catalogue.container import Container

GS: Final = "\x1d"
DATA_MATRIX: Final = "]d2"


def pack_code(gtin: str, expiry: date, lot: str, serial: str = "", aim: str = DATA_MATRIX) -> str:
    """Return the element string of a pack: product, expiry, lot, and the serial number where there is one."""
    tail = f"{GS}21{serial}" if serial else ""
    return f"{aim}01{gtin}17{expiry:%y%m%d}10{lot}{tail}"


def code_of(container: Container) -> str:
    """Return the element string of a container's pack."""
    return pack_code(container.product.gtin, container.expiry, container.lot, container.serial)
