"""Deciding the end: the rest of each container, the sharps, giving up, coming back after a gap."""

from __future__ import annotations

from datetime import datetime

from kiosk.core.catalogue.container import Form
from kiosk.core.catalogue.people import Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation

Answer = tuple[e.Event, ...] | Refusal

KEPT = "kept"
WASTED = "wasted"


def account_rest(state: Preparation, action: a.AccountRest, rules: Rules, now: datetime) -> Answer:
    """Only multi-dose vials are kept; controlled waste is seen by a witness."""
    container = next((c for c in state.taken if c.id == action.container), None)
    if container is None or any(entry.container == action.container for entry in state.rest):
        return Refusal("no_such_rest")
    if action.fate not in (KEPT, WASTED):
        return Refusal("no_such_answer")
    if action.fate == KEPT and container.product.form is not Form.MULTI_DOSE_VIAL:
        return Refusal("single_use_not_kept", {"form": container.product.form.value})
    left = plans.left_in(state, container.id, now)
    controlled = container.product.drug.controlled and action.fate == WASTED and left.value > 0
    if (controlled or action.witness) and (trouble := _witness_trouble(state, action, rules)):
        return trouble
    return (e.RestAccounted(action.by, container.id, left, action.fate, action.witness),)


def _witness_trouble(state: Preparation, action: a.AccountRest, rules: Rules) -> Refusal | None:
    """Say what is wrong with the witness of controlled waste, if anything."""
    if not action.witness:
        return Refusal("waste_needs_witness")
    if action.witness == state.preparer:
        return Refusal("witness_is_preparer")
    if action.witness == state.checker:
        return Refusal("witness_is_checker")
    person = rules.people.get(action.witness)
    return None if person and Role.WITNESS in person.roles else Refusal("may_not_witness")


def end_in_use_label(state: Preparation, action: a.EndInUseLabel, rules: Rules, now: datetime) -> Answer:
    """Note how the in-use label of a vial that was put back came out."""
    return (e.InUseLabelEnded(action.container, action.outcome, action.detail),)


def finish(state: Preparation, action: a.Finish, rules: Rules, now: datetime) -> Answer:
    """Close a syringe whose rest is accounted for."""
    return (e.Finished(action.by),)


def discard(state: Preparation, action: a.Discard, rules: Rules, now: datetime) -> Answer:
    """Give a syringe up; always possible, never without a reason."""
    if not action.reason.strip():
        return Refusal("discard_needs_reason")
    return (e.Discarded(action.by, action.reason.strip()),)


def resume(state: Preparation, action: a.Resume, rules: Rules, now: datetime) -> Answer:
    """Come back; what was filled but not labelled will be verified again."""
    return (e.Resumed(action.by),)
