"""Was the second check a check? Signs of rubber-stamping in the record, for the keeper's report.

Observation of 3,563 mandated double checks found 1 % independent and 92.5 % primed by the first person's
figures (Westbrook 2021). Blindness makes priming hard here; what people still can do is hurry, whisper and
always ask the same friend. Nobody is accused: each finding says what the record shows and how often.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from statistics import median_low
from typing import Final

from kiosk.core.checks.asking import PRACTICE, saw
from kiosk.core.findings import Finding, Level
from kiosk.core.units import Measure

INDEPENDENT: Final = "ISMP 2003, 2013, 2019: each derives the answer alone, then the two are compared"


@dataclass(frozen=True, slots=True)
class Reading:
    """What one person said of one matter in one round, how long it took (s), and whether it was right."""

    who: str
    matter: str
    value: str
    took_s: int
    round: int = 1
    right: bool = True


@dataclass(frozen=True, slots=True)
class SecondCheck:
    """One second check of one syringe, as the record has it."""

    preparation: str
    preparer: str
    checker: str
    readings: tuple[Reading, ...]

    @property
    def differed(self) -> bool:
        """Whether the check found anything."""
        return any(not reading.right for reading in self.readings)


@dataclass(frozen=True, slots=True)
class Pair:
    """How one preparer is checked by one other: ``times`` of the preparer's ``of`` checks.

    ``median_s`` is the time that the checker's readings took in all, in seconds, the lower middle one;
    ``differed`` in how many of them anything was found.
    """

    preparer: str
    checker: str
    times: int
    of: int
    median_s: int
    differed: int


def took_s(check: SecondCheck) -> int:
    """Return how long the checker's own readings took in all, in seconds."""
    return sum(reading.took_s for reading in check.readings if reading.who == check.checker)


def pairs(checks: Iterable[SecondCheck]) -> tuple[Pair, ...]:
    """Return every pair that made a check, the most frequent first."""
    made = tuple(checks)
    of = Counter(check.preparer for check in made)
    found = []
    for one, other in sorted({(check.preparer, check.checker) for check in made}):
        own = [check for check in made if (check.preparer, check.checker) == (one, other)]
        middle = median_low(took_s(check) for check in own)
        found.append(Pair(one, other, len(own), of[one], middle, sum(check.differed for check in own)))
    return tuple(sorted(found, key=lambda pair: -pair.times))


@dataclass(frozen=True, slots=True)
class IndependenceFigures:
    """Rows of independence.csv: least seconds by matter, what makes a habit, what is no longer luck."""

    least: Mapping[str, Measure]
    pair_share: Fraction
    pair_from: int
    luck: Fraction


def report(checks: Iterable[SecondCheck], figures: IndependenceFigures) -> tuple[Finding, ...]:
    """Return every sign in these checks, the gravest kind first."""
    made = tuple(checks)
    return (
        *same_mistakes(made),
        *too_fast(made, figures),
        *always_the_same_pair(made, figures),
        *never_differs(made, figures),
    )


def same_mistakes(checks: Iterable[SecondCheck]) -> tuple[Finding, ...]:
    """Caution: preparer and checker gave the very same wrong answer: two people seldom err alike."""
    return tuple(
        saw(
            "same_mistake",
            Level.CAUTION,
            INDEPENDENT,
            preparation=check.preparation,
            preparer=check.preparer,
            checker=check.checker,
            matter=reading.matter,
            value=reading.value,
        )
        for check in checks
        for reading in check.readings
        if reading.who == check.checker and not reading.right and _said_by_preparer(check, reading)
    )


def _said_by_preparer(check: SecondCheck, said: Reading) -> bool:
    """Say whether the preparer gave the same answer in the same round."""
    return any(
        (other.who, other.matter, other.value, other.round)
        == (check.preparer, said.matter, said.value, said.round)
        for other in check.readings
    )


def too_fast(checks: Iterable[SecondCheck], figures: IndependenceFigures) -> tuple[Finding, ...]:
    """Note each check in which a matter was answered faster than it can be read."""
    found = []
    for check in checks:
        hasty = tuple(r.matter for r in check.readings if r.who == check.checker and _hasty(r, figures))
        if hasty:
            facts = {"preparation": check.preparation, "checker": check.checker}
            found.append(Finding("checked_too_fast", Level.NOTE, {**facts, "matters": hasty}, PRACTICE))
    return tuple(found)


def _hasty(reading: Reading, figures: IndependenceFigures) -> bool:
    """Say whether a reading took less than the least time its matter needs."""
    least = figures.least.get(reading.matter)
    return least is not None and reading.took_s < least.to("s").value


def always_the_same_pair(checks: Iterable[SecondCheck], figures: IndependenceFigures) -> tuple[Finding, ...]:
    """Note each preparer who nearly always has the same checker."""
    made = tuple(checks)
    by_preparer = Counter(check.preparer for check in made)
    by_pair = Counter((check.preparer, check.checker) for check in made)
    return tuple(
        saw("always_the_same_pair", Level.NOTE, preparer=one, checker=other, times=times, of=by_preparer[one])
        for (one, other), times in sorted(by_pair.items())
        if by_preparer[one] >= figures.pair_from and Fraction(times, by_preparer[one]) >= figures.pair_share
    )


def never_differs(checks: Iterable[SecondCheck], figures: IndependenceFigures) -> tuple[Finding, ...]:
    """Note each checker who never found anything, where the others' rate makes that more than luck.

    The chance of ``n`` checks without a difference at a rate ``r`` is (1 - r) to the power n.
    """
    made = tuple(checks)
    found = []
    for checker in sorted({check.checker for check in made}):
        own = [check for check in made if check.checker == checker]
        others = [check for check in made if check.checker != checker]
        rate = Fraction(sum(check.differed for check in others), len(others)) if others else Fraction(0)
        if not any(check.differed for check in own) and (1 - rate) ** len(own) < figures.luck:
            found.append(
                saw("checker_never_differs", Level.NOTE, checker=checker, times=len(own), others=len(others))
            )
    return tuple(found)
