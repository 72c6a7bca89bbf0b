"""Facts of a refusal as plain text for the record, language-neutral."""

from __future__ import annotations

from datetime import date

from kiosk.core.findings import Fact, Facts
from kiosk.core.units import Measure


def facts_said(facts: Facts) -> tuple[tuple[str, str], ...]:
    """Return the facts as sorted pairs of text."""
    return tuple(sorted((name, said(value)) for name, value in facts.items()))


def said(value: Fact) -> str:
    """Return one fact as text: exact for measures, ISO for dates."""
    if isinstance(value, Measure):
        return f"{value.value} {value.unit}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return ", ".join(said(one) for one in value)
    return str(value)
