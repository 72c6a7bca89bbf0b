"""Which page belongs to what is going on: one look-up, no rule of its own."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kiosk.core.preparation.check_sheet import check_sheet
from kiosk.core.preparation.plans import syringe_taken
from kiosk.core.preparation.state import Stage, stage
from kiosk.core.preparation.two_people import awaiting
from kiosk.pages import (
    check_forms,
    checking,
    closing,
    dilution,
    door,
    idle,
    in_use_label,
    keeping,
    making,
    needle_lessons,
    needles,
    reading,
    splitting,
    stock,
)
from kiosk.pages.parts import Choice, Ground, Page
from kiosk.pages.view import View

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

BY_STAGE: dict[Stage, Callable[[View], Page]] = {
    Stage.STOCK: stock.stock,
    Stage.VERIFY: stock.verify,
    Stage.VOLUME: making.volume,
    Stage.SYRINGE: making.syringe_or_none,
    Stage.DRAW_UP_DEVICE: needles.draw_up_device,
    Stage.NEEDLE: needles.needle,
    Stage.DRAW_UP: making.draw_up,
    Stage.READING: lambda view: reading.reading(view, syringe_taken(view.the, view.rules)),
    Stage.DISCARD: checking.must_discard,
    Stage.SCAN_BACK: closing.scan_back,
    Stage.REST: closing.rest,
    Stage.SHARPS: closing.sharps,
}
SHOWING: dict[str, Callable[[View], Page]] = {
    "working": making.working,
    "compare": checking.comparison,
    "stopping": closing.stopping,
    "copy": closing.copy_reason,
    "split": splitting.split,
    "dilution": dilution.dilution,
    "syringes": making.syringe,
    "gauges": needle_lessons.gauges,
    "lengths": needle_lessons.lengths,
    "in-use-copy": in_use_label.why_again,
}


def compose(driver: Driver) -> Page:
    """Return the page to show now."""
    view = driver.view()
    sitting = driver.sitting
    if sitting.badge:
        return door.pin(view, Ground.CHECKER if view.state and not sitting.locked else Ground.DOOR)
    if sitting.locked:
        return idle.locked(view)
    if sitting.trouble:
        return closing.trouble(view, sitting.trouble)
    if sitting.keeping:
        return keeping.page(driver)
    if sitting.person is None:
        return door.door(view)
    if view.state is None:
        return door.order(view) if sitting.order else door.due(view)
    if driver.desk.is_apart(view.state.id) and not view.state.ended and sitting.showing != "stopping":
        return closing.resume(view)
    if sitting.showing in SHOWING:
        return SHOWING[sitting.showing](view)
    if sitting.showing == "by-hand":
        return stock.by_hand(view, _to_take(driver, view))
    return _by_stage(driver, view)


def _by_stage(driver: Driver, view: View) -> Page:
    """Return the page of the stage the syringe stands at."""
    here = stage(view.the)
    if here is Stage.CHECK:
        return _check(driver, view)
    if here in (Stage.IN_USE_LABEL, Stage.CLOSED):  # closed: given up, and its vial still goes back
        return in_use_label.page(driver, view)
    if here is Stage.LABEL:
        return closing.label(view, driver.press_room.limits(view.the, view.now))
    if here is Stage.LABEL_UNKNOWN:
        return closing.printing(view) if driver.sitting.printing else closing.label_unknown(view)
    return BY_STAGE[here](view)


def _check(driver: Driver, view: View) -> Page:
    """During a check: call the second person, call the one whose turn it is, or ask them blind."""
    if awaiting(view.the):
        return check_forms.waiting(view)
    sheet = check_sheet(view.the, view.rules)
    if not sheet.person:
        return checking.call_second(view)
    present = driver.sitting.guest
    if present is None or present.id != sheet.person:
        person = driver.people.person(sheet.person)
        return checking.call_back(view, person.name if person else sheet.person)
    if driver.sitting.showing == "check-by-hand":
        return checking.by_hand(view, sheet, driver_choices(driver, view))
    return checking.blind(view, sheet)


def driver_choices(driver: Driver, view: View) -> tuple[Choice, ...]:
    """Return the containers of the ordered drug as choices, earliest expiry first."""
    drug = view.the.order.drug.id
    return stock.container_choices(view, tuple(driver.shelf.containers_of(drug, view.now)))


def _to_take(driver: Driver, view: View) -> tuple[Choice, ...]:
    """Return the same choices for the preparer: what is to be taken first in front, and marked."""
    return stock.best_first(view, driver_choices(driver, view))
