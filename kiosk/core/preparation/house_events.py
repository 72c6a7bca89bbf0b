"""What happens at the counter beside the syringes: people, lists, stock, seals. A closed set, as the events.

They stand in the same ledger and the same chain, under no preparation. Old kinds stay readable for ever.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

from kiosk.core.preparation.device_events import DeviceEvent
from kiosk.core.preparation.drug_list_events import DrugListEvent
from kiosk.core.preparation.stock_events import StockEvent


@dataclass(frozen=True, slots=True)
class SignedOn:
    """A person proved with badge and PIN who they are."""

    by: str


@dataclass(frozen=True, slots=True)
class SignOnRefused:
    """A badge and a PIN did not prove who somebody is. ``badge`` is the start of its digest, not the badge.

    ``failures`` counts the refusals of that badge in a row; ``locked`` says this one locked it.
    """

    badge: str
    failures: int
    locked: bool


@dataclass(frozen=True, slots=True)
class SignedOff:
    """A person signed off: ``why`` is ``asked``, ``idle``, ``handed over`` or ``stopped``."""

    by: str
    why: str


@dataclass(frozen=True, slots=True)
class Released:
    """A keeper released the locked badge of a person."""

    by: str
    person: str


@dataclass(frozen=True, slots=True)
class PinChanged:
    """A person's PIN was changed, by themselves or (a new start) by a keeper.

    Here and below ``row`` is the start of the counter's mark on the row of the staff list as it then
    stood: a row put back or taken away later contradicts it.
    """

    by: str
    person: str
    row: str = ""


@dataclass(frozen=True, slots=True)
class BadgeIssued:
    """A person got a badge; ``badge`` is the start of its digest."""

    by: str
    person: str
    badge: str
    row: str = ""


@dataclass(frozen=True, slots=True)
class BadgeEnded:
    """A person's badge is no longer good: ``lost``, ``left`` or ``replaced``."""

    by: str
    person: str
    why: str
    badge: str = ""
    row: str = ""


@dataclass(frozen=True, slots=True)
class StaffChanged:
    """A person came, changed or left. ``what`` is ``came``, ``changed`` or ``left``; roles as then held."""

    by: str
    person: str
    what: str
    roles: tuple[str, ...]
    trainee: bool
    row: str = ""


@dataclass(frozen=True, slots=True)
class ListChanged:
    """A list was taken in or edited: how many rows came new, changed and stayed; the digest of them all.

    ``removed`` rows were taken off it. ``whole`` is a digest of the whole list as it then stood: a list that
    says otherwise later was changed by another hand.
    """

    by: str
    list: str
    added: int
    changed: int
    same: int
    digest: str
    removed: int = 0
    whole: str = ""


@dataclass(frozen=True, slots=True)
class LotRecalled:
    """A lot was recalled: none of it may be used from now on. An empty ``product`` means all."""

    by: str
    lot: str
    reason: str
    product: str = ""


@dataclass(frozen=True, slots=True)
class PolicyNoted:
    """Policies met for the first time: name, value as text, and where it stands (``published``, ``file``)."""

    policies: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class PolicyChanged:
    """A policy of the site changed: which, from what, to what, as text; an empty text is none at all.

    ``source`` is where the new value stands: ``keeper``, ``file`` or ``published``. A keeper says ``why``,
    and what weakens a check a ``second`` keeper signs too. Nobody (an empty ``by``) means that it was found
    changed when the counter opened.
    """

    by: str
    name: str
    was: str
    now: str
    why: str = ""
    second: str = ""
    source: str = "keeper"


@dataclass(frozen=True, slots=True)
class TablesNoted:
    """The figures in use from here on: each table's name and the SHA-256 of its file."""

    tables: tuple[tuple[str, str], ...]
    version: str


@dataclass(frozen=True, slots=True)
class ClockWentBack:
    """The clock showed an earlier moment than the entry before."""

    was: datetime
    now: datetime


@dataclass(frozen=True, slots=True)
class SealMade:
    """The chain up to entry ``seq`` was sealed with the counter's key; the seal is kept outside."""

    seq: int
    hash: str


@dataclass(frozen=True, slots=True)
class PatientErased:
    """A patient's identifiers were erased; ``refs`` are the references that now lead nowhere."""

    by: str
    refs: tuple[str, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class RetentionApplied:
    """What was kept long enough went: so many patients' identifiers, papers, and wrong tries at badges.

    ``badges`` are the starts of the digests of those badges, as ``SignOnRefused`` has them.
    """

    by: str
    patients: int
    papers: int
    badges: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordAccepted:
    """A keeper took the record as it stands after trouble was found: where, how, why."""

    by: str
    seq: int
    how: str
    reason: str


HouseEvent: TypeAlias = (
    SignedOn
    | SignOnRefused
    | SignedOff
    | Released
    | PinChanged
    | BadgeIssued
    | BadgeEnded
    | StaffChanged
    | ListChanged
    | LotRecalled
    | PolicyNoted
    | PolicyChanged
    | TablesNoted
    | ClockWentBack
    | SealMade
    | PatientErased
    | RetentionApplied
    | RecordAccepted
    | StockEvent
    | DeviceEvent
    | DrugListEvent
)
