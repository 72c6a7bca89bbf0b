"""What happens where a site asks for a weaker form of check than an independent second person.

A closed set, part of ``events.Event``; old kinds stay readable for ever.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class PauseBegan:
    """The preparer alone is to read everything again, and not before ``until``."""

    by: str
    until: datetime


@dataclass(frozen=True, slots=True)
class SelfCheckBegan:
    """The pause is over: every reading is made anew, blind; those before it no longer count."""

    by: str


@dataclass(frozen=True, slots=True)
class Witnessed:
    """Another person saw the syringe, the container and the order together, and made no reading."""

    by: str


FormEvent: TypeAlias = PauseBegan | SelfCheckBegan | Witnessed
