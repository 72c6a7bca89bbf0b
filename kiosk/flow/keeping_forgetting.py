"""What the keeper's desk asks about forgetting: patients whom the counter names, and what is due to go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from kiosk.core.findings import Refusal


@dataclass(frozen=True, slots=True)
class KnownPatient:
    """A patient whom the counter names: when last needed, how many syringes.

    The name was last needed when a syringe ended or an order was due.
    """

    id: str
    name: str
    number: str
    born: date
    last: datetime
    syringes: int


@dataclass(frozen=True, slots=True)
class Forgotten:
    """A patient was erased; so many papers that named the patient went with them."""

    papers: int


@dataclass(frozen=True, slots=True)
class DueToGo:
    """What was kept long enough by the site's policy. Nothing has gone yet.

    ``patients`` are to be erased, ``tries`` is of how many badges wrong tries are forgotten, ``papers`` are
    the names of files. ``record_until`` is the day until which the record as a whole is kept; it never goes
    by itself. ``token`` stands for exactly this: what is confirmed is what was seen.
    """

    patients: tuple[KnownPatient, ...]
    tries: int
    papers: tuple[str, ...]
    record_until: date | None
    token: str

    @property
    def nothing(self) -> bool:
        """Say that nothing is due."""
        return not (self.patients or self.tries or self.papers)


class ForgettingOffice(Protocol):
    """Erasing who patients were. The record stays, and its chain holds; copies made before are the site's."""

    def patients(self, text: str) -> Sequence[KnownPatient]:
        """Return the patients of whom this is the number or part of the name. Raises ``RecordTrouble``."""
        ...

    def erase(self, by: str, patient_id: str, reason: str, now: datetime) -> Forgotten | Refusal:
        """Erase one patient's identifiers for good. Raises ``RecordTrouble``."""
        ...

    def due(self, now: datetime) -> DueToGo:
        """Return what was kept long enough. Changes nothing. Raises ``RecordTrouble``."""
        ...

    def let_go(self, by: str, seen: DueToGo, now: datetime) -> DueToGo | Refusal:
        """Let go of what was seen to be due; answer what it was. Raises ``RecordTrouble``."""
        ...
