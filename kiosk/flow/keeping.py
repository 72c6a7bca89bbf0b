"""What the keeper's desk asks of the rooms behind it: the staff, its lists, the record.

Values that pass between, and Protocols that the outside meets by shape. All that hash a PIN, read a list or
walk the record are slow on purpose or by nature: call them off the interface thread. Every one of them may
raise ``RecordTrouble``; then nothing was written.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import count
from typing import Protocol, TypeAlias

from kiosk.core.catalogue.people import Person
from kiosk.core.checks.independence import Pair, SecondCheck
from kiosk.core.findings import Finding, Refusal
from kiosk.flow.keeping_drugs import DrugList, Wanted
from kiosk.flow.keeping_forgetting import ForgettingOffice
from kiosk.flow.keeping_house import HouseAsked, HouseEntry
from kiosk.flow.keeping_policy import PolicyOffice
from kiosk.flow.ports import People, Printed, Recorded
from kiosk.flow.stock_desk import StockDesk
from kiosk.flow.stock_keeping import StockRoom

Answer: TypeAlias = Person | Refusal


@dataclass(frozen=True, slots=True)
class NewPerson:
    """A person with the badge and the PIN to begin with."""

    person: Person
    badge: str
    pin: str


@dataclass(frozen=True, slots=True)
class LockedBadge:
    """A badge locked after too many wrong PINs, and whose it is; empty when nobody's."""

    person: str
    since: datetime


class StaffOffice(Protocol):
    """The keeper's acts on people, each on record before it counts. ``by`` is who acts, a person id."""

    def needs_first_keeper(self) -> bool:
        """Say whether nobody can keep this counter yet."""
        ...

    def set_up(self, first: NewPerson, now: datetime) -> Answer:
        """Enrol the first keeper, once."""
        ...

    def enrol(self, by: str, new: NewPerson, now: datetime) -> Answer:
        """Take a person on."""
        ...

    def change(self, by: str, person: Person, now: datetime) -> Answer:
        """Change a person's name, initials, roles or training."""
        ...

    def leave(self, by: str, person_id: str, now: datetime) -> Answer:
        """A person no longer works here."""
        ...

    def change_pin(self, person_id: str, old: str, new: str, now: datetime) -> Answer:
        """Change one's own PIN."""
        ...

    def new_pin(self, by: str, person_id: str, pin: str, now: datetime) -> Answer:
        """Give a person a new PIN, typed by that person."""
        ...

    def new_badge(self, by: str, person_id: str, badge: str, now: datetime) -> Answer:
        """End a badge and give out another; an empty one while there is none."""
        ...

    def release(self, by: str, person_id: str, now: datetime) -> Answer:
        """Let a locked badge be tried again."""
        ...

    def locked(self) -> Sequence[LockedBadge]:
        """Return the locked badges, longest first."""
        ...


@dataclass(frozen=True, slots=True)
class RowChange:
    """What one row of a list would do: ``kind`` as in ``keeping.change``; cells are column, before, after."""

    id: str
    kind: str
    cells: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ListTried:
    """A list read to its end and taken in by nobody yet; ``kind`` is ``staff`` or ``drugs``.

    With ``troubles`` it cannot be taken in. For taking in, ``rows`` are the people that a staff list names,
    and ``wanted`` the entries that a drug list would change.
    """

    file: str
    rows: tuple[NewPerson, ...] = ()
    changes: tuple[RowChange, ...] = ()
    troubles: tuple[Refusal, ...] = ()
    kind: str = "staff"
    wanted: tuple[Wanted, ...] = ()

    def how_many(self, kind: str) -> int:
        """Return how many rows would do this."""
        return sum(change.kind == kind for change in self.changes)


class StaffLists(Protocol):
    """Lists of staff and of drugs that wait in the counter's inbox folder."""

    def waiting(self) -> Sequence[str]:
        """Return the names of the files that may be lists."""
        ...

    def dry_run(self, by: str, file: str, now: datetime) -> ListTried:
        """Read one and compare it with what is there; write nothing."""
        ...

    def take_in(self, by: str, tried: ListTried, now: datetime) -> Refusal | None:
        """Take a tried list in whole and put its file away without its PINs; or say why not."""
        ...

    def give_out_drugs(self, now: datetime) -> str | Refusal:
        """Write the drug list as it is in force into the outbox and return its name."""
        ...


@dataclass(frozen=True, slots=True)
class Asked:
    """What is looked for; empty parts do not matter, all others must hold together.

    ``patient`` is an id, a number, or part of a name; ``drug``, ``lot`` and ``person`` are exact ids.
    ``since`` counts, ``until`` no longer does.
    """

    patient: str = ""
    drug: str = ""
    lot: str = ""
    person: str = ""
    since: datetime | None = None
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """One syringe. Patient name and number read ``erased`` once they are; empty people were not needed."""

    preparation: str
    code: str
    order: str
    patient: str
    patient_number: str
    drug: str
    lots: tuple[str, ...]
    preparer: str
    checker: str
    witness: str
    opened_at: datetime
    ended_at: datetime | None
    outcome: str


@dataclass(frozen=True, slots=True)
class Broken:
    """A place that does not hold. ``seq`` 0 is the file as a whole; ``how`` as in ``record.how``."""

    seq: int
    how: str
    detail: str


@dataclass(frozen=True, slots=True)
class Verified:
    """What reading the whole record found. ``sealed`` is the last entry that a kept seal vouches for."""

    entries: int
    sealed: int
    breaks: tuple[Broken, ...] = ()
    stopped: bool = False


@dataclass(frozen=True, slots=True)
class ChecksReport:
    """Second checks since a moment, as the record has them: each, by pair, and signs that some were none."""

    since: datetime
    checks: tuple[SecondCheck, ...]
    pairs: tuple[Pair, ...]
    signs: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Sealed:
    """A seal just made: on which entry, its one line of text, how its slip came out, where it is exported."""

    seq: int
    at: datetime
    text: str
    printed: Printed
    file: str


Told: TypeAlias = Callable[[int, int], bool]
"""Told how many entries of how many were read; answers whether to go on."""


class RecordOffice(Protocol):
    """The record, to look things up in and to prove."""

    def search(self, asked: Asked) -> Sequence[Found]:
        """Return the syringes asked for, latest first."""
        ...

    def by_code(self, code: str) -> Found | None:
        """Return the syringe whose label carries this code."""
        ...

    def drugs(self) -> Sequence[str]:
        """Return the ids of the drugs that syringes were made of."""
        ...

    def drug_name(self, drug_id: str) -> str:
        """Return the name of a drug as labels write it; the id where it is not stocked any more."""
        ...

    def days(self, now: datetime) -> Sequence[tuple[date, int]]:
        """Return the days up to now on which syringes were begun and how many, latest first."""
        ...

    def entries(self, preparation: str) -> Sequence[Recorded]:
        """Return every entry of one syringe, oldest first."""
        ...

    def verify(self, told: Told, slips: Sequence[str] = ()) -> Verified:
        """Read and prove the whole record, against the text of seals from slips too."""
        ...

    def seal(self, now: datetime) -> Sealed | None:
        """Seal the record as it stands, print the slip and export it; None while it is empty."""
        ...

    def export(self, found: Sequence[Found], now: datetime) -> str | Refusal:
        """Write syringes as CSV and JSON into the counter's outbox and return the name they have there."""
        ...

    def sheet(self, preparation: str) -> str | Refusal:
        """Write the one-page record of a syringe into the outbox as PDF and return its name."""
        ...

    def house(self, asked: HouseAsked) -> Sequence[HouseEntry]:
        """Return the entries of no syringe that are asked for, latest first."""
        ...

    def house_days(self, now: datetime) -> Sequence[tuple[date, int]]:
        """Return the days up to now with entries of no syringe and how many, latest first."""
        ...

    def second_checks(self, since: datetime) -> ChecksReport:
        """Return how the second checks made since then were made, and what looks like rubber-stamping."""
        ...

    def export_checks(self, report: ChecksReport, now: datetime) -> str | Refusal:
        """Write a report on second checks as CSV and JSON into the outbox; return the names there."""
        ...


@dataclass(frozen=True, slots=True)
class Offices:
    """What stands behind the keeper's desk of one counter."""

    staff: StaffOffice
    lists: StaffLists
    record: RecordOffice
    stock: StockRoom
    stock_desk: StockDesk
    policies: PolicyOffice
    drugs: DrugList
    forgetting: ForgettingOffice


def free_id(people: People, initials: str) -> str:
    """Return an id that nobody has or ever had: the initials and the first number that is free."""
    stem = "".join(letter for letter in initials.upper() if letter.isascii() and letter.isalnum()) or "P"
    return next(f"{stem}{n}" for n in count(1) if people.person(f"{stem}{n}") is None)
