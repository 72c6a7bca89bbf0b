"""The rows of people, badges and PINs, each under the counter's mark, and the check of that mark."""

from __future__ import annotations

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
from kiosk.store import codec, prepared
from kiosk.store.connection import Row, Writing
from kiosk.store.entry import moment_text
from kiosk.store.keys import Keys
from kiosk.store.marked_rows import SHOWN_OF_BADGE, SHOWN_OF_MARK, believe, marked
from kiosk.store.tries import forget_tries

TABLES: Final = {
    "people": prepared.EVERY_PERSON,
    "badges": prepared.EVERY_BADGE,
    "pins": prepared.EVERY_PIN,
}


def put_person(
    writing: Writing, keys: Keys, by: str, person: Person, what: str, left_at: datetime | None = None
) -> HouseEvent:
    """Write the row of a person who ``came``, ``changed`` or ``left``; return the entry that says so."""
    row = marked(keys, person_row(person, left_at))
    writing.execute(prepared.PUT_PERSON, row)
    roles = tuple(sorted(role.value for role in person.roles))
    return StaffChanged(by, person.id, what, roles, person.trainee, row["mark"][:SHOWN_OF_MARK])


def put_pin(writing: Writing, keys: Keys, by: str, person_id: str, hashed: str, now: datetime) -> HouseEvent:
    """Write a PIN already hashed; return the entry that says so."""
    row = marked(keys, {"person": person_id, "hash": hashed, "changed_at": moment_text(now)})
    writing.execute(prepared.PUT_PIN, row)
    return PinChanged(by, person_id, row["mark"][:SHOWN_OF_MARK])


def issue_badge(
    writing: Writing, keys: Keys, by: str, person_id: str, digest: str, now: datetime
) -> list[HouseEvent]:
    """Give a person a badge nobody had before, in place of the one they have; return the entries."""
    ended = end_badge(writing, keys, by, person_id, "replaced", now)
    row = {"digest": digest, "person": person_id, "issued_at": moment_text(now), "ended_at": None}
    written = marked(keys, row)
    writing.execute(prepared.PUT_BADGE, written)
    forget_tries(writing, keys, digest, now)
    issued = BadgeIssued(by, person_id, digest[:SHOWN_OF_BADGE], written["mark"][:SHOWN_OF_MARK])
    return [*ended, issued]


def end_badge(
    writing: Writing, keys: Keys, by: str, person_id: str, why: str, now: datetime
) -> list[HouseEvent]:
    """End the badge a person has; return the entry that says so, or none where there was no badge."""
    old = writing.execute(prepared.BADGE_OF, {"person": person_id}).fetchone()
    if old is None:
        return []
    row = marked(keys, dict(old) | {"ended_at": moment_text(now)})
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
        roles=codec.read(frozenset[Role], codec.from_text(row["roles"])),
        trainee=bool(row["trainee"]),
    )
