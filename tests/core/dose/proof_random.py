"""Proof by random cases: orders and containers of every kind, sound and spoilt, against three reckonings.

Run it from the top of the repository::

    python -m tests.core.dose.proof_random --count 100000 [--seed 1]

For every case: no exception escapes; the two computations agree; a sound case gives the volume its raw
figures have by definition (exactly, or within 1e-9 where a body surface is in it), draws that add up to
it and leave what they must; and no measured dose is off by more than the stated error unless a stop says
so. It prints the figures and ends with an error when anything failed. A short run is part of the tests.
"""

from __future__ import annotations

import argparse
import sys
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from random import Random

from kiosk.core.dose.agreed import agreed_plan
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.dose.rounding import POLICIES, rounded, rounding_finding
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.random_cases import ROUGH, Case, broken_case, sound_case
from tests.core.dose.things import NOW

GRADUATIONS = tuple(Measure.of(text, "mL") for text in ("0.01", "0.02", "0.1", "0.2", "0.5", "1"))


@dataclass
class Tally:
    """What came out, by kind, and the first few failures in words."""

    outcomes: Counter[str] = field(default_factory=Counter)
    refusals: Counter[str] = field(default_factory=Counter)
    failures: list[str] = field(default_factory=list)
    within: int = 0
    stopped: int = 0

    def failed(self, seed: int, why: str) -> None:
        """Note a failure; its seed makes the case again."""
        self.failures.append(f"case {seed}: {why}")


def try_case(seed: int, tally: Tally) -> None:
    """Make one case from its seed and hold it against everything."""
    random = Random(seed)
    sound = random.random() < 0.75
    case = sound_case(random) if sound else broken_case(random)
    try:
        answer = agreed_plan(case.order, case.containers, NOW)
    except Exception:  # whatever it is, it is what this proof is looking for
        tally.failed(seed, traceback.format_exc(limit=-3))
        return
    if isinstance(answer, Refusal):
        _refused(seed, case, answer, sound, tally)
    else:
        tally.outcomes["plan" if sound else "plan in spite of the spoilt field"] += 1
        _planned(seed, case, answer, tally)
        _measured(seed, case, answer, random, tally)


def _refused(seed: int, case: Case, answer: Refusal, sound: bool, tally: Tally) -> None:
    """A sound case may be refused for want of containers only; none may set the computations at odds."""
    tally.refusals[answer.code] += 1
    tally.outcomes["refusal" if not sound else "too little"] += 1
    if answer.code == "computations_disagree":
        tally.failed(seed, f"the computations disagree in {answer.facts['figures']}")
    elif sound and answer.code != "more_containers_needed":
        tally.failed(seed, f"a sound case was refused: {answer.code}")
    elif sound and case.volume is not None and case.volume <= case.in_hand * (1 - ROUGH):
        tally.failed(seed, "more containers were asked for than are needed")


def _planned(seed: int, case: Case, plan: VolumePlan, tally: Tally) -> None:
    """The volume is the one by definition; the draws make it up; the dose is in it."""
    off = Fraction(0) if case.volume is None else abs(plan.volume.value / case.volume - 1)
    if off > (ROUGH if case.rough else 0):
        tally.failed(seed, f"{plan.volume} is not {case.volume}")
    if sum(take.volume.value for take in plan.takes) != plan.volume.value:
        tally.failed(seed, "the draws do not add up")
    if any(take.left.value < 0 or take.volume.value <= 0 for take in plan.takes):
        tally.failed(seed, "a draw takes what is not there")
    if plan.strength.times(plan.volume, plan.dose.unit) != plan.dose:
        tally.failed(seed, "dose, strength and volume do not belong together")


def _measured(seed: int, case: Case, plan: VolumePlan, random: Random, tally: Tally) -> None:
    """Measured by any policy on any scale, the dose is within the stated error, or a stop says so."""
    policy, graduation = random.choice(POLICIES), random.choice(GRADUATIONS)
    volume = rounded(plan.volume, policy, graduation)
    given = plan.strength.value * volume.value
    off = abs(given / plan.dose.value - 1)
    stop = rounding_finding(plan.volume, volume, case.order.drug, policy)
    allowed = min(Fraction(case.order.drug.allowed_error), Fraction(policy.cap or 1))
    if volume.ratio(graduation).denominator != 1:
        tally.failed(seed, f"{volume} is no line of {graduation}")
    if (off > allowed) != (stop is not None):
        tally.failed(seed, f"off by {float(off)}, allowed {allowed}, stop {stop is not None}")
    tally.within += stop is None
    tally.stopped += stop is not None


def prove(count: int, seed: int = 1) -> Tally:
    """Try ``count`` cases, each made from its own seed."""
    tally = Tally()
    for number in range(count):
        try_case(seed * 1_000_000 + number, tally)
    return tally


def main() -> int:
    """Run from the command line."""
    reader = argparse.ArgumentParser(description="Random proof of the dose arithmetic.")
    reader.add_argument("--count", type=int, default=100_000)
    reader.add_argument("--seed", type=int, default=1)
    wanted = reader.parse_args()
    began = time.perf_counter()
    tally = prove(wanted.count, wanted.seed)
    took = time.perf_counter() - began
    print(f"{wanted.count} cases in {took:.1f} s ({wanted.count / took:.0f} a second), seed {wanted.seed}")
    for name, number in tally.outcomes.most_common():
        print(f"  {number:7d}  {name}")
    print("refusals by code:")
    for name, number in tally.refusals.most_common():
        print(f"  {number:7d}  {name}")
    print(f"measured within the stated error: {tally.within}; stopped because not: {tally.stopped}")
    print(f"failures: {len(tally.failures)}")
    for failure in tally.failures[:20]:
        print(f"  {failure}")
    return 1 if tally.failures else 0


if __name__ == "__main__":
    sys.exit(main())
