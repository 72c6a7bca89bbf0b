"""An order with its drug as the list in force has it: the limits and the allowed error that then apply."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TypeAlias

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.core.dose.order import Order
from kiosk.core.findings import Refusal

Listed: TypeAlias = Callable[[Drug, datetime], EntryVersion | Refusal]
"""Answers the version in force of a drug's entry at a moment, or why there is none."""


def as_listed(order: Order, listed: Listed, now: datetime) -> Order:
    """Return an order with its drug as now listed; one whose drug is not stays as it came."""
    found = listed(order.drug, now)
    return order if isinstance(found, Refusal) else with_entry(order, found)


def with_entry(order: Order, version: EntryVersion) -> Order:
    """Return an order whose drug is what a version of its entry says."""
    return replace(order, drug=version.drug)
