"""What ``given`` states while it is read: facts with their paths, words that choose, lines, notes."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from kiosk.core.dose.follow import LabelLine
from kiosk.core.units import Measure
from kiosk.feeds.spellings import Spelt


@dataclass(frozen=True, slots=True)
class FactName:
    """One row of the vocabulary: a field's name, its kind of value, the fact it states, a default unit."""

    name: str
    kind: str
    fact: str
    unit: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Said:
    """One fact as one field stated it."""

    fact: str
    value: Measure
    path: str


@dataclass(slots=True)
class Given:
    """What ``given`` states. ``notes`` are carried through; ``asked_unit`` is the unit to answer in."""

    said: list[Said] = field(default_factory=list)
    words: dict[str, str] = field(default_factory=dict)
    lines: list[LabelLine] = field(default_factory=list)
    notes: dict[str, Any] = field(default_factory=dict)
    asked_unit: Spelt | None = None
    rule: str = ""
    graduation: Measure | None = None
    per_dose: bool = False
    allowed_error: Fraction | None = None

    def state(self, fact: str, value: Measure, path: str) -> None:
        """Keep one fact."""
        self.said.append(Said(fact, value, path))
