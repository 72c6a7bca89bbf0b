"""At the shelf: which container to take first, and what deserves a word though nothing stops it.

The name on a pack that is scanned is read by the scanner; one that is picked from a list by hand is not. So
a look-alike that stands here too is a word in passing for the first, and must be meant for the second.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import Final

from kiosk.core.catalogue.container import Container
from kiosk.core.checks.check import ContainerCase, run
from kiosk.core.checks.container_checks import look_alike_of
from kiosk.core.findings import Finding, Level
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation
from kiosk.core.preparation.stops import first_stop
from kiosk.core.stock.expiry import order_of_use

BY_HAND: Final = "hand"
LOOK_ALIKE: Final = "look_alike"


def take_first(
    state: Preparation, beside: Sequence[Container], rules: Rules, now: datetime
) -> tuple[Container, ...]:
    """Return the container of each product that fits this order to take first, the best of all in front.

    A lot already in the syringe, then an open vial, then the earliest expiry; none that any check stops.
    """
    mine = [c for c in beside if c.product.drug.id == state.order.drug.id]
    fit = [c for c in mine if not first_stop(run(rules.container_checks, _case(state, c, beside, now)))]
    found: dict[str, Container] = {}
    for one in order_of_use(fit, now, state.taken, state.order.id):
        found.setdefault(one.product.id, one)
    return tuple(found.values())


def look_alikes_beside(state: Preparation, beside: Sequence[Container]) -> tuple[Finding, ...]:
    """Return the note that a drug easily mistaken for the ordered one stands here too, where one does."""
    note = look_alike_of(state.order.drug, beside)
    return (note,) if note is not None else ()


def weighed(findings: tuple[Finding, ...], read_by: str) -> tuple[Finding, ...]:
    """Return what was seen with its weight: a look-alike is a caution where no scanner has read the name."""
    if read_by != BY_HAND:
        return findings
    return tuple(replace(f, level=Level.CAUTION) if f.id == LOOK_ALIKE else f for f in findings)


def noted(state: Preparation, action: a.TakeContainer, rules: Rules, now: datetime) -> tuple[Finding, ...]:
    """Return the notes on a container that was taken: what expires sooner is said, though not insisted on.

    The look-alike is left out: it was said before the container was taken.
    """
    seen = run(rules.container_checks, _case(state, action.container, action.beside, now))
    return tuple(f for f in seen if f.level is Level.NOTE and f.id != LOOK_ALIKE)


def _case(
    state: Preparation, container: Container, beside: Sequence[Container], now: datetime
) -> ContainerCase:
    """Return a container as it is judged for this order."""
    return ContainerCase(state.order, container, state.taken, now, tuple(beside))
