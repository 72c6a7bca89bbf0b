"""What a key or a scan amounts to while a check is open: the statements of the person whose turn it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.catalogue.container import Container
from kiosk.core.findings import Refusal
from kiosk.core.notation import read_figure
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.check_sheet import CheckSheet, check_sheet
from kiosk.core.preparation.prefilled import CONTENTS, WHOLE
from kiosk.core.preparation.two_people import (
    CONTAINER,
    FIGURE,
    NEEDLE,
    PLUNGER,
    container_value,
    measure_value,
    needle_value,
)
from kiosk.core.units import Measure
from kiosk.pages import idle, reading, signing
from kiosk.pages.after import do, me
from kiosk.pages.checking import seconds_taken

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


SHOWN = {"by-hand": "check-by-hand", "by-number": "by-number", "by-scale": "by-scale", "back": ""}
"""What a key of a blind page puts on show."""


def sheet(driver: Driver) -> CheckSheet | None:
    """Return the sheet of whose turn it is, when that very person stands at the screen."""
    state, guest = driver.state(), driver.sitting.guest
    assert state is not None
    made = check_sheet(state, driver.desk.rules)
    return made if guest is not None and guest.id == made.person else None


def press(driver: Driver, verb: str, what: str) -> None:
    """Take a key of a blind page."""
    sitting, now_asked = driver.sitting, sheet(driver)
    if sitting.showing == "compare" and verb == "go-on":
        sitting.showing = ""
    elif verb == "begin-self-check":
        do(driver, a.BeginSelfCheck(me(driver)))
    elif verb == "leave-check":
        _leave(driver)
    elif now_asked is None:
        return
    elif verb == "commit":
        _commit(driver, now_asked)
    elif verb == "choose":
        _choose(driver, now_asked, what)
    elif verb == "plunger":
        at = sitting.plunger or Measure.of(0, now_asked.syringe.nominal.unit)
        sitting.plunger = reading.moved(now_asked.syringe, at, int(what))
    elif verb in SHOWN:
        sitting.showing = SHOWN[verb]


def _leave(driver: Driver) -> None:
    """The person whose turn it is goes: what they had not yet committed goes with them."""
    guest = driver.sitting.guest
    signing.fresh_eyes(driver.sitting)
    if guest is not None:
        idle.sign_off(driver, guest, "asked")


def _commit(driver: Driver, asked: CheckSheet) -> None:
    """Commit the figure or the plunger."""
    sitting = driver.sitting
    by_pad = asked.matter == FIGURE or sitting.showing == "by-number"
    unit = asked.syringe.nominal.unit
    if asked.matter == FIGURE:
        unit = "units" if asked.order.drug.is_insulin else "mL"
    figure = read_figure(sitting.typed, unit) if by_pad else sitting.plunger
    if isinstance(figure, Refusal):
        driver.refuse(figure)
    elif figure is not None and asked.matter in (FIGURE, PLUNGER):
        say(driver, asked.matter, measure_value(figure))


def _choose(driver: Driver, asked: CheckSheet, what: str) -> None:
    """Commit the needle read off the pack, a container picked by hand, what a prefilled syringe holds."""
    if asked.matter == NEEDLE:
        needle = next((n for n in asked.needles if n.id == what), None)
        if not what:
            say(driver, NEEDLE, needle_value(0, Measure.of(0, "mm")))
        elif needle is not None:
            say(driver, NEEDLE, needle_value(needle.gauge, needle.length))
    elif asked.matter == CONTAINER:
        listed = driver.shelf.containers_of(asked.order.drug.id, driver.desk.now())
        found = next((c for c in listed if c.id == what), None)
        driver.sitting.showing = ""
        if found is not None:
            container(driver, found)
    elif asked.matter == PLUNGER and what in CONTENTS:
        say(driver, PLUNGER, measure_value(asked.syringe.nominal) if what == WHOLE else what)


def container(driver: Driver, found: Container) -> None:
    """Take a container the checker read; when all are read they are one statement."""
    asked, sitting = sheet(driver), driver.sitting
    if asked is None or asked.matter != CONTAINER:
        driver.refuse(Refusal("scan_not_wanted_here"))
        return
    sitting.seen = (*sitting.seen, found)
    sitting.cards, sitting.sound = (), "accepted"
    if len(sitting.seen) >= asked.containers:
        seen, sitting.seen = sitting.seen, ()
        say(driver, CONTAINER, container_value(seen))


def needle_pack(driver: Driver, gtin: str) -> None:
    """Take a needle pack the checker scanned, when the needle is what is asked."""
    asked = sheet(driver)
    found = next((n for n in driver.desk.rules.needles if n.gtin == gtin), None)
    if asked is None or asked.matter != NEEDLE or found is None:
        driver.refuse(Refusal("scan_not_wanted_here"))
    else:
        say(driver, NEEDLE, needle_value(found.gauge, found.length))


def say(driver: Driver, matter: str, value: str) -> None:
    """Commit one statement of the person at the screen."""
    guest = driver.sitting.guest
    assert guest is not None
    took = seconds_taken(driver.sitting.since, driver.desk.now())
    driver.sitting.plunger, driver.sitting.showing = None, ""
    do(driver, a.MakeStatement(guest.id, matter, value, took))
