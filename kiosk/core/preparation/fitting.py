"""What follows from a syringe once it is taken: which choices it leaves, and which are made with it."""

from __future__ import annotations

from datetime import datetime

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.needle_need import needs_needle
from kiosk.core.apparatus.prefilled import is_own, is_prefilled
from kiosk.core.catalogue.devices import Syringe, Tip
from kiosk.core.findings import Refusal
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation, apply_all
from kiosk.core.preparation.stops import first_stop
from kiosk.core.units import Measure

Answer = tuple[e.Event, ...] | Refusal


def own_syringe_taken(state: Preparation, by: str, rules: Rules, now: datetime) -> tuple[e.Event, ...]:
    """Return the choice that a prefilled syringe leaves: itself. Nothing for any other container.

    Whether it can give the dose was asked when it was taken.
    """
    if not is_prefilled(state.taken):
        return ()
    (option,) = plans.syringe_options(state, rules, now)
    answer = taken_with_what_follows(state, option, by, rules)
    assert not isinstance(answer, Refusal)
    return answer


def taken_with_what_follows(state: Preparation, option: SyringeOption, by: str, rules: Rules) -> Answer:
    """Return the syringe taken, with every choice that it leaves no room for.

    Codes: ``syringe_cannot_measure``, and what stands against drawing up without a device.
    """
    setting = option.setting
    if setting is None:
        return Refusal("syringe_cannot_measure")
    taken = e.SyringeTaken(by, option.syringe.id, setting.line, setting.volume, setting.dose_given)
    nothing = _nothing_to_fit(apply_all(state, (taken,)), option.syringe, by, rules)
    if isinstance(nothing, Refusal):
        return nothing
    return (taken, *nothing, *_no_needle_to_choose(state, option.syringe, by))


def _nothing_to_fit(state: Preparation, syringe: Syringe, by: str, rules: Rules) -> Answer:
    """A fixed needle, an oral tip and a prefilled syringe leave nothing to draw up through."""
    if syringe.fixed_needle is None and syringe.tip is not Tip.ORAL and not is_own(syringe.id):
        return ()
    (only,) = plans.draw_up_options(state, rules)
    return first_stop(only.findings) or (e.DrawUpDeviceTaken(by, ""),)


def _no_needle_to_choose(state: Preparation, syringe: Syringe, by: str) -> tuple[e.Event, ...]:
    """A cannula or a mouth takes no needle; a prefilled syringe may have its own."""
    if not needs_needle(state.order):
        return (e.NeedleTaken(by, "", 0, Measure.of(0, "mm")),)
    own = syringe.fixed_needle if is_own(syringe.id) else None
    return (e.NeedleTaken(by, own.id, own.gauge, own.length.to("mm")),) if own else ()
