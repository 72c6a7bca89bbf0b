"""How fast the dose arithmetic is, and how many times the same arithmetic in bare Decimal, in one run.

Run it from the top of the repository::

    python -m tests.bench.bench_dose [--rounds 9]

Each row is the median of interleaved rounds; ratios hold from machine to machine better than times. The
bare column does the same sum with no units, no checks, no working and no second computation: it is the
floor, not a rival. Rows: one checked division dose / strength; the first computation with its working;
the plan that both computations agree on.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from statistics import median

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.agreed import agreed_plan
from kiosk.core.dose.order import DosePerBody, Order
from kiosk.core.dose.volume import volume_plan
from tests.core.dose.things import NOW, in_volume, m, order, patient, plan, powder, vial


@dataclass(frozen=True, slots=True)
class Sum:
    """One sum in bare Decimal and the same as an order with containers."""

    name: str
    bare: Callable[[], Decimal]
    order: Order
    containers: tuple[Container, ...]


def sums() -> tuple[Sum, ...]:
    """Return three everyday sums."""
    d = Decimal
    mg, have, ml = d(250), d(1000), d(10)
    lb, kg, rate, doses = d(40), d("0.45359237"), d(30), d(3)
    amount, diluent, displaced, dose = d(500), d("2.1"), d("0.4"), d(200)
    child = DosePerBody(m("30 mg/kg/day"), divided_into=3)
    return (
        Sum(
            "250 mg of 1 g in 10 mL",
            lambda: mg / have * ml,
            order("250 mg"),
            (vial(in_volume("1 g", "10 mL")),),
        ),
        Sum(
            "30 mg/kg/day in 3, 40 lb, of 1 g in 10 mL",
            lambda: lb * kg * rate / doses / have * ml,
            order(child, to=patient("40 lb")),
            (vial(in_volume("1 g", "10 mL")),),
        ),
        Sum(
            "200 mg of a powder, 500 mg + 2.1 mL + 0.4 mL",
            lambda: dose / amount * (diluent + displaced),
            order("200 mg"),
            (vial(powder("500 mg", "2.1 mL", "0.4 mL"), None),),
        ),
    )


def seconds_each(work: Callable[[], object], times: int) -> float:
    """Return how long one call takes, over ``times`` calls."""
    began = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - began) / times


def measured(works: dict[str, tuple[Callable[[], object], int]], rounds: int) -> dict[str, float]:
    """Return the median seconds of each work over interleaved rounds."""
    found: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds):
        for name, (work, times) in works.items():
            found[name].append(seconds_each(work, times))
    return {name: median(each) for name, each in found.items()}


def report(one: Sum, rounds: int) -> None:
    """Print the rows of one sum, each beside its floor."""
    made = plan(one.order, *one.containers)
    dose, strength = made.dose, made.strength
    works: dict[str, tuple[Callable[[], object], int]] = {
        "bare Decimal": (one.bare, 20000),
        "dose over strength, checked": (lambda: dose.over(strength, "mL"), 20000),
        "first computation, with working": (lambda: volume_plan(one.order, one.containers, NOW), 300),
        "agreed plan, both computations": (lambda: agreed_plan(one.order, one.containers, NOW), 300),
    }
    found = measured(works, rounds)
    floor = found["bare Decimal"]
    print(one.name)
    for name, each in found.items():
        print(f"  {name:34s} {each * 1e6:9.2f} us  {1 / each:11,.0f} a second  {each / floor:8.1f} x bare")


def main() -> None:
    """Run from the command line."""
    reader = argparse.ArgumentParser(description="Benchmark of the dose arithmetic.")
    reader.add_argument("--rounds", type=int, default=9)
    rounds = reader.parse_args().rounds
    for one in sums():
        report(one, rounds)


if __name__ == "__main__":
    main()
