"""What follows once an entry is on record: show the working, send the label, leave a closed syringe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation.in_use_events import InUseLabelAsked
from kiosk.core.preparation.prefilled import MISSING, SPOILT
from kiosk.core.preparation.state import Preparation
from kiosk.core.preparation.two_people import owed_form
from kiosk.flow.desk import Done, Outcome
from kiosk.flow.ports import Printed
from kiosk.pages import in_use_label, signing
from kiosk.pages.keeping_place import recorded
from kiosk.pages.printer_words import printer_said
from kiosk.pages.view import Sitting

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


OFF = {MISSING: "content_missing", SPOILT: "content_spoilt"}
"""Why a prefilled syringe cannot be given, by what was said of its content."""


def after(driver: Driver, outcome: Outcome) -> None:
    """Do what follows a written entry: show the working, send a label, leave a closed syringe."""
    sitting = driver.sitting
    if not isinstance(outcome, Done):
        return
    sitting.preparation = outcome.state.id
    sitting.order = None
    if outcome.state.ended or any(isinstance(event, e.Opened) for event in outcome.events):
        sitting.cautioned, sitting.too_much = ("", ()), None
    if outcome.state.ended:
        sitting.preparation = outcome.state.id if in_use_label.owed(outcome.state) else ""
        sitting.showing, sitting.guest = "", None
    kinds = {type(event).__name__ for event in outcome.events}
    if "VolumeCommitted" in kinds:
        sitting.showing = "working"
    if "PlungerRead" in kinds:
        _after_reading(driver, outcome)
    if kinds & {"Differed", "Vouched"} and "CheckerCame" not in kinds and _is_compared(outcome.state):
        signing.fresh_eyes(sitting)
        sitting.showing = "compare"
    if "LabelRequested" in kinds:
        _send_label(driver)
    _label_vials(driver, outcome)


def _is_compared(state: Preparation) -> bool:
    """Say whether two readings were compared: two people's, or one person's before and after a pause."""
    return owed_form(state) in (CheckForm.INDEPENDENT, CheckForm.SELF)


def _after_reading(driver: Driver, outcome: Done) -> None:
    """Off the line is said at once; on the line another person may be needed, with nothing on the screen."""
    driver.sitting.plunger, driver.sitting.showing = None, ""
    read = outcome.state.plunger
    if read is not None and not read.on_the_line:
        driver.refuse(Refusal(OFF.get(read.content, "plunger_off_the_line")))


def _send_label(driver: Driver) -> None:
    """The request is durable: now the label may go to the printer, off the interface thread."""
    state, sitting = driver.state(), driver.sitting
    assert state is not None
    copy, sitting.printing = state.labels[-1], True
    job = recorded(lambda: driver.press_room.job(state, driver.desk.rules, driver.desk.now()))

    def ended(printed: Printed) -> None:
        sitting.printing = False
        end = a.EndLabel(copy.digest, copy.copy, printed.outcome, printed.detail)
        trouble = Refusal("label_not_printed", {"detail": printer_said(driver.words, printed.detail)})
        answered(driver, sitting, state.id, end, trouble if printed.outcome == "failed" else None)

    if isinstance(job, Refusal):
        sitting.printing = False
        end = a.EndLabel(copy.digest, copy.copy, "failed", job.code)
        answered(driver, sitting, state.id, end, job)
        return
    driver.background(job, ended)


def answered(
    driver: Driver, sitting: Sitting, preparation: str, end: a.Action, trouble: Refusal | None
) -> None:
    """Put a printer's answer on record; only whoever asked for the print is told of it."""
    outcome = driver.desk.act(preparation, end)
    if driver.sitting is not sitting:
        driver.desk.forget_unsaved()
        return
    driver.note(outcome)
    if trouble is not None and isinstance(outcome, Done):
        driver.refuse(trouble)
    driver.changed()


def _label_vials(driver: Driver, outcome: Done) -> None:
    """Ask for the in-use label of each vial that was just put back; print each that was asked for."""
    back = {vial.id for vial in in_use_label.owed(outcome.state)}
    for event in outcome.events:
        if isinstance(event, e.RestAccounted) and event.container in back:
            do(driver, a.AskInUseLabel(event.by, event.container))
        elif isinstance(event, InUseLabelAsked):
            _send_in_use_label(driver, outcome.state, event)


def _send_in_use_label(driver: Driver, state: Preparation, asked: InUseLabelAsked) -> None:
    """The request is durable: now the label may go to the printer, off the interface thread."""
    vial = in_use_label.as_it_stands(driver, state, asked.container)
    fields, sitting = in_use_label.says(driver, state, vial), driver.sitting
    sitting.printing = True

    def ended(printed: Printed) -> None:
        sitting.printing = False
        end = a.EndInUseLabel(vial.id, printed.outcome, printed.detail, asked.container)
        said = printer_said(driver.words, printed.detail)
        trouble = Refusal("in_use_label_not_printed", {"lot": vial.lot, "detail": said})
        answered(driver, sitting, state.id, end, trouble if printed.outcome == "failed" else None)
        if printed.outcome == "printed" and driver.sitting is sitting:
            sitting.heard = driver.words.say("heard.in_use_label", lot=vial.lot)
        _leave_if_done(driver)

    driver.background(driver.press_room.in_use_job(fields, vial.id, asked.copy), ended)


def _leave_if_done(driver: Driver) -> None:
    """A syringe that was given up is left once the vial that was opened for it has its label."""
    state = driver.state()
    if state is not None and state.ended and not in_use_label.owed(state):
        driver.sitting.preparation = ""


def do(driver: Driver, action: a.Action) -> Outcome:
    """Act on the open syringe and do what follows."""
    outcome = driver.act(action)
    after(driver, outcome)
    return outcome


def me(driver: Driver) -> str:
    """Return who is preparing at this screen."""
    assert driver.sitting.person is not None
    return driver.sitting.person.id


def state_of(driver: Driver) -> Preparation:
    """Return the open syringe; asking without one is a bug."""
    state = driver.state()
    assert state is not None
    return state
