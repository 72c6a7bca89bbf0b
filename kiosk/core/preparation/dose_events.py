"""What changes how a dose is given: it is shared out over several syringes.

A closed set, part of ``events.Event``; old kinds stay readable for ever.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class SplitTaken:
    """The whole ``volume`` is too much for the site in one go: it is made in ``parts`` syringes of ``each``.

    This syringe is the first of them; the others are due from now on, each on its own.
    """

    by: str
    parts: int
    volume: Measure
    each: Measure


DoseEvent: TypeAlias = SplitTaken
