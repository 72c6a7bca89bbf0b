"""Where a published figure is from, and for which ages and body weights it holds."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kiosk.core.units import Measure


class Known(StrEnum):
    """How a figure is known."""

    SEEN = "seen"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class Basis:
    """Where a figure is from: title, edition and table, and how it is known."""

    source: str
    known: Known

    @property
    def said(self) -> str:
        """The source as a finding states it; what is not published says so."""
        return self.source if self.known != Known.FROM_MEMORY else f"{self.source} (from memory)"


@dataclass(frozen=True, slots=True)
class AgeSpan:
    """Ages from ``from_*`` up to but not with ``until_*``, in whole days or completed months."""

    from_days: int | None = None
    from_months: int | None = None
    until_days: int | None = None
    until_months: int | None = None


@dataclass(frozen=True, slots=True)
class WeightSpan:
    """Body weights between bounds; ``at_least`` and ``at_most`` belong to the span, the others do not."""

    at_least: Measure | None = None
    above: Measure | None = None
    at_most: Measure | None = None
    below: Measure | None = None

    @property
    def bounded(self) -> bool:
        """Whether any weight matters at all."""
        return any(b is not None for b in (self.at_least, self.above, self.at_most, self.below))
