"""How much is drawn from which container, in the order they were taken, and what is left in each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.plan import Take
from kiosk.core.dose.stock_line import NOTHING, StockLine
from kiosk.core.findings import Facts, Refusal
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Drawn:
    """One container that is drawn from, and the draw."""

    line: StockLine
    take: Take


def same_container_twice(containers: Sequence[Container]) -> Refusal | None:
    """Refuse one physical container given twice; identical unopened ones of a lot may share an id."""
    ids = [container.id for container in containers]
    for container in containers:
        single = container.left is not None or container.serial != ""
        if single and ids.count(container.id) > 1:
            return Refusal("same_container_twice", {"container": container.id})
    return None


def draws(volume: Measure, lines: Sequence[StockLine]) -> tuple[Drawn, ...] | Refusal:
    """Return the draws that make up ``volume`` exactly, each container emptied before the next.

    Labelled contents are all that counts; overfill is not. Refusal ``more_containers_needed``: facts
    ``needed`` and ``in_hand`` in mL, ``containers`` how many like the first would do.
    """
    missing = volume
    found: list[Drawn] = []
    for line in lines:
        drawn = min(missing, line.available, key=lambda share: share.value)
        if drawn > NOTHING:
            found.append(Drawn(line, Take(line.container.id, drawn, line.available - drawn)))
        missing = missing - drawn
    if missing > NOTHING:
        return _too_little(volume, missing, lines)
    return tuple(found)


def _too_little(volume: Measure, missing: Measure, lines: Sequence[StockLine]) -> Refusal:
    """Ask for more containers, saying how many like the first would do."""
    needed = containers_like_first(volume, lines)
    facts: Facts = {"needed": volume, "in_hand": volume - missing, "containers": needed}
    return Refusal("more_containers_needed", facts)


def containers_like_first(volume: Measure, lines: Sequence[StockLine]) -> int:
    """Return how many unopened containers like the first hold the volume."""
    return -int(-volume.ratio(lines[0].full) // 1)
