"""Forgetting who a patient was, without touching the chain.

The identifiers and the salt of every reference to the patient go; the references stay and lead nowhere.
The patient's list entry and old orders go too. Freed bytes are overwritten and the write-ahead log is
emptied, so that the name is in no file of the database any more; older backups are the site's to destroy.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Final

from kiosk.core.catalogue.retention import Retention
from kiosk.core.findings import Refusal
from kiosk.core.preparation.house_events import PatientErased, RetentionApplied
from kiosk.flow.keeping_forgetting import KnownPatient
from kiosk.store import codec, identities, prepared
from kiosk.store.codec import moment
from kiosk.store.connection import Database, Row
from kiosk.store.entry import moment_text
from kiosk.store.ledger import Ledger
from kiosk.store.lists import Counts
from kiosk.store.lists_agreement import list_changed
from kiosk.store.marked_rows import SHOWN_OF_BADGE

# An order so long past its time is no longer waited for. Source: check_policy.csv, ``due_other_day``.
_OVER: Final = timedelta(days=1)
KEPT_LONG_ENOUGH: Final = "kept long enough"


def erase_patient(
    database: Database, ledger: Ledger, patient_id: str, by: str, reason: str, now: datetime
) -> PatientErased | Refusal:
    """Erase a patient's identifiers for good, and record that it was done, not whose they were.

    Refusals: ``unknown_patient``, ``patient_has_open_syringe``, ``patient_has_open_order``. Raises
    ``RecordTrouble``.
    """
    refs = [row["ref"] for row in database.rows(prepared.SEEN_OF_ID, {"id": patient_id})]
    if refusal := _not_yet(database, patient_id, refs, now):
        return refusal
    known = [identities.Identities(database).of_ref(ref) for ref in refs]
    for identity in known:
        reason = identities.blanked(reason, identity) if identity else reason
    event, who = PatientErased(by, tuple(refs), reason), {"id": patient_id}
    with ledger.noting(now) as noted:
        for ref in refs:
            noted.writing.execute(prepared.ERASE_SEEN, {"which": ref, "erased_at": moment_text(now)})
        off = {
            "orders": Counts(removed=noted.writing.execute(prepared.FORGET_ORDERS, who).rowcount),
            "patients": Counts(removed=noted.writing.execute(prepared.FORGET_PATIENT, who).rowcount),
        }
        noted.events.append(event)
        noted.events += [
            list_changed(noted.writing, by, name, counts) for name, counts in off.items() if counts.removed
        ]
    database.row("PRAGMA wal_checkpoint(TRUNCATE)")
    return event


def _not_yet(database: Database, patient_id: str, refs: Sequence[str], now: datetime) -> Refusal | None:
    """Say why a patient cannot be forgotten now, if so."""
    if not refs and database.row(prepared.PATIENTS_BY_ID, {"id": patient_id}) is None:
        return Refusal("unknown_patient")
    if database.row(prepared.OPEN_OF_PATIENT, {"id": patient_id}):
        return Refusal("patient_has_open_syringe")
    after = {"id": patient_id, "after": moment_text(now - _OVER)}
    if waiting := database.rows(prepared.OPEN_ORDERS_OF_PATIENT, after):
        return Refusal("patient_has_open_order", {"count": len(waiting)})
    return None


def known_patients(database: Database) -> Sequence[KnownPatient]:
    """Return every patient that the record or the lists still name and who has no syringe open."""
    made = {row["id"]: _known(row) for row in database.rows(prepared.SEEN_LAST)}
    open_now = {row["id"] for row in database.rows(prepared.SEEN_OPEN)}
    for row in database.rows(prepared.LISTED_LAST):
        if row["id"] in open_now:
            continue
        seen, listed = made.get(row["id"]), _listed(row)
        made[row["id"]] = seen if seen is not None and seen.last >= listed.last else _with(seen, listed)
    return sorted(made.values(), key=lambda one: (one.name, one.id))


def _known(row: Row) -> KnownPatient:
    """Return a patient whom the record names."""
    born, last = date.fromisoformat(row["born"]), moment(row["last"])
    return KnownPatient(row["id"], row["name"], row["number"], born, last, row["syringes"])


def _listed(row: Row) -> KnownPatient:
    """Return a patient whom an order names, needed until it was due."""
    born = date.fromisoformat(codec.from_text(row["body"])["born"])
    return KnownPatient(row["id"], row["name"], row["number"], born, moment(row["last"]), 0)


def _with(seen: KnownPatient | None, listed: KnownPatient) -> KnownPatient:
    """Return a patient as listed, with the syringes that the record knows."""
    syringes = seen.syringes if seen is not None else 0
    return KnownPatient(listed.id, listed.name, listed.number, listed.born, listed.last, syringes)


def past_retention(database: Database, figures: Retention, now: datetime) -> Sequence[KnownPatient]:
    """Return the patients whose identifiers are due to be erased, by the site's retention."""
    today = now.date()
    return [
        one
        for one in known_patients(database)
        if figures.forgotten_from(one.last.astimezone(now.tzinfo).date(), one.born) <= today
    ]


def past_tries(database: Database, figures: Retention, now: datetime) -> Sequence[str]:
    """Return the digests of badges, none of them locked, whose last wrong try is long past."""
    before = {"before": moment_text(figures.tries_before(now))}
    return [row["digest"] for row in database.rows(prepared.OLD_TRIES, before)]


def apply_retention(
    database: Database,
    ledger: Ledger,
    patients: Sequence[str],
    tries: Sequence[str],
    papers: int,
    by: str,
    now: datetime,
) -> RetentionApplied:
    """Erase these patients and forget these tries, and record it; a patient just taken up again is spared.

    Raises ``RecordTrouble``; then what was erased until then is on record.
    """
    answers = [erase_patient(database, ledger, one, by, KEPT_LONG_ENOUGH, now) for one in patients]
    erased = sum(isinstance(answer, PatientErased) for answer in answers)
    event = RetentionApplied(by, erased, papers, tuple(digest[:SHOWN_OF_BADGE] for digest in tries))
    with ledger.noting(now) as noted:
        for digest in tries:
            noted.writing.execute(prepared.CLEAR_TRIES, {"which": digest})
            noted.writing.execute(prepared.FORGET_TRIES, {"which": digest})
        noted.events.append(event)
    return event
