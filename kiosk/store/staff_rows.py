"""The rows of people, badges and PINs, each under the counter's mark, and the check of that mark."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final

from kiosk.core.catalogue.people import Person, Role
from kiosk.flow.ports import RecordTrouble
from kiosk.store import codec, prepared
from kiosk.store.connection import Row, Writing
from kiosk.store.entry import moment_text
from kiosk.store.keys import Keys

TABLES: Final = {
    "people": prepared.EVERY_PERSON,
    "badges": prepared.EVERY_BADGE,
    "pins": prepared.EVERY_PIN,
}


def person_row(keys: Keys, person: Person, left_at: datetime | None = None) -> dict[str, Any]:
    """Return the row of a person."""
    return _marked(
        keys,
        {
            "id": person.id,
            "name": person.name,
            "initials": person.initials,
            "roles": codec.to_text(sorted(role.value for role in person.roles)),
            "trainee": int(person.trainee),
            "left_at": moment_text(left_at) if left_at else None,
        },
    )


def pin_row(keys: Keys, person_id: str, hashed: str, now: datetime) -> dict[str, Any]:
    """Return the row of a PIN."""
    return _marked(keys, {"person": person_id, "hash": hashed, "changed_at": moment_text(now)})


def issue_badge(writing: Writing, keys: Keys, person_id: str, digest: str, now: datetime) -> None:
    """Give a person a badge that nobody had before; an earlier one ends, earlier tries are forgotten."""
    end_badge(writing, keys, person_id, now)
    row = {"digest": digest, "person": person_id, "issued_at": moment_text(now), "ended_at": None}
    writing.execute(prepared.PUT_BADGE, _marked(keys, row))
    writing.execute(prepared.FORGET_TRIES, {"which": digest})


def end_badge(writing: Writing, keys: Keys, person_id: str, now: datetime) -> None:
    """End the badge a person has, if any."""
    row = writing.execute(prepared.BADGE_OF, {"person": person_id}).fetchone()
    if row is not None:
        writing.execute(prepared.PUT_BADGE, _marked(keys, dict(row) | {"ended_at": moment_text(now)}))


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
