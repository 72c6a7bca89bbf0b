"""Taking in a staff list: all of it or none, by a keeper, never so that the counter is left without one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from kiosk.core.catalogue.people import Role
from kiosk.core.findings import Refusal
from kiosk.flow.keeping import NewPerson
from kiosk.store import prepared
from kiosk.store.opening import Store
from kiosk.store.pins import pin_trouble


def take_in_staff(store: Store, by: str, rows: Sequence[NewPerson], now: datetime) -> Refusal | None:
    """Take in people with their badges and PINs; an empty badge or PIN leaves what there is.

    Slow where PINs are given: each is hashed. Refusals: ``keeper_only``, ``last_keeper``, ``badge_taken``,
    those of a new PIN. Raises ``RecordTrouble``.
    """
    if refusal := _not_keeper(store, by) or _no_keeper_left(store, rows) or _row_trouble(store, rows):
        return refusal
    with store.importing(by, now) as taken:
        taken.people((row.person, row.badge, row.pin) for row in rows)
    return None


def _not_keeper(store: Store, by: str) -> Refusal | None:
    """Return a refusal unless a keeper acts."""
    keepers = {person.id for person in store.people.everybody() if Role.KEEPER in person.roles}
    return None if by in keepers else Refusal("keeper_only")


def _no_keeper_left(store: Store, rows: Sequence[NewPerson]) -> Refusal | None:
    """Return a refusal when the list takes the last keeper's role away."""
    after = {person.id: person for person in store.people.everybody()}
    after |= {row.person.id: row.person for row in rows}
    kept = any(Role.KEEPER in person.roles for person in after.values())
    return None if kept else Refusal("last_keeper")


def _row_trouble(store: Store, rows: Sequence[NewPerson]) -> Refusal | None:
    """Return the first badge that another person has or ever had, or PIN that will not do."""
    for row in rows:
        if row.badge and not _theirs(store, row):
            return Refusal("badge_taken")
        if row.pin and (trouble := pin_trouble(row.pin, store.people.policy)):
            return trouble
    return None


def _theirs(store: Store, row: NewPerson) -> bool:
    """Say whether a badge is new, or this person's own and still good."""
    kept = store.database.row(prepared.BADGE, {"digest": store.keys.badge_digest(row.badge)})
    return kept is None or (kept["person"] == row.person.id and kept["ended_at"] is None)
