"""The rows of people, badges and PINs, each under the counter's mark, and the check of that mark."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.preparation.house_events import (
    BadgeEnded,
    BadgeIssued,
    HouseEvent,
    PinChanged,
    StaffChanged,
)
from kiosk.flow.ports import RecordTrouble
from kiosk.store import codec, prepared
from kiosk.store.connection import Row, Writing
from kiosk.store.entry import moment_text
from kiosk.store.keys import Keys

SHOWN_OF_BADGE: Final = 12
SHOWN_OF_MARK: Final = 16

TABLES: Final = {
    "people": prepared.EVERY_PERSON,
    "badges": prepared.EVERY_BADGE,
    "pins": prepared.EVERY_PIN,
}


def put_person(
    writing: Writing, keys: Keys, by: str, person: Person, what: str, left_at: datetime | None = None
) -> HouseEvent:
    """Write the row of a person who ``came``, ``changed`` or ``left``; return the entry that says so."""
    row = _marked(keys, person_row(person, left_at))
    writing.execute(prepared.PUT_PERSON, row)
    roles = tuple(sorted(role.value for role in person.roles))
    return StaffChanged(by, person.id, what, roles, person.trainee, row["mark"][:SHOWN_OF_MARK])


def put_pin(writing: Writing, keys: Keys, by: str, person_id: str, hashed: str, now: datetime) -> HouseEvent:
    """Write a PIN already hashed; return the entry that says so."""
    row = _marked(keys, {"person": person_id, "hash": hashed, "changed_at": moment_text(now)})
    writing.execute(prepared.PUT_PIN, row)
    return PinChanged(by, person_id, row["mark"][:SHOWN_OF_MARK])


def issue_badge(
    writing: Writing, keys: Keys, by: str, person_id: str, digest: str, now: datetime
) -> list[HouseEvent]:
    """Give a person a badge nobody had before, in place of the one they have; return the entries."""
    ended = end_badge(writing, keys, by, person_id, "replaced", now)
    row = {"digest": digest, "person": person_id, "issued_at": moment_text(now), "ended_at": None}
    marked = _marked(keys, row)
    writing.execute(prepared.PUT_BADGE, marked)
    writing.execute(prepared.FORGET_TRIES, {"which": digest})
    issued = BadgeIssued(by, person_id, digest[:SHOWN_OF_BADGE], marked["mark"][:SHOWN_OF_MARK])
    return [*ended, issued]


def end_badge(
    writing: Writing, keys: Keys, by: str, person_id: str, why: str, now: datetime
) -> list[HouseEvent]:
    """End the badge a person has; return the entry that says so, or none where there was no badge."""
    old = writing.execute(prepared.BADGE_OF, {"person": person_id}).fetchone()
    if old is None:
        return []
    row = _marked(keys, dict(old) | {"ended_at": moment_text(now)})
    writing.execute(prepared.PUT_BADGE, row)
    shown = row["digest"][:SHOWN_OF_BADGE]
    return [BadgeEnded(by, person_id, why, shown, row["mark"][:SHOWN_OF_MARK])]


def person_row(person: Person, left_at: datetime | None = None) -> dict[str, Any]:
    """Return the row of a person, unmarked."""
    return {
        "id": person.id,
        "name": person.name,
        "initials": person.initials,
        "roles": codec.to_text(sorted(role.value for role in person.roles)),
        "trainee": int(person.trainee),
        "left_at": moment_text(left_at) if left_at else None,
    }


def person_of(keys: Keys, row: Row) -> Person:
    """Return a person from a row. Raises ``RecordTrouble`` for a row another hand wrote."""
    believe(keys, row)
    return Person(
        id=row["id"],
        name=row["name"],
        initials=row["initials"],
        roles=frozenset(Role(role) for role in codec.from_text(row["roles"])),
        trainee=bool(row["trainee"]),
    )


def believe(keys: Keys, row: Row) -> None:
    """Raise ``RecordTrouble`` unless a row of people, badges or PINs carries the counter's mark."""
    if not is_ours(keys, dict(row)):
        raise RecordTrouble("damaged", "the staff list was changed by another hand")


def is_ours(keys: Keys, row: Mapping[str, Any]) -> bool:
    """Say whether a row carries the counter's mark."""
    return bool(row["mark"] == _mark(keys, row))


def _marked(keys: Keys, row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a row with the counter's mark on it."""
    return dict(row) | {"mark": _mark(keys, row)}


def _mark(keys: Keys, row: Mapping[str, Any]) -> str:
    """Return the mark of a row: over the names and values of all its other columns."""
    return keys.mark(*(f"{name}={row[name]!r}" for name in sorted(row) if name != "mark"))
