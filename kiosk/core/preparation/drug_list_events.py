"""What happens to the drug list: a version of an entry is proposed, signed, taken back; or that is refused.

They belong to no syringe. A version is in force by these entries alone: nothing else makes one.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from kiosk.core.catalogue.drug import Drug


@dataclass(frozen=True, slots=True)
class DrugEntryProposed:
    """A keeper proposed a version of a drug's entry, to be used from a day on once two have signed it.

    ``changes`` are field, before, after as text, against the version before; none for a first version.
    ``source`` is ``screen``, or the name of the file it came in.
    """

    by: str
    drug: Drug
    version: int
    effective: date
    changes: tuple[tuple[str, str, str], ...]
    source: str


@dataclass(frozen=True, slots=True)
class DrugEntrySigned:
    """A keeper signed a version: the first of two, or the second. ``proposal`` is the entry proposing it."""

    by: str
    drug: str
    version: int
    place: int
    proposal: int


@dataclass(frozen=True, slots=True)
class DrugEntryWithdrawn:
    """A keeper took a version back, on a day by the counter's clock: from then on it is not in force."""

    by: str
    drug: str
    version: int
    on: date
    reason: str


@dataclass(frozen=True, slots=True)
class DrugListRefused:
    """The kiosk refused something about the drug list: which act, why. Refusals are part of the record."""

    by: str
    act: str
    code: str
    facts: tuple[tuple[str, str], ...] = ()


DrugListEvent: TypeAlias = DrugEntryProposed | DrugEntrySigned | DrugEntryWithdrawn | DrugListRefused
