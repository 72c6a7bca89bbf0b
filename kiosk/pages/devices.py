"""The devices of the counter as its screen knows them: a scanner that goes and comes back while work goes on.

Nothing stops for it: what is to be scanned can be chosen by hand. It is said once, stands in the foot as
long as it is so, and is put on record; while the record cannot be written that is tried again and again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.preparation.device_events import ScannerBack, ScannerGone
from kiosk.flow.ports import RecordTrouble
from kiosk.pages.patience import failed, may_try

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def scanner(driver: Driver, there: bool) -> None:
    """The scanner came or went."""
    if driver.scanner_there is there:
        return
    driver.scanner_there = there
    driver.untold.append(ScannerBack() if there else ScannerGone())
    driver.sitting.heard = driver.words.say("heard.scanner_back" if there else "heard.scanner_gone")
    driver.sitting.sound = "accepted" if there else "refused"
    tell(driver)


def tell(driver: Driver) -> None:
    """Record what of the devices is still to be recorded, in its order."""
    while driver.untold and may_try(driver):
        try:
            driver.desk.note(driver.untold[0])
        except RecordTrouble:
            failed(driver)
            return
        driver.untold.pop(0)


def said(driver: Driver) -> tuple[str, ...]:
    """Return the state of scanner and label printer in words."""
    ready = driver.printer.ready()
    return (
        driver.words.say("foot.scanner_ready" if driver.scanner_there else "foot.scanner_gone"),
        driver.words.say("foot.printer_ready" if ready else "foot.printer_not_ready"),
    )
