"""Deciding the end: the rest of each container, the sharps, giving up, coming back after a gap."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.people import Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation
from kiosk.core.stock.expiry import may_be_kept
from kiosk.core.stock.in_use import discard_limits
from kiosk.core.units import Measure

Answer = tuple[e.Event, ...] | Refusal

KEPT: Final = "kept"
WASTED: Final = "wasted"
PUT_BACK: Final = "put back"


def unaccounted(state: Preparation) -> tuple[Container, ...]:
    """Return the containers whose rest nobody has accounted for, each key once, in the order taken."""
    done = {entry.container for entry in state.rest}
    return tuple({c.id: c for c in state.taken if c.id not in done}.values())


def account_rest(state: Preparation, action: a.AccountRest, rules: Rules, now: datetime) -> Answer:
    """Only multi-dose vials with enough in them are kept; controlled waste is seen by a witness."""
    container = next((c for c in unaccounted(state) if c.id == action.container), None)
    if container is None:
        return Refusal("no_such_rest")
    if action.fate not in (KEPT, WASTED):
        return Refusal("no_such_answer")
    left = plans.left_in(state, container.id, now)
    controlled = container.product.drug.controlled
    unseen = controlled and ((action.fate == WASTED and left.value > 0) or not state.checker)
    if (unseen or action.witness) and (trouble := witness_trouble(state, action.by, action.witness, rules)):
        return trouble
    return _rest(container, left, action.fate, action, rules, now)


def _rest(
    container: Container,
    left: Measure,
    fate: str,
    action: a.AccountRest | a.Discard,
    rules: Rules,
    now: datetime,
) -> Answer:
    """Return the entry of a rest, with the discard time of a vial that is kept."""
    if fate == WASTED:
        return (e.RestAccounted(action.by, container.id, left, WASTED, action.witness),)
    if not may_be_kept(container):
        return Refusal("single_use_not_kept", {"form": container.product.form.value})
    if left <= rules.in_use.nearly_empty:
        name, least = container.product.label_name, rules.in_use.nearly_empty
        return Refusal("vial_nearly_empty", {"container": name, "left": left, "least": least})
    until = container.discard_after or discard_limits(container, now, rules.in_use, rules.site_in_use)[0].at
    return (e.RestAccounted(action.by, container.id, left, KEPT, action.witness, until),)


def witness_trouble(state: Preparation, by: str, witness: str, rules: Rules) -> Refusal | None:
    """Say what is wrong with the witness of what ``by`` does to controlled stock, if anything."""
    if not witness:
        return Refusal("waste_needs_witness")
    if witness == by != state.preparer:
        return Refusal("witness_is_same_person")
    if witness == state.preparer:
        return Refusal("witness_is_preparer")
    if witness == state.checker or witness in state.checked_by:
        return Refusal("witness_is_checker")
    person = rules.people.get(witness)
    return None if person and Role.WITNESS in person.roles else Refusal("may_not_witness")


def finish(state: Preparation, action: a.Finish, rules: Rules, now: datetime) -> Answer:
    """Close a syringe whose rest is accounted for."""
    return (e.Finished(action.by),)


def discard(state: Preparation, action: a.Discard, rules: Rules, now: datetime) -> Answer:
    """Give a syringe up; always possible, never without a reason and never without its containers."""
    if not action.reason.strip():
        return Refusal("discard_needs_reason")
    controlled = any(c.product.drug.controlled for c in state.taken)
    if (controlled or action.witness) and (
        trouble := witness_trouble(state, action.by, action.witness, rules)
    ):
        return trouble
    said, happened = dict(action.rests), list[e.Event]()
    for container in unaccounted(state):
        answer = _given_up(state, container, said.get(container.id, WASTED), action, rules, now)
        if isinstance(answer, Refusal):
            return answer
        happened += answer
    return (*happened, e.Discarded(action.by, action.reason.strip(), action.witness))


def _given_up(
    state: Preparation, container: Container, fate: str, action: a.Discard, rules: Rules, now: datetime
) -> Answer:
    """Return what becomes of one container of a syringe that is given up."""
    if fate == PUT_BACK:
        opened = bool(state.steps_done)
        put_back = e.PutBack(action.by, container.id, action.witness)
        return Refusal("opened_not_put_back") if opened else (put_back,)
    if fate != WASTED and not (fate == KEPT and state.steps_done):
        return Refusal("no_such_answer")
    left = _left_when_given_up(state, container, now)
    enough = fate == KEPT and left > rules.in_use.nearly_empty
    return _rest(container, left, KEPT if enough else WASTED, action, rules, now)


def _left_when_given_up(state: Preparation, container: Container, now: datetime) -> Measure:
    """Return what is left in all containers of a key: by plan once drawing began, else all of it."""
    if state.steps_done:
        return plans.left_in(state, container.id, now)
    alike = [c for c in state.taken if c.id == container.id]
    held = [c.left or c.product.contents for c in alike]
    known = [volume.to("mL") for volume in held if volume is not None]
    whole = Measure.of(len(alike), "1")
    return sum(known, Measure.of(0, "mL")) if len(known) == len(alike) else whole


def resume(state: Preparation, action: a.Resume, rules: Rules, now: datetime) -> Answer:
    """Come back; what was filled but not labelled will be verified again."""
    return (e.Resumed(action.by),)
