"""The site's drug list: every entry in versions, each from a day on, each signed by two keepers before use.

A version is never changed and never taken away. The newest one that two different keepers have signed and
whose day has come is in force. One taken back before that never was; one taken back while in force takes the
drug off the list until another is signed, for an old version does not come back by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from kiosk.core.catalogue.drug import Drug
from kiosk.core.findings import Fact, Refusal

SIGNERS: Final = 2


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """A version was taken back: by whom, on which day by the counter's clock, why."""

    by: str
    on: date
    reason: str


@dataclass(frozen=True, slots=True)
class EntryVersion:
    """One version of a drug's entry, to be used from the day ``effective`` on.

    ``signed`` are the keepers who signed it, person ids, in order. ``entry`` is the place in the record where
    it was proposed: what a signature names.
    """

    drug: Drug
    number: int
    effective: date
    proposed_by: str
    proposed_at: datetime
    entry: int
    signed: tuple[str, ...] = ()
    withdrawn: Withdrawal | None = None

    @property
    def complete(self) -> bool:
        """Say whether enough different keepers have signed it."""
        return len(set(self.signed)) >= SIGNERS

    @property
    def came(self) -> bool:
        """Say whether it came, or comes, into force: signed, and not taken back before its day."""
        return self.complete and (self.withdrawn is None or self.withdrawn.on >= self.effective)


class Standing(StrEnum):
    """How a version stands on a day."""

    UNSIGNED = "unsigned"
    HALF_SIGNED = "half signed"
    TO_COME = "to come"
    IN_FORCE = "in force"
    REPLACED = "replaced"
    WITHDRAWN = "withdrawn"


def latest(versions: Sequence[EntryVersion]) -> EntryVersion | None:
    """Return the version with the highest number."""
    return max(versions, key=lambda version: version.number, default=None)


def came_last(versions: Sequence[EntryVersion], day: date) -> EntryVersion | None:
    """Return the newest version that has come into force by a day, even where it was taken back since."""
    return latest([version for version in versions if version.came and version.effective <= day])


def in_force(versions: Sequence[EntryVersion], day: date) -> EntryVersion | None:
    """Return the version of an entry that is used on a day, or None."""
    last = came_last(versions, day)
    return None if last is None or last.withdrawn is not None else last


def standing(version: EntryVersion, versions: Sequence[EntryVersion], day: date) -> Standing:
    """Return how a version stands among all of its entry."""
    if version.withdrawn is not None:
        return Standing.WITHDRAWN
    if not version.complete:
        return Standing.HALF_SIGNED if version.signed else Standing.UNSIGNED
    if version.effective > day:
        return Standing.TO_COME
    return Standing.IN_FORCE if in_force(versions, day) == version else Standing.REPLACED


def open_version(versions: Sequence[EntryVersion], day: date) -> EntryVersion | None:
    """Return the version that is still on its way into force: to be signed, or waiting for its day."""
    last = latest(versions)
    on_its_way = (Standing.UNSIGNED, Standing.HALF_SIGNED, Standing.TO_COME)
    return last if last is not None and standing(last, versions, day) in on_its_way else None


def listed(name: str, versions: Sequence[EntryVersion], day: date) -> EntryVersion | Refusal:
    """Return the version in force of the drug called ``name``, or why it has none."""
    if found := in_force(versions, day):
        return found
    last = came_last(versions, day)
    coming = open_version(versions, day)
    if coming is not None and coming.complete:
        facts: dict[str, Fact] = {"drug": name, "version": coming.number, "effective": coming.effective}
        return Refusal("drug_entry_to_come", facts)
    if coming is not None:
        missing = SIGNERS - len(set(coming.signed))
        return Refusal("drug_entry_unsigned", {"drug": name, "version": coming.number, "missing": missing})
    if last is not None and last.withdrawn is not None:
        return Refusal("drug_entry_withdrawn", {"drug": name, "reason": last.withdrawn.reason})
    return Refusal("drug_not_listed", {"drug": name})
