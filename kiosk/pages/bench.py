"""What a key or a scan on the bench amounts to: an action for the desk, or another look."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from kiosk.core.dose.order import DoseRange
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.notation import read_figure
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import plans
from kiosk.core.preparation.closing import KEPT, PUT_BACK, unaccounted
from kiosk.core.preparation.prefilled import CONTENTS
from kiosk.core.preparation.state import Preparation, Stage
from kiosk.core.stock.expiry import may_be_kept
from kiosk.core.units import Measure
from kiosk.pages import blind_acts, idle, keeping, labelling, reading, signing, splitting
from kiosk.pages.after import after, do, me, state_of
from kiosk.pages.door import ROWS, order_findings
from kiosk.pages.hold_up import hold_up
from kiosk.pages.keeping_own_pin import change_own_pin

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def press(driver: Driver, name: str) -> None:
    """Take a key of the bench."""
    verb, _, what = name.partition(":")
    bench_verbs = ("stop", "resume")
    if driver.here() is Stage.CHECK and driver.sitting.showing != "stopping" and verb not in bench_verbs:
        blind_acts.press(driver, verb, what)
        return
    handler = KEYS.get(verb)
    if handler is not None:
        handler(driver, what)


# -- keys before a syringe -------------------------------------------------------------------------


def open_order(driver: Driver, order: str) -> None:
    """Put one order on the screen."""
    driver.sitting.order = driver.orders.order(order)
    driver.sitting.cards, driver.sitting.typed = (), ""


def _page_of_due(step: int) -> Callable[[Driver, str], None]:
    def turned(driver: Driver, _: str) -> None:
        driver.sitting.due_from = max(0, driver.sitting.due_from + step)

    return turned


def _back(driver: Driver, _: str) -> None:
    sitting, state = driver.sitting, driver.state()
    if sitting.showing == "stopping":
        sitting.guest = None
    sitting.cards, sitting.typed, sitting.showing = (), "", ""
    if state is None or state.preparer != me(driver):
        sitting.order, sitting.preparation = None, ""


def _take_up(driver: Driver, _: str) -> None:
    order = driver.sitting.order
    if order is None:
        return
    if all(one.id != order.id for one in driver.orders.due(driver.desk.now())):
        driver.refuse(Refusal("order_not_due"))
        return
    cautions = tuple(f.id for f in door_cautions(driver))
    outcome = driver.note(driver.desk.take_up(a.TakeUp(me(driver), order, driver.new_code(), cautions)))
    after(driver, outcome)


def door_cautions(driver: Driver) -> tuple[Finding, ...]:
    """Return the cautions of the order on the screen: pressing its key says they were dealt with."""
    return tuple(f for f in order_findings(driver.view()) if f.level is Level.CAUTION)


# -- keys on the bench -----------------------------------------------------------------------------


def _commit(driver: Driver, _: str) -> None:
    here, sitting = driver.here(), driver.sitting
    if here is None:
        _choose_dose(driver)
    elif here is Stage.VOLUME:
        _with_figure(driver, _unit(driver), lambda figure: do(driver, a.CommitFigure(me(driver), figure)))
    elif here is Stage.READING:
        syringe = plans.syringe_taken(state_of(driver), driver.desk.rules)
        if sitting.showing == "by-number":
            unit = syringe.nominal.unit
            _with_figure(driver, unit, lambda figure: do(driver, a.ReadPlunger(me(driver), figure)))
        elif sitting.plunger is not None:
            do(driver, a.ReadPlunger(me(driver), sitting.plunger))


def _choose_dose(driver: Driver) -> None:
    order = driver.sitting.order
    if order is None or not isinstance(order.dose, DoseRange):
        return
    ranged = order.dose

    def chosen(figure: Measure) -> None:
        if ranged.low <= figure <= ranged.high:
            driver.sitting.order = replace(order, dose=replace(ranged, chosen=figure))
            driver.sitting.typed, driver.sitting.cards = "", ()
        else:
            driver.refuse(Refusal("dose_outside_range", {"low": ranged.low, "high": ranged.high}))

    _with_figure(driver, ranged.low.unit, chosen)


def _with_figure(driver: Driver, unit: str, use: Callable[[Measure], object]) -> None:
    """Read what is typed; a badly written figure is refused, a good one used."""
    figure = read_figure(driver.sitting.typed, unit)
    if isinstance(figure, Refusal):
        driver.refuse(figure)
    else:
        use(figure)


def _unit(driver: Driver) -> str:
    return "units" if state_of(driver).order.drug.is_insulin else "mL"


def _choose(driver: Driver, what: str) -> None:
    here, by = driver.here(), me(driver)
    makes: dict[Stage, Callable[[], a.Action]] = {
        Stage.SYRINGE: lambda: a.TakeSyringe(by, what),
        Stage.DRAW_UP_DEVICE: lambda: a.TakeDrawUpDevice(by, what),
        Stage.NEEDLE: lambda: a.TakeNeedle(by, what),
    }
    if driver.sitting.showing == "by-hand":
        _choose_container(driver, what)
    elif here is Stage.READING and what in CONTENTS:
        do(driver, a.ReadPlunger(by, Measure.of(0, "mL"), what))
    elif here in makes:
        do(driver, makes[here]())


def _choose_container(driver: Driver, what: str) -> None:
    drug = state_of(driver).order.drug.id
    listed = driver.shelf.containers_of(drug, driver.desk.now())
    found = next((c for c in listed if c.id == what), None)
    if found is not None:
        driver.sitting.showing = ""
        hold_up(driver, found, "hand")


def _plunger(driver: Driver, what: str) -> None:
    syringe = plans.syringe_taken(state_of(driver), driver.desk.rules)
    at = driver.sitting.plunger or Measure.of(0, syringe.nominal.unit)
    driver.sitting.plunger = reading.moved(syringe, at, int(what))


def drag(driver: Driver, millimetres: str) -> None:
    """Take the plunger where it was dragged to."""
    if driver.here() not in (Stage.READING, Stage.CHECK):
        return
    try:
        at = Decimal(millimetres)
    except InvalidOperation:
        return
    syringe = plans.syringe_taken(state_of(driver), driver.desk.rules)
    driver.sitting.plunger = reading.dragged(syringe, at)


def _step_done(driver: Driver, step: str) -> None:
    do(driver, a.DoStep(me(driver), step))


def _rest(driver: Driver, what: str) -> None:
    fate, _, container = what.partition(":")
    witness = driver.sitting.guest.id if driver.sitting.guest else ""
    do(driver, a.AccountRest(me(driver), container, fate, witness))
    driver.sitting.guest = None


def _show(what: str) -> Callable[[Driver, str], None]:
    def shown(driver: Driver, _: str) -> None:
        driver.sitting.showing, driver.sitting.typed, driver.sitting.cards = what, "", ()

    return shown


def _go_on(driver: Driver, _: str) -> None:
    driver.sitting.showing, driver.sitting.cards = "", ()


def _resume(driver: Driver, _: str) -> None:
    driver.sitting.showing = ""
    driver.sitting.fresh_eyes()
    do(driver, a.Resume(me(driver)))


def _leave_for_now(driver: Driver) -> None:
    """Called away: everything is hidden at once, and the syringe stays as it is."""
    _go_on(driver, "")
    idle.lock(driver, "handed over")


def _ask_for_label(driver: Driver, why: str) -> None:
    _go_on(driver, "")
    state = state_of(driver)
    shelf = driver.shelf.containers_of(state.order.drug.id, driver.desk.now())
    held = tuple(c for c in shelf if c.id in {taken.id for taken in state.taken})
    do(driver, a.AskForLabel(me(driver), why, held))


def _look_at_left(driver: Driver, preparation: str) -> None:
    """A keeper looks at a syringe that its preparer left, to give it up."""
    driver.sitting.preparation, driver.sitting.showing = preparation, "stopping"


def _discard(driver: Driver, why: str) -> None:
    """Give the syringe up; what was opened for it is thrown away or kept, what was not is put back."""
    state = state_of(driver)
    witness = driver.sitting.guest.id if driver.sitting.guest else ""
    unused = not state.steps_done and why not in SPOILT
    rests = tuple((c.id, PUT_BACK) for c in unaccounted(state)) if unused else _kept(state)
    do(driver, a.Discard(me(driver), why, rests=rests, witness=witness))


def _kept(state: Preparation) -> tuple[tuple[str, str], ...]:
    """Return the vials that go back in use although their syringe was given up."""
    return tuple((c.id, KEPT) for c in unaccounted(state) if state.steps_done and may_be_kept(c))


def _acts(made: Callable[[str, str], a.Action]) -> Callable[[Driver, str], None]:
    def acted(driver: Driver, what: str) -> None:
        do(driver, made(me(driver), what))

    return acted


SPOILT = ("dropped", "contaminated")
"""Reasons for giving a syringe up after which not even an unopened container goes back."""

SHOWN = ("by-hand", "by-number", "by-scale", "split", "gauges", "lengths", "dilution", "syringes")
"""Keys that put a page of their own name on the screen, from which another leads back."""

KEYS: dict[str, Callable[[Driver, str], None]] = {
    **{name: _show(name) for name in SHOWN},
    **labelling.KEYS,
    "order": open_order,
    "earlier": _page_of_due(-ROWS),
    "later": _page_of_due(ROWS),
    "back": _back,
    "take-up": _take_up,
    "commit": _commit,
    "choose": _choose,
    "split-into": splitting.into,
    "go-on": _go_on,
    "plunger": _plunger,
    "step-done": _step_done,
    "print": _ask_for_label,
    "again-label": _show("copy"),
    "copy": _ask_for_label,
    "label": _acts(lambda by, outcome: a.SayLabel(by, outcome)),
    "rest": _rest,
    "finish": _acts(lambda by, _: a.Finish(by)),
    "stop": _show("stopping"),
    "leave-for-now": lambda driver, _: _leave_for_now(driver),
    "keepers-desk": lambda driver, _: keeping.open_desk(driver),
    "own-pin": lambda driver, _: change_own_pin(driver),
    "discard": _discard,
    "left": _look_at_left,
    "resume": _resume,
    "sign-off": lambda driver, _: signing.sign_off(driver),
}
