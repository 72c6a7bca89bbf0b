"""A counter that writes for ever: one syringe after another, and says what it sent and what came back.

Every action has a number, and from the number follow its syringe, its events and its key, so that whoever
takes over after a kill sends the very same thing again.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import timedelta
from itertools import count
from pathlib import Path

from kiosk.core.preparation.events import Acknowledged, Event
from tests.store import samples as s

STEPS = len(s.whole())


def syringe(number: int) -> str:
    """The syringe an action belongs to."""
    return f"prep-{number // STEPS}"


def key(number: int) -> str:
    """The key of an action, made before it is sent."""
    return f"action-{number}"


def events_of(number: int) -> Sequence[Event]:
    """What one action writes: a step of its syringe, now and then two events at once."""
    turn, step = divmod(number, STEPS)
    events = s.whole()
    patient = s.a_patient(f"H-{turn % 50}", f"Invented Number{turn % 50}")
    events[0] = s.opened(s.an_order(f"o-{turn}", patient), code=f"C{turn}")
    chosen = [events[step]]
    if step == 3:
        chosen.append(Acknowledged(s.PREPARER, f"caution-{turn}"))
    return chosen


def write_for_ever(folder: Path, first: int, pipe: int) -> None:
    """Open the store and write from action ``first`` on, telling the pipe; ends only by being killed."""
    store = s.open_store(folder / "counter.db", folder / "keys", s.CHEAP)
    for number in count(first):
        at = s.NOW + number * timedelta(seconds=1)
        os.write(pipe, f"sent {number}\n".encode())
        written = store.ledger.append(syringe(number), events_of(number), at, key(number))
        os.write(pipe, f"back {number} {written[-1].seq}\n".encode())
