"""What a site decides by a figure: the published value, how far a site may move it, which way is stricter."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kiosk.core.catalogue.check_tables import Figure
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Policy:
    """One figure of the site's policy, as published.

    ``stricter`` says which way a site may move it: ``lower``, ``higher``, or ``neither`` where both ways take
    something away and every change is signed by two; then ``least`` is as low as any site may go.
    """

    name: str
    published: Measure
    source: str
    stricter: str
    least: Measure | None = None

    def allows(self, own: Measure) -> bool:
        """Say whether a site may set this value: never one of another kind, or looser than published."""
        if not own.is_like(self.published) or own.value < 0:
            return False
        if self.least is not None:
            return own >= self.least
        return own <= self.published if self.stricter == "lower" else own >= self.published

    def weakens(self, was: Measure, now: Measure) -> bool:
        """Say whether going from one value to another weakens what the policy is for."""
        if self.stricter == "lower":
            return now > was
        return now < was if self.stricter == "higher" else now != was


def policy_of(prefix: str, figure: Figure) -> Policy:
    """Return the policy that a published figure amounts to."""
    return Policy(f"{prefix}.{figure.name}", figure.value, figure.source, figure.stricter)


def written(value: Measure) -> str:
    """Return a value as the record has it: exact, with its unit."""
    return f"{value.value} {value.unit}"


def read(text: str) -> Measure:
    """Return the value of a text made by ``written``. Raises ``ValueError``."""
    number, _, unit = text.partition(" ")
    return Measure(Fraction(number), unit)
