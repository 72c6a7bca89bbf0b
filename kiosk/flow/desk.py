"""The desk: one action in, one outcome out. Decide, record in one transaction, only then move.

If the record cannot be written nothing has moved and the outcome says so; the same entry, under the same
key, can be tried again without ever counting twice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeAlias

from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.decide import Accepted, decide
from kiosk.core.preparation.events import Event, Opened, Refused, Resumed
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation, apply_all, begin
from kiosk.flow.ports import Clock, Ledger, Overtaken, RecordTrouble
from kiosk.flow.said import facts_said


@dataclass(frozen=True, slots=True)
class Done:
    """The action happened and is on record; ``state`` is the syringe after it."""

    state: Preparation
    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Declined:
    """The rules refused the action; the refusal is on record and nothing has moved."""

    refusal: Refusal


@dataclass(frozen=True, slots=True)
class Stuck:
    """The record could not be written: nothing has moved. ``retry`` tries the same entry again."""

    code: str
    detail: str


AFTER_A_GAP = (a.Resume, a.Discard, a.EndLabel, a.EndInUseLabel)
"""What may be done to a syringe that was left: come back to it, give it up, hear of its print."""

Outcome: TypeAlias = Done | Declined | Stuck


@dataclass(frozen=True, slots=True)
class _Entry:
    """What is to be written, made once, so that a second try is the same entry."""

    preparation: str
    events: tuple[Event, ...]
    at: datetime
    key: str
    then: Preparation | None
    refusal: Refusal | None


class Desk:
    """Holds the open syringes of this counter and the only way to move them.

    ``new_key`` makes unique keys (also the ids of preparations) outside the core; ``room`` says whether
    the record has room for one more whole syringe.
    """

    def __init__(
        self,
        ledger: Ledger,
        clock: Clock,
        rules: Rules,
        new_key: Callable[[], str],
        room: Callable[[], bool] = lambda: True,
    ) -> None:
        self._ledger = ledger
        self._room = room
        self._clock = clock
        self.rules = rules
        self._new_key = new_key
        self._states: dict[str, Preparation] = {}
        self._unsaved: _Entry | None = None
        self._apart: set[str] = set()

    def state(self, preparation: str) -> Preparation:
        """Return an open syringe by its id."""
        return self._states[preparation]

    def now(self) -> datetime:
        """Return the moment by the counter's clock."""
        return self._clock.now()

    def steady(self) -> timedelta:
        """Return how long a clock has run that nobody sets: only differences mean anything."""
        return self._clock.steady()

    def adopt(self, states: Sequence[Preparation]) -> None:
        """Take over the unfinished syringes that recovery folded from the ledger."""
        self._states.update({state.id: state for state in states})
        self._apart.update(state.id for state in states)

    def set_apart(self, preparation: str) -> None:
        """Note that a syringe was left: nothing is done to it until somebody says that they are back."""
        self._apart.add(preparation)

    def is_apart(self, preparation: str) -> bool:
        """Say whether a syringe was left and nobody has come back to it yet."""
        return preparation in self._apart

    def left_by_others(self, person: str) -> tuple[Preparation, ...]:
        """Return the open syringes of other preparers."""
        return tuple(s for s in self._states.values() if s.preparer != person and not s.ended)

    def forget_unsaved(self) -> None:
        """Give up an entry that could not be written, when the one it belonged to is gone."""
        self._unsaved = None

    def unfinished_of(self, person: str) -> Preparation | None:
        """Return the open syringe of a preparer, if there is one."""
        return next((s for s in self._states.values() if s.preparer == person and not s.ended), None)

    def take_up(self, action: a.TakeUp) -> Outcome:
        """Open a syringe for an order; one open syringe a preparer."""
        at = self._clock.now()
        if self.unfinished_of(action.by):
            return self._decline(f"order-{action.order.id}", action, Refusal("one_syringe_at_a_time"), at)
        if not self._room():
            return self._decline(f"order-{action.order.id}", action, Refusal("no_room_for_record"), at)
        answer = decide(None, action, self.rules, at)
        if isinstance(answer, Refusal):
            return self._decline(f"order-{action.order.id}", action, answer, at)
        opened = answer.events[0]
        assert isinstance(opened, Opened)
        preparation = self._new_key()
        then = apply_all(begin(preparation, opened), answer.events[1:])
        try:
            return self._record(_Entry(preparation, answer.events, at, self._new_key(), then, None))
        except Overtaken as late:
            return self._decline(f"order-{action.order.id}", action, late.refusal, at)

    def act(self, preparation: str, action: a.Action) -> Outcome:
        """Try one action on an open syringe."""
        at = self._clock.now()
        state = self._states[preparation]
        if self.is_apart(preparation) and not isinstance(action, AFTER_A_GAP):
            return self._decline(preparation, action, Refusal("resume_first"), at)
        answer = decide(state, action, self.rules, at)
        if isinstance(answer, Accepted):
            then = apply_all(state, answer.events)
            try:
                return self._record(_Entry(preparation, answer.events, at, self._new_key(), then, None))
            except Overtaken as late:
                answer = late.refusal
        return self._decline(preparation, action, answer, at)

    def note(self, event: HouseEvent) -> None:
        """Put something on record that belongs to no syringe. Raises ``RecordTrouble``."""
        self._ledger.note((event,), self._clock.now())

    def retry(self) -> Outcome | None:
        """Try again to write the entry that could not be written; None when there is none."""
        return self._record(self._unsaved) if self._unsaved else None

    def _decline(self, preparation: str, action: a.Action, why: Refusal, at: datetime) -> Outcome:
        """Record a refusal; it moves nothing."""
        refused = Refused(getattr(action, "by", ""), type(action).__name__, why.code, facts_said(why.facts))
        return self._record(_Entry(preparation, (refused,), at, self._new_key(), None, why))

    def _record(self, entry: _Entry) -> Outcome:
        """Write the entry; only when it is durable does the state move."""
        try:
            self._ledger.append(entry.preparation, entry.events, entry.at, entry.key)
        except RecordTrouble as trouble:
            self._unsaved = entry
            return Stuck(trouble.code, trouble.detail)
        self._unsaved = None
        if entry.then is None:
            assert entry.refusal is not None
            return Declined(entry.refusal)
        self._states[entry.preparation] = entry.then
        if any(isinstance(event, Resumed) for event in entry.events):
            self._apart.discard(entry.preparation)
        return Done(entry.then, entry.events)
