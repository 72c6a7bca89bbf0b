"""What a container holds, in one form for every way of labelling: an amount in a volume."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.core.dose.bridge import VOLUME, kind_of
from kiosk.core.dose.plan import RecipeStep, WorkingLine
from kiosk.core.findings import Finding
from kiosk.core.units import Measure, known_unit


@dataclass(frozen=True, slots=True)
class Have:
    """``amount`` in ``volume`` (mL) as the label says it.

    ``contents`` is how many mL of it a powder vial yields once made up, None for a liquid; ``recipe`` is
    how to make it up.
    """

    amount: Measure
    volume: Measure
    contents: Measure | None = None
    working: tuple[WorkingLine, ...] = ()
    recipe: tuple[RecipeStep, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def per_ml(self) -> Measure:
        """The strength in the label's own unit per mL."""
        return self.amount.over(self.volume, f"{self.amount.unit}/mL")


def is_amount(amount: Measure) -> bool:
    """Say whether this is so much of a drug: above zero, and no volume."""
    return amount.value > 0 and kind_of(amount.unit) not in (None, VOLUME)


def is_volume(volume: Measure) -> bool:
    """Say whether this is a volume above zero."""
    return volume.value > 0 and kind_of(volume.unit) == VOLUME


def shown(measure: Measure) -> Measure | str:
    """Return a measure as a fact of a refusal: itself, or its bare text when its unit is none of ours."""
    return measure if known_unit(measure.unit) else f"{measure.value} {measure.unit}"
