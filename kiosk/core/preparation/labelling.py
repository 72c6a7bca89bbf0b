"""Deciding about the in-use label of a vial that goes back: asked for again, answered, written by hand."""

from __future__ import annotations

from datetime import datetime

from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation.in_use_events import InUseLabelAsked, InUseLabelSaid
from kiosk.core.preparation.in_use_labels import (
    BY_HAND,
    NO_PAPER,
    ON_PAPER,
    ON_THE_VIAL,
    OPEN,
    InUseLabel,
    label_of,
    newly_opened,
)
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation

Answer = tuple[e.Event, ...] | Refusal


def ask_in_use_label(state: Preparation, action: a.AskInUseLabel, rules: Rules, now: datetime) -> Answer:
    """Accept one copy after another, but none while nobody knows how the last one ended."""
    label = _label(state, action.container)
    if isinstance(label, Refusal):
        return label
    if label.outcome in OPEN:
        return Refusal("in_use_label_not_answered")
    if label.outcome in ON_THE_VIAL and not action.reason.strip():
        return Refusal("copy_needs_reason")
    return (InUseLabelAsked(action.by, action.container, label.copies + 1, action.reason.strip()),)


def end_in_use_label(state: Preparation, action: a.EndInUseLabel, rules: Rules, now: datetime) -> Answer:
    """Note how the in-use label of a vial that was put back came out."""
    label = _label(state, action.taken or action.container)
    if isinstance(label, Refusal):
        return label
    if label.outcome != "":
        return Refusal("no_such_label")
    return (e.InUseLabelEnded(action.container, action.outcome, action.detail, action.taken),)


def say_in_use_label(state: Preparation, action: a.SayInUseLabel, rules: Rules, now: datetime) -> Answer:
    """Take a person's word on a print that nobody knows the end of, or that they wrote it by hand."""
    label = _label(state, action.container)
    if isinstance(label, Refusal):
        return label
    allowed = (ON_PAPER, NO_PAPER) if label.outcome in OPEN else (BY_HAND,)
    if label.outcome in ON_THE_VIAL or action.outcome not in allowed:
        return Refusal("no_such_answer")
    return (InUseLabelSaid(action.by, action.container, action.outcome),)


def _label(state: Preparation, container: str) -> InUseLabel | Refusal:
    """Return the label of a vial that was opened for this syringe and goes back."""
    finished = state.ended and state.ended != "discarded"
    if finished or all(one.id != container for one in newly_opened(state.taken, state.rest)):
        return Refusal("no_such_label")
    return label_of(container, state.in_use)
