"""What the keeper's desk asks about the site's policies: what is in force, and to change it by two hands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from kiosk.core.catalogue.policy import Policy
from kiosk.core.catalogue.sign_on import SignOnFigures
from kiosk.core.findings import Refusal
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.policies import Standing
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class PolicyLine:
    """One figure of the site's policy: as published, as in force, and what the record says of it."""

    policy: Policy
    value: Measure
    standing: Standing


@dataclass(frozen=True, slots=True)
class SiteRow:
    """A row of the site's own files that the record knows: its name and what it says."""

    name: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class NowInForce:
    """What a running counter goes by once a policy has changed."""

    rules: Rules
    figures: SignOnFigures


class PolicyOffice(Protocol):
    """The site's policies. ``by`` and ``second`` are person ids, both proved with badge and PIN."""

    def figures(self) -> Sequence[PolicyLine]:
        """Return every figure of the policy. Raises ``RecordTrouble``."""
        ...

    def site_rows(self) -> Sequence[SiteRow]:
        """Return the rows of the site's files that are in force. Raises ``RecordTrouble``."""
        ...

    def needs_second(self, name: str, value: Measure) -> bool:
        """Say whether a change weakens what a policy is for, so that a second keeper must sign."""
        ...

    def change(
        self, by: str, second: str, name: str, value: Measure, why: str, now: datetime
    ) -> NowInForce | Refusal:
        """Put a new value on record and in force, or say why not. Raises ``RecordTrouble``."""
        ...
