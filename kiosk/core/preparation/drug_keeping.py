"""Deciding about the drug list: who may propose, sign and take back a version, and what cannot be one.

Each function answers the entry that may be written, or a ``Refusal``. They read nothing but their arguments;
the store asks them inside the transaction that writes the answer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Final

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_differences import as_rows, differences
from kiosk.core.catalogue.drug_list import EntryVersion, came_last, in_force, latest, open_version
from kiosk.core.catalogue.drug_sense import entry_nonsense
from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Fact, Refusal
from kiosk.core.preparation import drug_list_events as e

People = Mapping[str, Person]
# What a drug is counted in and how its stock is booked: a book that was begun cannot go on otherwise.
FIXED: Final = ("measured_in", "is_insulin", "controlled")


def propose(
    by: str,
    drug: Drug,
    effective: date,
    versions: Sequence[EntryVersion],
    people: People,
    today: date,
    source: str,
) -> e.DrugEntryProposed | Refusal:
    """Propose the next version of an entry; ``versions`` are all there are of it."""
    if refusal := _keeper_only(by, people):
        return refusal
    if nonsense := entry_nonsense(drug):
        return nonsense.why
    before = came_last(versions, today)
    if before is not None and (refusal := _no_next(before, drug)):
        return refusal
    if effective < today:
        return Refusal("entry_date_past", {"drug": drug.name, "effective": effective})
    if coming := open_version(versions, today):
        return Refusal("entry_still_open", {"drug": drug.name, "version": coming.number})
    changed = differences(before.drug, drug) if before is not None else ()
    last = latest(versions)
    number = last.number + 1 if last is not None else 1
    return e.DrugEntryProposed(by, drug, number, effective, as_rows(changed), source)


def _no_next(before: EntryVersion, drug: Drug) -> Refusal | None:
    """Return why this is no next version: the same again, or another kind of drug under the old name."""
    was = before.drug
    for field in FIXED:
        if getattr(was, field) != getattr(drug, field):
            return Refusal("entry_changes_kind", {"drug": drug.name, "field": field})
    if before.withdrawn is None and not differences(was, drug):
        return Refusal("entry_same", {"drug": drug.name, "version": before.number})
    return None


def sign(by: str, version: EntryVersion, people: People) -> e.DrugEntrySigned | Refusal:
    """Sign a version: two keepers do, never one twice. Whoever proposed it may be one of them."""
    if refusal := _keeper_only(by, people):
        return refusal
    facts: dict[str, Fact] = {"drug": version.drug.name, "version": version.number}
    if version.withdrawn is not None:
        return Refusal("entry_withdrawn_before", facts)
    if by in version.signed:
        return Refusal("entry_same_signer", {"drug": version.drug.name, "version": version.number})
    if version.complete:
        return Refusal("entry_signed_before", facts)
    return e.DrugEntrySigned(by, version.drug.id, version.number, len(version.signed) + 1, version.entry)


def withdraw(
    by: str,
    version: EntryVersion,
    versions: Sequence[EntryVersion],
    reason: str,
    people: People,
    today: date,
) -> e.DrugEntryWithdrawn | Refusal:
    """Take a version back that is on its way, or the one in force. One keeper may: it only takes away."""
    if refusal := _keeper_only(by, people):
        return refusal
    facts: dict[str, Fact] = {"drug": version.drug.name, "version": version.number}
    if version.withdrawn is not None:
        return Refusal("entry_withdrawn_before", facts)
    if version not in (open_version(versions, today), in_force(versions, today)):
        return Refusal("entry_replaced", {"drug": version.drug.name, "version": version.number})
    if not reason.strip():
        return Refusal("entry_needs_reason")
    return e.DrugEntryWithdrawn(by, version.drug.id, version.number, today, reason.strip())


def _keeper_only(by: str, people: People) -> Refusal | None:
    """Return a refusal unless a keeper acts."""
    person = people.get(by)
    return None if person is not None and Role.KEEPER in person.roles else Refusal("drug_list_keepers_only")
