"""What a check is: a stable id, the hazard it answers, and one small question to a case."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Generic, TypeVar

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.order import Order
from kiosk.core.findings import Finding

CaseT = TypeVar("CaseT")


@dataclass(frozen=True, slots=True)
class OrderCase:
    """An order as it stands at ``now``."""

    order: Order
    now: datetime


@dataclass(frozen=True, slots=True)
class ContainerCase:
    """A container held up for an order, with what was already taken for the same syringe.

    ``shelf`` is what else stands at the counter, of any drug; empty when nobody looked.
    """

    order: Order
    container: Container
    taken: tuple[Container, ...]
    now: datetime
    shelf: tuple[Container, ...] = ()


@dataclass(frozen=True, slots=True)
class Check(Generic[CaseT]):
    """``asks`` answers a finding or None; ``hazard`` is a row of resources/tables/hazards.csv."""

    id: str
    hazard: str
    asks: Callable[[CaseT], Finding | None]


def run(checks: Iterable[Check[CaseT]], case: CaseT) -> tuple[Finding, ...]:
    """Ask every check, in order, and return what they saw."""
    seen = (check.asks(case) for check in checks)
    return tuple(finding for finding in seen if finding is not None)
