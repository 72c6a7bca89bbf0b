"""What a check or a rule answers when something deserves a word: values, never exceptions.

The words a person reads live in ``resources/words``; here are only the stable codes and the facts
that fill the sentences.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import TypeAlias

from kiosk.core.units import Measure

Fact: TypeAlias = str | int | Decimal | Measure | date | datetime | tuple["Fact", ...]
Facts: TypeAlias = Mapping[str, Fact]

NO_FACTS: Facts = MappingProxyType({})


class Level(StrEnum):
    """How much a finding weighs, heaviest first."""

    STOP = "stop"
    SECOND_PERSON = "second person"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a check saw.

    ``id`` is stable for ever; ``facts`` fill the sentence of that id; ``source`` names the published
    rule or table, or says ``common practice, no source``.
    """

    id: str
    level: Level
    facts: Facts = field(default_factory=lambda: NO_FACTS)
    source: str = ""


@dataclass(frozen=True, slots=True)
class Refusal:
    """The kiosk will not do what was asked: ``code`` and ``facts`` say what, why and what to do.

    ``level`` is a stop, or a caution that doing the same again answers.
    """

    code: str
    facts: Facts = field(default_factory=lambda: NO_FACTS)
    source: str = ""
    level: Level = Level.STOP
