"""The rules of the path: may this action happen now, and what then has happened.

``decide(state, action, rules, now)`` answers ``Accepted`` with the events, or a ``Refusal``. It reads
nothing but its arguments and changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, TypeAlias

from kiosk.core.catalogue.people import Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import checking, closing, labelling, making, splitting
from kiosk.core.preparation.events import Event
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation, Stage, stage

Events: TypeAlias = tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Accepted:
    """The action may happen; these events are what it amounts to."""

    events: Events


@dataclass(frozen=True, slots=True)
class Rule:
    """When an action may be tried, by whom, and what decides it.

    ``who`` is ``preparer``, ``checker`` or ``anyone`` (the handler then decides).
    """

    stages: frozenset[Stage]
    who: str
    handler: Callable[[Preparation, Any, Rules, datetime], Events | Refusal]


def _at(*stages: Stage) -> frozenset[Stage]:
    return frozenset(stages)


_OPEN: Final = frozenset(Stage) - {Stage.CLOSED}
# A syringe that is given up is closed; the vial that was opened for it still goes back with its label.
_VIAL_BACK: Final = _at(Stage.REST, Stage.IN_USE_LABEL, Stage.SHARPS, Stage.CLOSED)

RULES: Final[dict[type[a.Action], Rule]] = {
    a.TakeContainer: Rule(_at(Stage.STOCK, Stage.VERIFY), "preparer", making.take_container),
    a.TakeSplit: Rule(_at(Stage.STOCK), "preparer", splitting.take_split),
    a.CommitFigure: Rule(_at(Stage.VOLUME), "preparer", making.commit_figure),
    a.TakeSyringe: Rule(_at(Stage.SYRINGE), "preparer", making.take_syringe),
    a.TakeDrawUpDevice: Rule(_at(Stage.DRAW_UP_DEVICE), "preparer", making.take_draw_up),
    a.TakeNeedle: Rule(_at(Stage.NEEDLE), "preparer", making.take_needle),
    a.DoStep: Rule(_at(Stage.DRAW_UP), "preparer", making.do_step),
    a.ReadPlunger: Rule(_at(Stage.READING), "preparer", making.read_plunger),
    a.ComeToCheck: Rule(_at(Stage.CHECK), "anyone", checking.come_to_check),
    a.BeginSelfCheck: Rule(_at(Stage.CHECK), "preparer", checking.begin_self_check),
    a.ComeToWitness: Rule(_at(Stage.CHECK), "anyone", checking.come_to_witness),
    a.MakeStatement: Rule(_at(Stage.CHECK), "anyone", checking.make_statement),
    a.AskForLabel: Rule(
        _at(Stage.LABEL, Stage.SCAN_BACK, Stage.REST, Stage.IN_USE_LABEL, Stage.SHARPS),
        "preparer",
        checking.ask_for_label,
    ),
    a.EndLabel: Rule(_at(Stage.LABEL_UNKNOWN), "anyone", checking.end_label),
    a.SayLabel: Rule(_at(Stage.LABEL_UNKNOWN), "preparer", checking.say_label),
    a.ScanBack: Rule(_at(Stage.SCAN_BACK), "preparer", checking.scan_back),
    a.AccountRest: Rule(_at(Stage.REST), "preparer", closing.account_rest),
    a.EndInUseLabel: Rule(_VIAL_BACK, "anyone", labelling.end_in_use_label),
    a.AskInUseLabel: Rule(_VIAL_BACK, "preparer", labelling.ask_in_use_label),
    a.SayInUseLabel: Rule(_VIAL_BACK, "preparer", labelling.say_in_use_label),
    a.Finish: Rule(_at(Stage.SHARPS), "preparer", closing.finish),
    a.Discard: Rule(_OPEN, "preparer", closing.discard),
    a.Resume: Rule(_OPEN, "preparer", closing.resume),
}


def decide(state: Preparation | None, action: a.Action, rules: Rules, now: datetime) -> Accepted | Refusal:
    """Return what the action amounts to, or why it may not happen."""
    if isinstance(action, a.TakeUp):
        answer = making.take_up(state, action, rules, now)
    elif state is None:
        return Refusal("no_open_syringe")
    else:
        rule = RULES[type(action)]
        answer = _out_of_place(state, action, rule, rules) or rule.handler(state, action, rules, now)
    return answer if isinstance(answer, Refusal) else Accepted(answer)


def _out_of_place(state: Preparation, action: a.Action, rule: Rule, rules: Rules) -> Refusal | None:
    """Refuse what is tried at the wrong moment or by the wrong person."""
    here = stage(state)
    if here not in rule.stages:
        return Refusal("not_now", {"stage": here.value})
    by = getattr(action, "by", "")
    if rule.who == "preparer" and by != state.preparer and not _keeper_clears(state, action, rules):
        return Refusal("not_the_preparer")
    return None


def _keeper_clears(state: Preparation, action: a.Action, rules: Rules) -> bool:
    """Whether a keeper gives up a syringe that its preparer left: nobody else may touch it."""
    if not isinstance(action, a.Discard) or action.by in (state.checker, *state.checked_by):
        return False
    person = rules.people.get(action.by)
    return person is not None and Role.KEEPER in person.roles
