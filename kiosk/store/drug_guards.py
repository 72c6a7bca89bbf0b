"""The locks of the drug list: a version stays as it was proposed, and two different keepers sign it.

A row is only what its own entry of the record says. Versions follow one another: none is proposed while the
one before is still to be signed. A signature names the proposal, takes the next place, and is a keeper's.
"""

from __future__ import annotations

from typing import Final

from kiosk.store.refusing import kept, refuse

_SAID: Final = (
    "FROM ledger AS said WHERE said.seq = NEW.entry AND said.preparation = '' AND said.by = NEW.person"
)
_IS: Final = "json_extract(said.entry, '$.body.{0}') = NEW.{0}"
_SAME_VERSION: Final = f"{_IS.format('drug')} AND {_IS.format('version')}"
_OF_VERSION: Final = "drug = NEW.drug AND version = NEW.version"
_SIGNED: Final = (
    "(SELECT count(DISTINCT person) FROM drug_signatures AS s "
    "WHERE s.drug = v.drug AND s.version = v.version)"
)
_WITHDRAWN: Final = (
    "EXISTS (SELECT 1 FROM drug_withdrawals AS w WHERE w.drug = v.drug AND w.version = v.version)"
)

_ENTRIES: Final = [
    *kept("drug_entries", "versions"),
    refuse(
        "drug_entries_next_version",
        "INSERT",
        "drug_entries",
        "NEW.version <> coalesce((SELECT max(version) FROM drug_entries WHERE drug = NEW.drug), 0) + 1",
        "a version takes the next number of its entry",
    ),
    refuse(
        "drug_entries_of_the_record",
        "INSERT",
        "drug_entries",
        f"NOT EXISTS (SELECT 1 {_SAID} AND said.kind = 'DrugEntryProposed' "
        f"AND json_extract(said.entry, '$.body.drug.id') = NEW.drug "
        f"AND {_IS.format('version')} AND {_IS.format('effective')})",
        "a version stands in the record",
    ),
    refuse(
        "drug_entries_one_at_a_time",
        "INSERT",
        "drug_entries",
        f"EXISTS (SELECT 1 FROM drug_entries AS v WHERE v.drug = NEW.drug AND {_SIGNED} < 2 "
        f"AND NOT {_WITHDRAWN})",
        "a version waits until the one before is signed or taken back",
    ),
]

_SIGNATURES: Final = [
    *kept("drug_signatures", "signatures"),
    refuse(
        "drug_signatures_no_replace",
        "INSERT",
        "drug_signatures",
        f"EXISTS (SELECT 1 FROM drug_signatures WHERE {_OF_VERSION} "
        "AND (place = NEW.place OR person = NEW.person))",
        "nobody signs twice",
    ),
    refuse(
        "drug_signatures_in_order",
        "INSERT",
        "drug_signatures",
        f"NEW.place <> (SELECT count(*) FROM drug_signatures WHERE {_OF_VERSION}) + 1",
        "the first keeper signs before the second",
    ),
    refuse(
        "drug_signatures_of_the_record",
        "INSERT",
        "drug_signatures",
        f"NOT EXISTS (SELECT 1 {_SAID} AND said.kind = 'DrugEntrySigned' AND {_SAME_VERSION} "
        f"AND {_IS.format('place')} AND json_extract(said.entry, '$.body.proposal') = "
        f"(SELECT entry FROM drug_entries WHERE {_OF_VERSION}))",
        "a signature stands in the record and names the proposal",
    ),
    refuse(
        "drug_signatures_of_a_keeper",
        "INSERT",
        "drug_signatures",
        "NOT EXISTS (SELECT 1 FROM people, json_each(people.roles) AS role WHERE people.id = NEW.person "
        "AND people.left_at IS NULL AND role.value = 'keeper')",
        "only keepers sign",
    ),
    refuse(
        "drug_signatures_not_withdrawn",
        "INSERT",
        "drug_signatures",
        f"EXISTS (SELECT 1 FROM drug_withdrawals WHERE {_OF_VERSION})",
        "what was taken back is not signed any more",
    ),
]

_WITHDRAWALS: Final = [
    *kept("drug_withdrawals", "withdrawals"),
    refuse(
        "drug_withdrawals_no_replace",
        "INSERT",
        "drug_withdrawals",
        f"EXISTS (SELECT 1 FROM drug_withdrawals WHERE {_OF_VERSION})",
        "a version is taken back once",
    ),
    refuse(
        "drug_withdrawals_of_the_record",
        "INSERT",
        "drug_withdrawals",
        f"NOT EXISTS (SELECT 1 {_SAID} AND said.kind = 'DrugEntryWithdrawn' AND {_SAME_VERSION})",
        "a withdrawal stands in the record",
    ),
]

DRUG_GUARDS: Final[tuple[str, ...]] = (*_ENTRIES, *_SIGNATURES, *_WITHDRAWALS)
