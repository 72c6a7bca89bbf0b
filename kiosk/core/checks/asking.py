"""The shape of one order check: the tables and a case in, a finding or nothing out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.checks.check import OrderCase
from kiosk.core.findings import Fact, Finding, Level

PRACTICE: Final = "common practice, no source"

Ask: TypeAlias = Callable[[OrderTables, OrderCase], Finding | None]


def saw(id: str, level: Level, source: str = PRACTICE, **facts: Fact) -> Finding:
    """Return a finding with its facts by name."""
    return Finding(id, level, facts, source)
