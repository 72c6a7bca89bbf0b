"""All the rules, in the order in which they are tried."""

from __future__ import annotations

from functools import lru_cache

from kiosk.core.dose import follow_body, follow_dilution, follow_doses, follow_flow, follow_strengths
from kiosk.core.dose.follow import Rule


@lru_cache(maxsize=1)
def all_rules() -> tuple[Rule, ...]:
    """Return every rule."""
    return (
        *follow_body.rules(),
        *follow_doses.rules(),
        *follow_strengths.rules(),
        *follow_dilution.rules(),
        *follow_flow.rules(),
    )
