"""Who works here, and the proof that it is they: badge and PIN.

A refusal never tells which part was wrong. A badge nobody holds is counted, slowed and locked exactly
like one that somebody holds, and its PIN takes as long to check.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from kiosk.core.catalogue.people import Person
from kiosk.core.findings import Refusal
from kiosk.core.preparation.house_events import SignedOff, SignedOn, SignOnRefused
from kiosk.store import prepared
from kiosk.store.codec import moment
from kiosk.store.connection import Database, Row, Writing
from kiosk.store.keys import Keys
from kiosk.store.ledger import Ledger
from kiosk.store.marked_rows import SHOWN_OF_BADGE, believe
from kiosk.store.pins import pin_fits
from kiosk.store.policy import SignOnPolicy
from kiosk.store.staff_rows import person_of
from kiosk.store.tries import forget_tries, put_tries, read_tries


@dataclass(frozen=True, slots=True)
class _Try:
    """One try as counted before it is judged: which in a row, and what it is judged by."""

    digest: str
    failures: int
    locked: bool
    person: Person | None
    stored: str | None


class People:
    """Reads the staff list and judges sign-ons. Safe to use from several threads."""

    def __init__(self, database: Database, ledger: Ledger, keys: Keys, policy: SignOnPolicy) -> None:
        self._database = database
        self._ledger = ledger
        self._keys = keys
        self.policy = policy

    def person(self, person_id: str) -> Person | None:
        """Return a person by id, also one who has left."""
        row = self._database.row(prepared.PERSON, {"id": person_id})
        return person_of(self._keys, row) if row else None

    def by_badge(self, badge: str) -> Person | None:
        """Return whose badge this is, without saying anything about a PIN."""
        row = self._database.row(prepared.PERSON_OF_BADGE, {"digest": self._keys.badge_digest(badge)})
        return person_of(self._keys, row) if row else None

    def everybody(self) -> Sequence[Person]:
        """Return all who work here now, by name."""
        return [person_of(self._keys, row) for row in self._database.rows(prepared.EVERYBODY)]

    def sign_on(self, badge: str, pin: str, now: datetime) -> Person | Refusal:
        """Check badge and PIN (slow on purpose: call it off the interface thread).

        Refusals: ``sign_on_refused``, ``sign_on_wait`` (with ``seconds``), ``sign_on_locked``. Raises
        ``RecordTrouble``.
        """
        return self.judge(self._keys.badge_digest(badge), pin, now)

    def sign_off(self, person_id: str, why: str, now: datetime) -> None:
        """Record that a person signed off: ``asked``, ``idle``, ``handed over`` or ``stopped``."""
        self._ledger.note([SignedOff(person_id, why)], now)

    def judge(self, digest: str, pin: str, now: datetime) -> Person | Refusal:
        """Count a try for the badge of this digest, then check the PIN and record what came of it."""
        counted = self._count(digest, now)
        if isinstance(counted, Refusal):
            return counted
        fits = pin_fits(self._keys.peppered(pin), counted.stored, self.policy.cost)
        if fits and counted.person is not None:
            return self._accept(counted, counted.person, now)
        return self._refuse(counted, now)

    def _count(self, digest: str, now: datetime) -> _Try | Refusal:
        """Count the try as failed before it is checked, so that no kill and no second thread can hide it."""
        with self._database.writing() as writing:
            before = read_tries(writing, self._keys, digest)
            if before is not None and (refusal := self._held_back(before, now)):
                return refusal
            failures = 1 + (before["failures"] if before else 0)
            locked = failures >= self.policy.tries
            put_tries(writing, self._keys, digest, failures, now, locked)
            row = writing.execute(prepared.PERSON_OF_BADGE, {"digest": digest}).fetchone()
            person = person_of(self._keys, row) if row else None
            return _Try(digest, failures, locked, person, self._stored(writing, digest, person))

    def _stored(self, writing: Writing, digest: str, person: Person | None) -> str | None:
        """Return the PIN hash a try is judged by, badge and PIN proved to be of the counter's own writing."""
        if person is None:
            return None
        believe(self._keys, writing.execute(prepared.BADGE, {"digest": digest}).fetchone())
        pin = writing.execute(prepared.PIN_OF, {"person": person.id}).fetchone()
        if pin is None:
            return None
        believe(self._keys, pin)
        return str(pin["hash"])

    def _held_back(self, before: Row, now: datetime) -> Refusal | None:
        """Return why this badge may not be tried now, or None."""
        if before["locked_at"] is not None:
            return Refusal("sign_on_locked")
        wait = self.policy.first_wait * 2 ** (before["failures"] - 1)
        gone = now - moment(before["last_at"])
        if timedelta() <= gone < wait:
            return Refusal("sign_on_wait", {"seconds": int((wait - gone).total_seconds()) + 1})
        return None

    def _accept(self, tried: _Try, person: Person, now: datetime) -> Person | Refusal:
        """Forget the tries and record the sign-on, unless other tries locked the badge meanwhile."""
        with self._ledger.noting(now) as noted:
            after = read_tries(noted.writing, self._keys, tried.digest)
            if after is not None and after["failures"] > tried.failures:
                return Refusal("sign_on_refused")
            forget_tries(noted.writing, self._keys, tried.digest, now)
            noted.events.append(SignedOn(person.id))
        return person

    def _refuse(self, tried: _Try, now: datetime) -> Refusal:
        """Record the failed try; where a good one let the count begin anew meanwhile, it is the first."""
        with self._ledger.noting(now) as noted:
            counted = read_tries(noted.writing, self._keys, tried.digest)
            failures, locked = tried.failures, tried.locked
            if counted is None:
                failures, locked = 1, self.policy.tries <= 1
                put_tries(noted.writing, self._keys, tried.digest, failures, now, locked)
            noted.events.append(SignOnRefused(tried.digest[:SHOWN_OF_BADGE], failures, locked))
        return Refusal("sign_on_locked" if locked else "sign_on_refused")
