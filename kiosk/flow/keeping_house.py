"""Entries that belong to no syringe, as the desk asks for them: sign-ons, staff, policy, seals, lists."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from kiosk.core.preparation.house_events import HouseEvent


@dataclass(frozen=True, slots=True)
class HouseAsked:
    """What is looked for; empty parts do not matter, all others must hold together.

    ``person`` did it, or it was done to them or seen by them. ``since`` counts, ``until`` no longer does.
    """

    person: str = ""
    since: datetime | None = None
    until: datetime | None = None
    kinds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HouseEntry:
    """One entry of the record that belongs to no syringe."""

    seq: int
    at: datetime
    event: HouseEvent


# What the desk calls a kind of entry (words under ``keeping.house``), and the kinds in it.
GROUPS: Final = {
    "sign-ons": ("SignedOn", "SignedOff", "SignOnRefused", "Released"),
    "staff": ("StaffChanged", "PinChanged", "BadgeIssued", "BadgeEnded", "Released"),
    "policy": ("PolicyNoted", "PolicyChanged", "TablesNoted"),
    "record": ("SealMade", "RecordAccepted", "ClockWentBack", "PatientErased", "RetentionApplied"),
    "lists": ("ListChanged", "LotRecalled", "StockRelisted"),
}
