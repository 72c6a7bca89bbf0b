"""The keeper's acts on people: enrol, change, release, and what people do about their own PIN.

Every act is an entry of the ledger, in the same transaction. Each answers the person or a ``Refusal``; all
that hash or check a PIN are slow on purpose and belong off the interface thread.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import TypeAlias

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation.house_events import HouseEvent, Released
from kiosk.flow.keeping import Answer, LockedBadge, NewPerson
from kiosk.store import prepared
from kiosk.store.codec import moment
from kiosk.store.connection import Database, Writing
from kiosk.store.keys import Keys
from kiosk.store.ledger import Ledger
from kiosk.store.people import People
from kiosk.store.pins import pin_hash, pin_trouble
from kiosk.store.policy import SignOnPolicy
from kiosk.store.staff_rows import end_badge, issue_badge, put_person, put_pin
from kiosk.store.tries import forget_tries

_Act: TypeAlias = Callable[[Writing], Iterable[HouseEvent]]


class Staff:
    """Changes the staff list. Who acts is named by id; all but a change of one's own PIN is a keeper's."""

    def __init__(self, database: Database, ledger: Ledger, people: People, keys: Keys) -> None:
        self._database = database
        self._ledger = ledger
        self._people = people
        self._keys = keys

    @property
    def _policy(self) -> SignOnPolicy:
        """How PINs are judged at this counter now."""
        return self._people.policy

    def needs_first_keeper(self) -> bool:
        """Say whether nobody can keep this counter yet: the first-time set-up is due."""
        return self._other_keepers("") == 0

    def set_up(self, first: NewPerson, now: datetime) -> Answer:
        """Enrol the first keeper, once, with a PIN of their own choosing. There is no default PIN."""
        if not self.needs_first_keeper():
            return Refusal("set_up_already_done")
        if Role.KEEPER not in first.person.roles:
            return Refusal("first_must_be_keeper")
        return self._enrol(first.person.id, first, now)

    def enrol(self, by: str, new: NewPerson, now: datetime) -> Answer:
        """Take a person on, or back: list, badge and first PIN."""
        return self._not_keeper(by) or self._enrol(by, new, now)

    def change(self, by: str, person: Person, now: datetime) -> Answer:
        """Change a person's name, initials, roles or training; the last keeper stays one."""
        if refusal := self._not_keeper(by) or self._not_here(person.id):
            return refusal
        if Role.KEEPER not in person.roles and self._other_keepers(person.id) == 0:
            return Refusal("last_keeper")
        self._do(now, self._put(by, person, "changed"))
        return person

    def leave(self, by: str, person_id: str, now: datetime) -> Answer:
        """A person no longer works here: the badge ends, the name stays readable."""
        if refusal := self._not_keeper(by) or self._not_here(person_id):
            return refusal
        person = self._people.person(person_id)
        if person is None or self._other_keepers(person_id) == 0:
            return Refusal("last_keeper")
        self._do(now, self._end_badge(by, person_id, "left", now), self._put(by, person, "left", now))
        return person

    def change_pin(self, person_id: str, old: str, new: str, now: datetime) -> Answer:
        """Change one's own PIN; the old one is judged and counted like a sign-on."""
        if trouble := pin_trouble(new, self._policy):
            return trouble
        if old == new:
            return Refusal("pin_same")
        badge = self._database.row(prepared.BADGE_OF, {"person": person_id})
        if badge is None:
            return Refusal("no_badge")
        answer = self._people.judge(badge["digest"], old, now)
        return answer if isinstance(answer, Refusal) else self._set_pin(person_id, answer, new, now)

    def new_pin(self, by: str, person_id: str, pin: str, now: datetime) -> Answer:
        """Give a person who forgot it a new PIN, typed by that person, with the keeper beside them."""
        if refusal := self._not_keeper(by) or self._not_here(person_id) or pin_trouble(pin, self._policy):
            return refusal
        person = self._people.person(person_id)
        assert person is not None
        return self._set_pin(by, person, pin, now)

    def new_badge(self, by: str, person_id: str, badge: str, now: datetime) -> Answer:
        """End a lost badge at once; ``badge`` is the new one, or empty while there is none."""
        if refusal := self._not_keeper(by) or self._not_here(person_id) or self._badge_taken(badge):
            return refusal
        acts = [self._end_badge(by, person_id, "lost", now)]
        if badge:
            acts.append(self._issue(by, person_id, badge, now))
        self._do(now, *acts)
        return self._people.person(person_id) or Refusal("unknown_person")

    def release(self, by: str, person_id: str, now: datetime) -> Answer:
        """Let a locked badge be tried again."""
        if refusal := self._not_keeper(by) or self._not_here(person_id):
            return refusal
        rows = self._database.rows(prepared.BADGES_OF, {"person": person_id})

        def released(writing: Writing) -> Iterable[HouseEvent]:
            for row in rows:
                forget_tries(writing, self._keys, row["digest"], now)
            return [Released(by, person_id)]

        self._do(now, released)
        return self._people.person(person_id) or Refusal("unknown_person")

    def locked(self) -> Sequence[LockedBadge]:
        """Return the locked badges, longest first."""
        rows = self._database.rows(prepared.LOCKED_BADGES)
        return [LockedBadge(row["person"] or "", moment(row["locked_at"])) for row in rows]

    def _enrol(self, by: str, new: NewPerson, now: datetime) -> Answer:
        """Write a person with badge and PIN."""
        person = new.person
        if refusal := self._badge_taken(new.badge) or pin_trouble(new.pin, self._policy):
            return refusal
        if not new.badge:
            return Refusal("no_badge")
        self._do(
            now,
            self._put(by, person, "came"),
            self._issue(by, person.id, new.badge, now),
            self._pin(by, person.id, new.pin, now),
        )
        return person

    def _set_pin(self, by: str, person: Person, pin: str, now: datetime) -> Answer:
        """Write a PIN."""
        self._do(now, self._pin(by, person.id, pin, now))
        return person

    def _do(self, now: datetime, *acts: _Act) -> None:
        """Make the changes and their entries in one transaction."""
        with self._ledger.noting(now) as noted:
            noted.events += [event for act in acts for event in act(noted.writing)]

    def _put(self, by: str, person: Person, what: str, left_at: datetime | None = None) -> _Act:
        """Return the act that writes a person."""
        return lambda writing: [put_person(writing, self._keys, by, person, what, left_at)]

    def _pin(self, by: str, person_id: str, pin: str, now: datetime) -> _Act:
        """Return the act that writes a PIN, hashed before the database is taken."""
        hashed = pin_hash(self._keys.peppered(pin), self._policy.cost)
        return lambda writing: [put_pin(writing, self._keys, by, person_id, hashed, now)]

    def _issue(self, by: str, person_id: str, badge: str, now: datetime) -> _Act:
        """Return the act that gives a new badge."""
        digest = self._keys.badge_digest(badge)
        return lambda writing: issue_badge(writing, self._keys, by, person_id, digest, now)

    def _end_badge(self, by: str, person_id: str, why: str, now: datetime) -> _Act:
        """Return the act that ends a person's badge."""
        return lambda writing: end_badge(writing, self._keys, by, person_id, why, now)

    def _other_keepers(self, but: str) -> int:
        """Return how many keepers there are besides one."""
        row = self._database.row(prepared.OTHER_KEEPERS, {"but": but})
        return int(row[0]) if row else 0

    def _not_keeper(self, by: str) -> Refusal | None:
        """Return a refusal unless a keeper acts."""
        row = self._database.row(prepared.PERSON, {"id": by})
        keeper = row is not None and row["left_at"] is None and '"keeper"' in row["roles"]
        return None if keeper else Refusal("keeper_only")

    def _not_here(self, person_id: str) -> Refusal | None:
        """Return a refusal unless the person works here."""
        row = self._database.row(prepared.PERSON, {"id": person_id})
        here = row is not None and row["left_at"] is None
        return None if here else Refusal("unknown_person", {"person": person_id})

    def _badge_taken(self, badge: str) -> Refusal | None:
        """Return a refusal for a badge that was ever given out: a lost one never comes back."""
        row = self._database.row(prepared.BADGE, {"digest": self._keys.badge_digest(badge)})
        return Refusal("badge_taken") if badge and row is not None else None
