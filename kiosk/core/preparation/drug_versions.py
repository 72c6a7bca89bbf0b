"""The drug list is what the record says it is: the fold of its entries, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import TypeAlias

from kiosk.core.catalogue.drug_list import EntryVersion, Withdrawal
from kiosk.core.preparation import drug_list_events as e

Recorded: TypeAlias = tuple[int, datetime, e.DrugListEvent]
Versions: TypeAlias = Mapping[str, tuple[EntryVersion, ...]]


def fold_versions(entries: Iterable[Recorded]) -> Versions:
    """Return the versions of every entry, by the drug's id and in their order, that these amount to.

    ``entries`` come oldest first, each with its place in the record and its moment. A signature counts only
    for the very proposal that it names.
    """
    found: dict[str, dict[int, EntryVersion]] = {}
    for seq, at, event in entries:
        match event:
            case e.DrugEntryProposed(by, drug, version, effective):
                made = EntryVersion(drug, version, effective, by, at, seq)
                found.setdefault(drug.id, {}).setdefault(version, made)
            case e.DrugEntrySigned():
                _sign(found.get(event.drug, {}), event)
            case e.DrugEntryWithdrawn():
                _withdraw(found.get(event.drug, {}), event)
    return {drug: tuple(versions.values()) for drug, versions in found.items()}


def _sign(versions: dict[int, EntryVersion], event: e.DrugEntrySigned) -> None:
    """Add a signature to the version that it names."""
    version = versions.get(event.version)
    if version is not None and version.entry == event.proposal and version.withdrawn is None:
        versions[event.version] = replace(version, signed=(*version.signed, event.by))


def _withdraw(versions: dict[int, EntryVersion], event: e.DrugEntryWithdrawn) -> None:
    """Take a version back, once."""
    version = versions.get(event.version)
    if version is not None and version.withdrawn is None:
        taken_back = Withdrawal(event.by, event.on, event.reason)
        versions[event.version] = replace(version, withdrawn=taken_back)
