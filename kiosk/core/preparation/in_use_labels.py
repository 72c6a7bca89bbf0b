"""The in-use label of a vial that goes back opened: no vial is done with before its label is on it.

Source: USP <797> and CDC: an opened multi-dose vial carries its discard date; TJC MM.03.01.01 EP 7, note: the
date to discard, not only that of opening.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from kiosk.core.catalogue.container import Container
from kiosk.core.preparation import events as e
from kiosk.core.preparation.in_use_events import InUseLabelAsked, InUseLabelSaid
from kiosk.core.stock.expiry import is_opened

ON_PAPER: Final = "on paper"
NO_PAPER: Final = "no paper"
BY_HAND: Final = "by hand"
ON_THE_VIAL: Final = frozenset({"printed", ON_PAPER, BY_HAND})
OPEN: Final = frozenset({"", "unknown"})
"""How a print stands that nobody knows the end of: it is asked about, never repeated."""


@dataclass(frozen=True, slots=True)
class InUseLabel:
    """The in-use label of one vial: how many copies were asked for, and how the last one came out.

    ``outcome`` is empty while it is being printed; then ``printed``, ``failed``, ``unknown``, or what a
    person said of it.
    """

    container: str
    copies: int = 0
    outcome: str = "failed"


Labels = tuple[InUseLabel, ...]


def label_of(container: str, labels: Labels) -> InUseLabel:
    """Return how the label of a vial stands; one that was never asked for did not come out."""
    return next((one for one in labels if one.container == container), InUseLabel(container))


def noted(labels: Labels, event: e.Event) -> Labels:
    """Return the labels after an entry; most entries change none."""
    match event:
        case InUseLabelAsked(_, container, copy):
            return _with(labels, InUseLabel(container, copy, ""))
        case InUseLabelSaid(_, container, outcome):
            return _with(labels, replace(label_of(container, labels), outcome=outcome))
        case e.InUseLabelEnded(container, outcome, _, taken):
            return _with(labels, replace(label_of(taken or container, labels), outcome=outcome))
        case _:
            return labels


def _with(labels: Labels, one: InUseLabel) -> Labels:
    """Return the labels with one of them as it now stands."""
    return (*(other for other in labels if other.container != one.container), one)


def newly_opened(taken: Sequence[Container], rest: Sequence[e.RestAccounted]) -> tuple[Container, ...]:
    """Return the vials that were opened for this syringe and go back: each needs its label."""
    kept = {entry.container for entry in rest if entry.fate == "kept"}
    return tuple({c.id: c for c in taken if c.id in kept and not is_opened(c)}.values())


def owed(
    taken: Sequence[Container], rest: Sequence[e.RestAccounted], labels: Labels
) -> tuple[Container, ...]:
    """Return the vials that go back and whose label is not on them yet."""
    back = newly_opened(taken, rest)
    return tuple(vial for vial in back if label_of(vial.id, labels).outcome not in ON_THE_VIAL)
