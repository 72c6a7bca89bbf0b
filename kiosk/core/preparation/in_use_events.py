"""What happens to the in-use label of a vial opened for a syringe: asked for, printed, written by hand.

``container`` is the vial as it was taken: the key of the row it came out of.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class InUseLabelAsked:
    """The in-use label of a vial was asked for; a further copy says why."""

    by: str
    container: str
    copy: int = 1
    reason: str = ""


@dataclass(frozen=True, slots=True)
class InUseLabelSaid:
    """A person said what became of it: ``on paper``, ``no paper``, or ``by hand``: written on the vial."""

    by: str
    container: str
    outcome: str


InUseEvent: TypeAlias = InUseLabelAsked | InUseLabelSaid
