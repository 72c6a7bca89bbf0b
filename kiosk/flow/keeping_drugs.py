"""What the keeper's desk asks about the drug list. Acts may raise ``RecordTrouble``: nothing was written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.core.findings import Refusal
from kiosk.core.preparation.drug_list_events import DrugEntryProposed
from kiosk.core.preparation.drug_versions import Versions


@dataclass(frozen=True, slots=True)
class Wanted:
    """An entry as somebody wants it to be from a day on; ``line`` is where it stood in a file, 0 for none."""

    drug: Drug
    effective: date
    line: int = 0


class DrugList(Protocol):
    """The drug list of a counter. ``by`` is who acts, a person id."""

    def everything(self) -> Versions:
        """Return every version of every entry, by the drug's id."""
        ...

    def versions(self, drug: str) -> Sequence[EntryVersion]:
        """Return the versions of one entry, in their order."""
        ...

    def listed(self, drug: Drug, now: datetime) -> EntryVersion | Refusal:
        """Return the version of a drug's entry in force, or why there is none."""
        ...

    def would(
        self, by: str, wanted: Sequence[Wanted], source: str, now: datetime
    ) -> Sequence[DrugEntryProposed | Refusal]:
        """Return what proposing these would amount to, one by one; write nothing."""
        ...

    def propose(self, by: str, wanted: Sequence[Wanted], source: str, now: datetime) -> Refusal | None:
        """Propose versions, all of them or none."""
        ...

    def sign(self, by: str, drug: str, version: int, now: datetime) -> EntryVersion | Refusal:
        """Sign a version; return it as it then stands."""
        ...

    def withdraw(
        self, by: str, drug: str, version: int, reason: str, now: datetime
    ) -> EntryVersion | Refusal:
        """Take a version back; return it as it then stands."""
        ...
