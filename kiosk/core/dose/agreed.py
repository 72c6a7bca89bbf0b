"""The plan both computations agree on. One digit of difference and there is no plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.strength import MakeUp
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.dose.second import NotReckoned, Reckoned, TooLittle, reckon
from kiosk.core.dose.volume import volume_plan
from kiosk.core.findings import Fact, Refusal
from kiosk.core.units import Measure


def agreed_plan(
    order: Order, containers: Sequence[Container], at: datetime, make_up: MakeUp | None = None
) -> VolumePlan | Refusal:
    """Return the plan of the first computation once the second has come to every same figure.

    Refusals: those of ``volume_plan``, and ``computations_disagree`` (fact ``figures``: which) when the two
    differ in the dose, the strength, the volume, a draw, what is left, the number of containers, or in
    whether there is a plan at all. Then nothing may be prepared: the fault is the kiosk's.
    """
    first = volume_plan(order, containers, at, make_up)
    second = reckon(order, containers, make_up)
    differing = _differing(first, second)
    if differing:
        return Refusal("computations_disagree", {"figures": differing})
    return first


def _differing(first: VolumePlan | Refusal, second: Reckoned | TooLittle | NotReckoned) -> tuple[Fact, ...]:
    """Return the names of the figures that differ; two refusals need not be worded alike."""
    if isinstance(first, VolumePlan):
        return _figures(first, second) if isinstance(second, Reckoned) else ("plan",)
    if first.code == "more_containers_needed":
        return _shortage(first, second) if isinstance(second, TooLittle) else ("plan",)
    return () if isinstance(second, NotReckoned) else ("plan",)


def _figures(first: VolumePlan, second: Reckoned) -> tuple[Fact, ...]:
    """Compare every figure of a plan, exactly."""
    draws = tuple((take.container, take.volume.value, take.left.value) for take in first.takes)
    same = {
        "dose": first.dose.value == second.dose,
        "strength": first.strength.value == second.strength,
        "volume": first.volume == Measure(second.volume, "mL"),
        "draws": draws == second.draws,
        "containers": first.containers_needed == second.containers,
    }
    return tuple(name for name, agrees in same.items() if not agrees)


def _shortage(first: Refusal, second: TooLittle) -> tuple[Fact, ...]:
    """Compare the figures of a shortage, exactly."""
    same = {
        "needed": first.facts["needed"] == Measure(second.needed, "mL"),
        "in_hand": first.facts["in_hand"] == Measure(second.in_hand, "mL"),
        "containers": first.facts["containers"] == second.containers,
    }
    return tuple(name for name, agrees in same.items() if not agrees)
