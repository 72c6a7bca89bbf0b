"""A counter on a disk that becomes full: what its screen says, and how work goes on with room made."""

from __future__ import annotations

import errno
from pathlib import Path

from kiosk.core.preparation import events as e
from kiosk.hardware.clock import SetClock
from kiosk.walkthrough.journeys import take_up, type_figure
from tests.counter import NOW
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import PREPARER, sign_on


def fill(folder: Path) -> Path:
    """Fill the disk to its last byte."""
    ballast = folder / "ballast"
    with ballast.open("wb", buffering=0) as handle:
        for size in (65536, 4096, 1):
            try:
                while True:
                    handle.write(bytes(size))
            except OSError as trouble:
                if trouble.errno != errno.ENOSPC:
                    raise
    return ballast


def in_the_middle(folder: Path) -> str:
    """Begin a syringe with room, fill the disk, commit a figure, make room; return what was seen."""
    cast, clock, home = the_cast(), SetClock(NOW), fresh(folder)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    sign_on(hand, PREPARER)
    take_up(hand, cast.given["insulin_order"])
    hand.press("take-up")
    hand.scan(cast.code["insulin"])
    said = [hand.page().id]
    ballast = fill(folder)
    for _ in range(3000):  # the reserve takes some more; every committed figure is answered or refused
        type_figure(hand, "99")
        hand.press("commit")
        said.append(hand.page().id)
        if said[-1] == "trouble":
            break
        hand.press("go-on")
    help = hand.page().help
    held = len(store.ledger.events(driver.sitting.preparation))
    ballast.unlink()
    hand.press("retry")
    said = list(dict.fromkeys((*said, hand.page().id)))
    after = store.ledger.events(driver.sitting.preparation)
    assert len(after) == held + 1
    assert isinstance(after[-1].event, e.VolumeCommitted)
    store.close()
    return f"{' > '.join(said)}, {held} entries kept and the last one after them; the screen said: {help}"
