"""What a worksheet says, as values: printed as a page, or written as JSON, from one source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final

from kiosk.core.apparatus.choices import DrawUpOption, DrawUpStep, NeedleOption, SyringeOption
from kiosk.core.dose.follow import Followed, Known
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import RecipeStep, VolumePlan
from kiosk.core.findings import Finding, Refusal
from kiosk.core.units import Measure

NOTHING: Final[Mapping[str, Any]] = MappingProxyType({})


ASKED_ONLY: Final = frozenset({"ratio_denominator"})
"""Facts that follow from nearly everything and are told only when they are asked for."""


SHORTEST_SCALE: Final = "scale length not stated: the shortest of ISO 7886-1"
"""The source of a syringe whose scale is as long as the standard asks at least: nobody said how long."""


class Outcome(StrEnum):
    """How a worksheet ended."""

    ANSWERED = "answered"
    PLANNED = "planned"
    PARTIAL = "partial"
    REFUSED = "refused"


class Verdict(StrEnum):
    """How our answer compares with one that came with the question."""

    NONE = ""
    AGREED = "agreed"
    AGREED_ROUNDED = "agreed when rounded"
    DIFFERS = "differs"


@dataclass(frozen=True, slots=True)
class InUnit:
    """A figure in the unit asked for: ``number`` stands before ``unit`` as the asker writes it."""

    number: Fraction
    unit: str
    measure: Measure


@dataclass(frozen=True, slots=True)
class Answered:
    """The answer to one question: which fact was meant, exact and rounded, and the verdict on a given one."""

    ask: str
    fact: str
    exact: InUnit
    rounded: InUnit
    rule: str = ""
    verdict: Verdict = Verdict.NONE
    published: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Planned:
    """A whole syringe planned: the agreed volume and every choice of apparatus, best first.

    ``dilution`` is offered when no syringe at hand measures the dose as the stock comes.
    """

    order: Order
    volume: VolumePlan
    at: datetime
    syringes: tuple[SyringeOption, ...] = ()
    draw_up: tuple[DrawUpOption, ...] = ()
    needles: tuple[NeedleOption, ...] = ()
    steps: tuple[DrawUpStep, ...] = ()
    rounded: Measure | None = None
    rounding: str = ""
    split: tuple[Measure, ...] = ()
    second_person: tuple[str, ...] = ()
    dilution: tuple[RecipeStep, ...] = ()


@dataclass(frozen=True, slots=True)
class Worksheet:
    """One worksheet: the facts that ``followed``, what is ``missing`` for more, remarks ``carried`` along.

    ``withheld``: a stop stands against the order or a container, so no figure of it is shown.
    """

    outcome: Outcome
    followed: Followed
    answered: Answered | None = None
    planned: Planned | None = None
    findings: tuple[Finding, ...] = ()
    refusal: Refusal | None = None
    missing: tuple[str, ...] = ()
    carried: Mapping[str, Any] = field(default_factory=lambda: NOTHING)
    withheld: bool = False

    @property
    def shown(self) -> tuple[Known, ...]:
        """What was worked out and may be shown: what the answer rests on, else everything that follows."""
        if self.withheld:
            return ()
        if self.answered is not None:
            return self.followed.behind(self.answered.fact)
        return tuple(known for known in self.followed.derived() if known.fact not in ASKED_ONLY)
