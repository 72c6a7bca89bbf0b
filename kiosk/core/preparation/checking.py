"""Deciding the second half: the second person, blind; then the label, and its proof on the barrel."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Final

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.people import Role
from kiosk.core.checks.check import ContainerCase, run
from kiosk.core.findings import Level, Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.form_events import SelfCheckBegan, Witnessed
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation, apply_all, papers
from kiosk.core.preparation.two_people import (
    MATTERS,
    Checked,
    awaiting,
    checked,
    differing,
    facts_digest,
    latest,
    owed_form,
)

Answer = tuple[e.Event, ...] | Refusal


def settle(state: Preparation, now: datetime) -> tuple[e.Event, ...]:
    """Return the event that the statements so far amount to: vouched, differed, or none yet."""
    reference = plans.reference(state, now)
    proof = checked(state, reference)
    if proof is not None:
        witnessed = proof.form == CheckForm.WITNESS
        return (e.Vouched(proof.facts, proof.people[:1] if witnessed else proof.people, proof.form),)
    if (
        awaiting(state)
        or pending(state, state.preparer)
        or (state.needs_second and pending(state, state.checker))
    ):
        return ()
    return (e.Differed(differing(state, reference), state.round),)


def pending(state: Preparation, person: str) -> tuple[str, ...]:
    """Return the matters this person has still to state in this round, in order."""
    if not person:
        return MATTERS
    said = latest(state, person)
    open_again = state.differences[-1].matters if state.differences else ()
    return tuple(m for m in MATTERS if m not in said or (m in open_again and said[m].round < state.round))


def turn(state: Preparation) -> str:
    """Return whose turn it is in an open check: the preparer redoes first, then the checker.

    Empty when the second person has not come yet.
    """
    return state.preparer if pending(state, state.preparer) else state.checker


def come_to_check(state: Preparation, action: a.ComeToCheck, rules: Rules, now: datetime) -> Answer:
    """Accept another person who may check."""
    if action.by == state.preparer:
        return Refusal("checker_is_preparer")
    if not state.needs_second:
        return Refusal("no_second_owed")
    person = rules.people.get(action.by)
    if person is None or Role.CHECKER not in person.roles:
        return Refusal("may_not_check")
    if state.checker and action.by != state.checker:
        return Refusal("another_checker_began")
    return (e.CheckerCame(action.by),)


def begin_self_check(state: Preparation, action: a.BeginSelfCheck, rules: Rules, now: datetime) -> Answer:
    """After the pause, and not before, the preparer begins to read everything again."""
    if owed_form(state) is not CheckForm.SELF or state.self_checking or state.pause_until is None:
        return Refusal("no_self_check_owed")
    left = (state.pause_until - now).total_seconds()
    if left > 0:
        return Refusal("pause_not_over", {"seconds": math.ceil(left)})
    return (SelfCheckBegan(action.by),)


def come_to_witness(state: Preparation, action: a.ComeToWitness, rules: Rules, now: datetime) -> Answer:
    """Accept another person, who may witness, as having seen it."""
    if owed_form(state) is not CheckForm.WITNESS:
        return Refusal("no_witness_owed")
    if action.by == state.preparer:
        return Refusal("witness_is_preparer")
    person = rules.people.get(action.by)
    if person is None or Role.WITNESS not in person.roles:
        return Refusal("may_not_witness")
    seen = Witnessed(action.by)
    return (seen, *settle(apply_all(state, (seen,)), now))


def make_statement(state: Preparation, action: a.MakeStatement, rules: Rules, now: datetime) -> Answer:
    """Accept the next open reading of the person whose turn it is; compare when all is said."""
    if action.by not in (state.preparer, state.checker) or action.by != turn(state):
        return Refusal("not_your_turn")
    person = rules.people.get(action.by)
    if action.by == state.checker and (person is None or Role.CHECKER not in person.roles):
        return Refusal("may_not_check")
    if action.matter not in pending(state, action.by):
        return Refusal("already_said")
    said = e.Stated(action.by, action.matter, action.value, facts_digest(state), state.round, action.took_s)
    return (said, *settle(apply_all(state, (said,)), now))


def proof(state: Preparation, now: datetime) -> Checked | None:
    """Return the proof that a label is owed, or None."""
    return checked(state, plans.reference(state, now))


MAY_CHANGE: Final = ("expired", "recalled", "in_use_over")


def no_longer_fit(
    state: Preparation, held: tuple[Container, ...], rules: Rules, now: datetime
) -> Refusal | None:
    """Say what has become of a container since it was taken: out of date, recalled, open too long."""
    checks = [check for check in rules.container_checks if check.id in MAY_CHANGE]
    for container in held:
        for finding in run(checks, ContainerCase(state.order, container, (), now)):
            if finding.level is Level.STOP:
                return Refusal(finding.id, finding.facts, finding.source)
    return None


def ask_for_label(state: Preparation, action: a.AskForLabel, rules: Rules, now: datetime) -> Answer:
    """A label only for vouched facts; a further copy only with a reason."""
    owed = proof(state, now)
    if owed is None:
        return Refusal("not_vouched")
    on_paper = bool(state.labels) and state.labels[-1].outcome in ("printed", "on paper")
    if on_paper and not action.reason:
        return Refusal("copy_needs_reason")
    if unfit := no_longer_fit(state, action.held, rules, now):
        return unfit
    return (e.LabelRequested(action.by, owed.facts, len(state.labels) + 1, action.reason),)


def end_label(state: Preparation, action: a.EndLabel, rules: Rules, now: datetime) -> Answer:
    """Note what the printer answered for the copy that is under way."""
    last = state.labels[-1]
    if last.outcome or (last.copy, last.digest) != (action.copy, action.digest):
        return Refusal("no_such_print")
    return (e.LabelEnded(action.digest, action.copy, action.outcome, action.detail),)


def say_label(state: Preparation, action: a.SayLabel, rules: Rules, now: datetime) -> Answer:
    """Take a person's word for a print whose outcome nobody else knows."""
    if action.outcome not in ("on paper", "no paper"):
        return Refusal("no_such_answer")
    return (e.LabelSeen(action.by, state.labels[-1].copy, action.outcome),)


def scan_back(state: Preparation, action: a.ScanBack, rules: Rules, now: datetime) -> Answer:
    """Only this syringe's own code, the last copy of it, proves the label is on this barrel."""
    wanted = label_code(state)
    if action.syringe_code != wanted:
        return Refusal("label_of_another_syringe")
    return (e.LabelScannedBack(action.by, action.syringe_code),)


def label_code(state: Preparation) -> str:
    """Return the code the last label carries: the syringe's own, with the copy so that old ones are void."""
    copy = papers(state)
    return state.syringe_code if copy <= 1 else f"{state.syringe_code}{copy}"
