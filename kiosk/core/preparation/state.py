"""One syringe as it now stands: the fold of its events, and the stage that follows from them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from functools import reduce
from typing import Final

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.order import Order
from kiosk.core.preparation import events as e
from kiosk.core.preparation import in_use_labels
from kiosk.core.preparation.dose_events import SplitTaken
from kiosk.core.preparation.form_events import PauseBegan, SelfCheckBegan, Witnessed
from kiosk.core.units import Measure

NO_PAPER: Final = ("failed", "no paper")
VOID: Final = "void"


class Stage(StrEnum):
    """Where the hand is on its path."""

    STOCK = "stock"
    VOLUME = "volume"
    SYRINGE = "syringe"
    DRAW_UP_DEVICE = "draw-up device"
    NEEDLE = "needle"
    DRAW_UP = "draw-up"
    READING = "reading"
    CHECK = "second check"
    LABEL = "label"
    LABEL_UNKNOWN = "label unknown"
    SCAN_BACK = "scan back"
    REST = "rest"
    IN_USE_LABEL = "in-use label"
    SHARPS = "sharps"
    VERIFY = "verify again"
    DISCARD = "discard"
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class LabelCopy:
    """One label asked for: ``outcome`` is empty while it is being printed."""

    copy: int
    digest: str
    outcome: str = ""


@dataclass(frozen=True, slots=True)
class Preparation:
    """Everything known of one syringe. Built only by ``begin`` and ``apply``."""

    id: str
    order: Order
    syringe_code: str
    preparer: str
    second_reasons: tuple[str, ...]
    taken: tuple[Container, ...] = ()
    enough: bool = False
    figures: tuple[e.VolumeCommitted, ...] = ()
    syringe: e.SyringeTaken | None = None
    draw_up: e.DrawUpDeviceTaken | None = None
    needle: e.NeedleTaken | None = None
    steps_done: tuple[str, ...] = ()
    drawn: bool = False
    plunger: e.PlungerRead | None = None
    readings: int = 0
    checker: str = ""
    statements: tuple[e.Stated, ...] = ()
    differences: tuple[e.Differed, ...] = ()
    vouched: e.Vouched | None = None
    labels: tuple[LabelCopy, ...] = ()
    scanned_back: bool = False
    rest: tuple[e.RestAccounted, ...] = ()
    to_see_again: tuple[str, ...] = ()
    ended: str = ""
    reason: str = ""
    checked_by: tuple[str, ...] = ()
    form: str = ""
    pause_until: datetime | None = None
    self_checking: bool = False
    seen_by: str = ""
    in_use: in_use_labels.Labels = ()

    @property
    def needs_second(self) -> bool:
        """A second person must check before a label can be had."""
        return bool(self.second_reasons)

    @property
    def figure(self) -> Measure | None:
        """The committed figure, once it agrees with the kiosk's."""
        return self.figures[-1].figure if self.figures and self.figures[-1].agrees else None

    @property
    def round(self) -> int:
        """Which round of the second check this is, from one."""
        return len(self.differences) + 1


def begin(preparation: str, opened: e.Opened) -> Preparation:
    """Return the state after its first event."""
    return Preparation(
        id=preparation,
        order=opened.order,
        syringe_code=opened.syringe_code,
        preparer=opened.by,
        second_reasons=opened.second_reasons,
        form=opened.form,
    )


def fold(preparation: str, happened: Iterable[e.Event]) -> Preparation | None:
    """Return the state that these events, oldest first, amount to; None when it was never opened."""
    state: Preparation | None = None
    for event in happened:
        if isinstance(event, e.Opened):
            state = begin(preparation, event)
        elif state is not None:
            state = apply(state, event)
    return state


def apply_all(state: Preparation, happened: Iterable[e.Event]) -> Preparation:
    """Return ``state`` after the events."""
    return reduce(apply, happened, state)


def apply(state: Preparation, event: e.Event) -> Preparation:
    """Return ``state`` after one event. Total: an event that changes nothing returns the same state."""
    match event:
        case e.ContainerTaken():
            more = tuple(r for r in event.second_reasons if r not in state.second_reasons)
            return replace(
                state,
                taken=(*state.taken, event.container),
                enough=event.enough,
                second_reasons=state.second_reasons + more,
            )
        case SplitTaken():
            return replace(state, order=replace(state.order, part=1, parts=event.parts))
        case e.VolumeCommitted():
            return replace(state, figures=(*state.figures, event))
        case e.SyringeTaken():
            return replace(state, syringe=event)
        case e.DrawUpDeviceTaken():
            return replace(state, draw_up=event)
        case e.NeedleTaken():
            return replace(state, needle=event)
        case e.StepDone():
            return replace(state, steps_done=(*state.steps_done, event.step), drawn=event.last)
        case e.PlungerRead():
            return replace(state, plunger=event, readings=state.readings + 1)
        case _:
            return _apply_check_and_label(state, event)


def _apply_check_and_label(state: Preparation, event: e.Event) -> Preparation:
    """Apply the events of the second half of the path."""
    match event:
        case e.CheckerCame():
            return replace(state, checker=event.by, checked_by=(*state.checked_by, event.by))
        case e.Stated():
            return replace(state, statements=(*state.statements, event))
        case e.Differed():
            return replace(state, differences=(*state.differences, event))
        case e.Vouched():
            return replace(state, vouched=event)
        case PauseBegan():
            return replace(state, pause_until=event.until, self_checking=False)
        case SelfCheckBegan():
            return replace(state, self_checking=True, statements=())
        case Witnessed():
            return replace(state, seen_by=event.by)
        case e.LabelRequested():
            return replace(
                state, labels=(*state.labels, LabelCopy(event.copy, event.digest)), scanned_back=False
            )
        case e.LabelEnded() | e.LabelSeen():
            return replace(state, labels=_ended(state.labels, event.copy, event.outcome))
        case e.LabelScannedBack():
            return replace(state, scanned_back=True)
        case _:
            return _apply_end(state, event)


def _ended(labels: tuple[LabelCopy, ...], copy: int, outcome: str) -> tuple[LabelCopy, ...]:
    """Return the labels with the outcome of one copy noted."""
    return tuple(replace(one, outcome=outcome) if one.copy == copy else one for one in labels)


def _apply_end(state: Preparation, event: e.Event) -> Preparation:
    """Apply the events that close or reopen a syringe."""
    match event:
        case e.RestAccounted():
            return replace(state, rest=(*state.rest, event))
        case e.Finished():
            return replace(state, ended="finished")
        case e.Discarded():
            return replace(state, ended="discarded", reason=event.reason)
        case e.Resumed():
            return _resumed(state)
        case e.ContainerSeenAgain():
            left = tuple(c for c in state.to_see_again if c != event.container)
            return replace(state, to_see_again=left)
        case _:
            return replace(state, in_use=in_use_labels.noted(state.in_use, event))


def _resumed(state: Preparation) -> Preparation:
    """After a gap a filled but unlabelled syringe is not trusted: containers and plunger are read again.

    A label that may be on paper names people who vouched before the gap: it is void.
    """
    if not state.steps_done or is_labelled(state):
        return state
    return replace(
        state,
        labels=tuple(
            replace(one, outcome=one.outcome if one.outcome in NO_PAPER else VOID) for one in state.labels
        ),
        to_see_again=tuple(container.id for container in state.taken),
        plunger=None,
        checker="",
        statements=(),
        vouched=None,
        pause_until=None,
        self_checking=False,
        seen_by="",
    )


def papers(state: Preparation) -> int:
    """Return how many labels of this syringe may be on paper, the one under way among them."""
    return sum(one.outcome not in NO_PAPER for one in state.labels)


def is_labelled(state: Preparation) -> bool:
    """Whether the last label asked for is on this barrel: printed and scanned back from it."""
    return state.scanned_back


def stage(state: Preparation) -> Stage:
    """Return where the path stands: the first thing that is not yet so."""
    if state.ended:
        return Stage.CLOSED
    if len(state.differences) >= 2:
        return Stage.DISCARD
    return _making(state) or _checking(state) or _closing(state)


def _making(state: Preparation) -> Stage | None:
    """The stages up to a filled syringe whose plunger was read."""
    if not state.enough:
        return Stage.STOCK
    if state.figure is None:
        return Stage.VOLUME
    if state.syringe is None:
        return Stage.SYRINGE
    if state.draw_up is None:
        return Stage.DRAW_UP_DEVICE
    if state.needle is None:
        return Stage.NEEDLE
    if state.to_see_again:
        return Stage.VERIFY
    if not state.drawn:
        return Stage.DRAW_UP
    if state.plunger is None or not state.plunger.on_the_line:
        return Stage.READING
    return None


def _checking(state: Preparation) -> Stage | None:
    """The stages from the second person to a label proved to be on this barrel."""
    if state.vouched is None:
        return Stage.CHECK
    last = state.labels[-1].outcome if state.labels else "failed"
    if last in (*NO_PAPER, VOID):
        return Stage.LABEL
    if last in ("", "unknown"):
        return Stage.LABEL_UNKNOWN
    return None if state.scanned_back else Stage.SCAN_BACK


def _closing(state: Preparation) -> Stage:
    """The rest of the containers, the labels of the vials that go back, then the sharps."""
    accounted = {entry.container for entry in state.rest}
    if any(c.id not in accounted for c in state.taken):
        return Stage.REST
    owed = in_use_labels.owed(state.taken, state.rest, state.in_use)
    return Stage.IN_USE_LABEL if owed else Stage.SHARPS
