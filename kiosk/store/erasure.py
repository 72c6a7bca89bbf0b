"""Forgetting who a patient was, without touching the chain.

The identifiers and the salt of every reference to the patient go; the references stay and lead nowhere.
The patient's list entry and waiting orders go too. Freed bytes are overwritten and the write-ahead log is
emptied, so that the name is in no file of the counter any more; older backups are the site's to destroy.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from kiosk.core.findings import Refusal
from kiosk.core.preparation.house_events import PatientErased
from kiosk.store import identities, prepared
from kiosk.store.connection import Database
from kiosk.store.entry import moment_text
from kiosk.store.ledger import Ledger


def erase_patient(
    database: Database, ledger: Ledger, patient_id: str, by: str, reason: str, now: datetime
) -> PatientErased | Refusal:
    """Erase a patient's identifiers for good, and record that it was done, not whose they were.

    Refusals: ``unknown_patient``, ``patient_has_open_syringe``. Raises ``RecordTrouble``.
    """
    refs = [row["ref"] for row in database.rows(prepared.SEEN_OF_ID, {"id": patient_id})]
    if not refs and database.row(prepared.PATIENTS_BY_ID, {"id": patient_id}) is None:
        return Refusal("unknown_patient")
    if database.row(prepared.OPEN_OF_PATIENT, {"id": patient_id}):
        return Refusal("patient_has_open_syringe")
    known = [identities.Identities(database).of_ref(ref) for ref in refs]
    for identity in known:
        reason = identities.blanked(reason, identity) if identity else reason
    event = PatientErased(by, tuple(refs), reason)
    with ledger.noting(now) as noted:
        for ref in refs:
            noted.writing.execute(prepared.ERASE_SEEN, {"which": ref, "erased_at": moment_text(now)})
        noted.writing.execute(prepared.FORGET_ORDERS, {"id": patient_id})
        noted.writing.execute(prepared.FORGET_PATIENT, {"id": patient_id})
        noted.events.append(event)
    database.row("PRAGMA wal_checkpoint(TRUNCATE)")
    return event


def past_retention(database: Database, before: datetime) -> Sequence[str]:
    """Return the ids of patients whose last syringe ended before a moment, by the site's retention."""
    rows = database.rows(prepared.SEEN_LAST_BEFORE, {"before": moment_text(before)})
    return [row["id"] for row in rows]
