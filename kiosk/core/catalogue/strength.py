"""The ways a container says how strong its contents are."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class AmountInVolume:
    """``amount`` in ``volume``: 80 mg in 2 mL, 100 units in 1 mL."""

    amount: Measure
    volume: Measure


@dataclass(frozen=True, slots=True)
class PercentWeightInVolume:
    """Grams in 100 mL: 1 % is 10 mg/mL."""

    percent: Decimal


@dataclass(frozen=True, slots=True)
class Ratio:
    """``parts`` grams in ``within`` millilitres: 1 in 1000 is 1 mg/mL."""

    parts: Decimal
    within: Decimal


@dataclass(frozen=True, slots=True)
class AmountOnly:
    """A total amount with no volume on the pack: no volume can follow from it."""

    amount: Measure


@dataclass(frozen=True, slots=True)
class MakeUp:
    """One line of a powder label: how to make it up and what it then is.

    ``diluent`` is the volume to add; at most the other fields that the label states are set:
    ``displacement`` (the powder's own volume in the made-up liquid), ``final_volume``,
    ``final_strength`` (amount per mL). "Make up to" is a ``final_volume`` with no ``diluent``.
    """

    diluent_name: str
    diluent: Measure | None = None
    displacement: Measure | None = None
    final_volume: Measure | None = None
    final_strength: Measure | None = None
    routes: frozenset[str] = frozenset()
    usable_for: Measure | None = None


@dataclass(frozen=True, slots=True)
class Powder:
    """A dry amount and the label's ways of making it up."""

    amount: Measure
    make_ups: tuple[MakeUp, ...] = ()


Strength: TypeAlias = AmountInVolume | PercentWeightInVolume | Ratio | AmountOnly | Powder
