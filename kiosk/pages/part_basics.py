"""What pages share: which place it is, keys, the order slip, the stages, findings in words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Ground(StrEnum):
    """Which place this is: the second checker's is visibly another one."""

    BENCH = "bench"
    CHECKER = "checker"
    DOOR = "door"
    TROUBLE = "trouble"


class Weight(StrEnum):
    """How a key looks: one primary at most a page; a grave one stands in its own place."""

    PRIMARY = "primary"
    PLAIN = "plain"
    GRAVE = "grave"


@dataclass(frozen=True, slots=True)
class Key:
    """Something to touch. ``hint`` is the small second line; ``name`` goes back to the driver."""

    name: str
    label: str
    hint: str = ""
    weight: Weight = Weight.PLAIN
    enabled: bool = True
    spoken: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A small done mark on the slip: what was confirmed against which object, when."""

    text: str
    at: str


@dataclass(frozen=True, slots=True)
class Slip:
    """The order slip on the left, always whole."""

    heading: str
    due: str
    patient: str
    patient_lines: tuple[str, ...]
    drug: str
    dose: str
    lines: tuple[str, ...]
    allergies_heading: str
    allergies: tuple[str, ...]
    confirmed_heading: str = ""
    marks: tuple[Mark, ...] = ()
    banner: str = ""


@dataclass(frozen=True, slots=True)
class StageMark:
    """One stage name in the progress row; ``decided`` says what was settled there."""

    name: str
    decided: str
    state: str  # done, now, ahead


@dataclass(frozen=True, slots=True)
class FindingCard:
    """A finding in words: level (stop, second person, caution, note), what, why, what now, source."""

    level: str
    level_word: str
    what: str
    why: str
    now: str
    source: str = ""
