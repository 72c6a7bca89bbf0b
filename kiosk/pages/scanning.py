"""Where a scan that is not a badge belongs: an order, a container, the pack of a device, a label."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.state import Stage
from kiosk.core.preparation.two_people import NEEDLE
from kiosk.flow.scans import InUseScan, OrderScan, ProductScan, Scan, SyringeScan
from kiosk.pages import blind_acts
from kiosk.pages.after import do, me
from kiosk.pages.bench import open_order
from kiosk.pages.hold_up import hold_up

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def scan(driver: Driver, found: Scan) -> None:
    """Take a scan that is not a badge to where it belongs."""
    here = driver.here()
    match found:
        case OrderScan(order) if driver.sitting.person is not None and here is None:
            open_order(driver, order)
        case SyringeScan(code) if here is Stage.SCAN_BACK:
            do(driver, a.ScanBack(me(driver), code))
        case ProductScan(gtin) if here in DEVICE_STAGES:
            _scan_device(driver, gtin)
        case ProductScan() | InUseScan() if here in (Stage.STOCK, Stage.VERIFY, Stage.CHECK):
            _scan_container(driver, found)
        case _:
            driver.refuse(Refusal("scan_not_wanted_here"))


DEVICE_STAGES: dict[Stage, Callable[[str, str], a.Action]] = {
    Stage.SYRINGE: a.TakeSyringe,
    Stage.DRAW_UP_DEVICE: a.TakeDrawUpDevice,
    Stage.NEEDLE: a.TakeNeedle,
}


def _scan_device(driver: Driver, gtin: str) -> None:
    """Take the device whose pack was scanned; whether it suits is for the rules to say."""
    rules = driver.desk.rules
    kept: tuple[Syringe | DrawUpDevice | InjectionNeedle, ...] = (
        *rules.syringes,
        *rules.draw_up_devices,
        *rules.needles,
    )
    found = next((device.id for device in kept if device.gtin == gtin), None)
    here = driver.here()
    if found is None or here is None:
        driver.refuse(Refusal("pack_not_of_this_counter", {"gtin": gtin}))
    else:
        do(driver, DEVICE_STAGES[here](me(driver), found))


def _scan_container(driver: Driver, found: ProductScan | InUseScan) -> None:
    asked = blind_acts.sheet(driver) if driver.here() is Stage.CHECK else None
    if asked is not None and asked.matter == NEEDLE and isinstance(found, ProductScan):
        blind_acts.needle_pack(driver, found.gtin)
        return
    container = driver.shelf.container_by_scan(found, driver.desk.now())
    if isinstance(container, Refusal):
        driver.refuse(_doubt(found) or container)
    elif driver.here() is Stage.CHECK:
        blind_acts.container(driver, container)
    else:
        hold_up(driver, container, "scan")


def _doubt(found: ProductScan | InUseScan) -> Refusal | None:
    """Return why a symbol that named nothing may itself be at fault, where its reading left a doubt."""
    flags = found.flags if isinstance(found, ProductScan) else ()
    return next((Refusal(flag) for flag in flags if flag.startswith("scan_separator")), None)
