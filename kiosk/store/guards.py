"""The locks inside the database: triggers that hold whatever program writes.

The ledger only grows, by one entry at a time, each naming the hash of the one before. Nobody holds two
roles on one syringe. A voucher needs its entry and the person's own reading; a label needs its entry, and
two people who vouch for the same facts where a second person is needed; see ``vouching_guards``. What ended
stays ended.

``INSERT OR REPLACE`` deletes without firing a delete trigger, so each guard stands before the insert too.
"""

from __future__ import annotations

from typing import Final

from kiosk.store.drug_guards import DRUG_GUARDS
from kiosk.store.refusing import kept as _kept
from kiosk.store.refusing import refuse as _refuse
from kiosk.store.stock_guards import STOCK_GUARDS
from kiosk.store.vouching_guards import FORM_ASKED_FOR, VOUCHING_GUARDS

_LEDGER: Final = [
    *_kept("ledger", "entries"),
    _refuse(
        "ledger_next_in_line",
        "INSERT",
        "ledger",
        "NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM ledger) "
        "OR NEW.seq <> json_extract(NEW.entry, '$.seq')",
        "an entry takes the next place",
    ),
    _refuse(
        "ledger_chained",
        "INSERT",
        "ledger",
        "json_extract(NEW.entry, '$.prev') IS NOT coalesce("
        "(SELECT hash FROM ledger ORDER BY seq DESC LIMIT 1), printf('%064d', 0))",
        "an entry names the hash of the one before",
    ),
    _refuse(
        "ledger_once",
        "INSERT",
        "ledger",
        "EXISTS (SELECT 1 FROM ledger AS old WHERE old.key = json_extract(NEW.entry, '$.key') "
        "AND old.part = json_extract(NEW.entry, '$.part'))",
        "an entry is written once",
    ),
]

_PATIENTS_SEEN: Final = [
    _refuse("patients_seen_no_delete", "DELETE", "patients_seen", "", "a reference is never deleted"),
    _refuse(
        "patients_seen_no_replace",
        "INSERT",
        "patients_seen",
        "EXISTS (SELECT 1 FROM patients_seen WHERE ref = NEW.ref)",
        "a reference stands once",
    ),
    _refuse(
        "patients_seen_only_erased",
        "UPDATE",
        "patients_seen",
        "NEW.ref <> OLD.ref OR NEW.erased_at IS NULL "
        "OR NEW.salt || NEW.id || NEW.number || NEW.name || NEW.born || NEW.place <> ''",
        "identifiers can only be erased",
    ),
]

_PREPARATIONS: Final = [
    _refuse("preparations_no_delete", "DELETE", "preparations", "", "preparations are never deleted"),
    _refuse(
        "preparations_no_replace",
        "INSERT",
        "preparations",
        "EXISTS (SELECT 1 FROM preparations WHERE id = NEW.id OR code = NEW.code "
        "OR (preparer = NEW.preparer AND ended_at IS NULL) "
        "OR (order_id = NEW.order_id AND outcome IS NOT 'discarded'))",
        "one open syringe a preparer, one syringe an order",
    ),
    _refuse(
        "preparations_kept",
        "UPDATE",
        "preparations",
        "NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.patient <> OLD.patient "
        "OR NEW.drug <> OLD.drug OR NEW.code <> OLD.code OR NEW.opened_at <> OLD.opened_at "
        "OR NEW.needs_second < OLD.needs_second OR NEW.form <> OLD.form OR OLD.ended_at IS NOT NULL",
        "what a preparation is does not change, and what ended stays ended",
    ),
    _refuse(
        "preparations_form_asked_for",
        "INSERT",
        "preparations",
        f"NEW.form <> '' AND NOT ({FORM_ASKED_FOR})",
        "a weaker form of check only where the policy on record asks for it",
    ),
    _refuse(
        "preparations_one_open",
        "UPDATE",
        "preparations",
        "NEW.ended_at IS NULL AND EXISTS (SELECT 1 FROM preparations WHERE preparer = NEW.preparer "
        "AND ended_at IS NULL AND id <> NEW.id)",
        "one open syringe a preparer",
    ),
    _refuse(
        "preparations_finished_labelled",
        "UPDATE",
        "preparations",
        "NEW.outcome = 'finished' AND NOT EXISTS (SELECT 1 FROM labels WHERE preparation = NEW.id "
        "AND outcome IN ('printed', 'on paper'))",
        "only a labelled syringe is finished",
    ),
    _refuse(
        "preparations_own_roles",
        "UPDATE",
        "preparations",
        "EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.id AND ("
        "(person = NEW.checker AND role <> 'checker') OR (person = NEW.witness AND role <> 'witness') "
        "OR (person = NEW.preparer AND role <> 'preparer')))",
        "nobody holds two roles on one syringe",
    ),
]

_ROLES: Final = [
    *_kept("roles", "roles"),
    _refuse(
        "roles_one_a_person",
        "INSERT",
        "roles",
        "EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.preparation AND person = NEW.person "
        "AND role <> NEW.role)",
        "nobody holds two roles on one syringe",
    ),
    _refuse("roles_of_somebody", "INSERT", "roles", "trim(NEW.person) = ''", "a role is held by somebody"),
]

_LOTS_USED: Final = [
    *_kept("lots_used", "lots used"),
    _refuse(
        "lots_used_no_replace",
        "INSERT",
        "lots_used",
        "EXISTS (SELECT 1 FROM lots_used WHERE lot = NEW.lot AND entry = NEW.entry)",
        "a lot is booked once",
    ),
]

_TRIES: Final = [
    _refuse(
        "tries_not_lost",
        "DELETE",
        "tries",
        "OLD.failures > 0 OR OLD.locked_at IS NOT NULL",
        "wrong tries are counted until somebody is let in",
    ),
]

_LISTS: Final = [
    _refuse(f"{table}_no_delete", "DELETE", table, "", f"{table} are never deleted")
    for table in ("products", "devices", "containers")
]

GUARDS: Final[tuple[str, ...]] = (
    *_LEDGER,
    *_PATIENTS_SEEN,
    *_PREPARATIONS,
    *_ROLES,
    *VOUCHING_GUARDS,
    *_LOTS_USED,
    *_TRIES,
    *_LISTS,
    *STOCK_GUARDS,
    *DRUG_GUARDS,
)
