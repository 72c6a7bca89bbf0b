"""The drug list of a counter: read from the record, changed by entries of the record, decided inside."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from functools import lru_cache
from typing import Final, cast

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_list import EntryVersion, listed
from kiosk.core.catalogue.people import Person
from kiosk.core.findings import Refusal
from kiosk.core.preparation import drug_keeping as rules
from kiosk.core.preparation import drug_list_events as e
from kiosk.core.preparation.drug_versions import Recorded, Versions, fold_versions
from kiosk.flow.keeping_drugs import Wanted
from kiosk.flow.said import facts_said
from kiosk.store import prepared
from kiosk.store.connection import Database, Row
from kiosk.store.entry import event_of, hash_of, mark_of, read_entry
from kiosk.store.identities import concerned, put_together
from kiosk.store.keys import Keys
from kiosk.store.ledger import Ledger
from kiosk.store.people import People

_KEPT: Final = 4096


class DrugList:
    """Meets ``kiosk.flow.keeping_drugs.DrugList``. Safe to use from several threads.

    An entry that does not carry the counter's mark is not believed: to this list it does not exist, so that
    nobody with the file alone can put a version into force, not even for a moment.
    """

    def __init__(self, database: Database, ledger: Ledger, people: People, keys: Keys) -> None:
        self._database, self._ledger, self._people, self._keys = database, ledger, people, keys
        self._read: dict[str, tuple[int, tuple[EntryVersion, ...]]] = {}

    # -- looking -------------------------------------------------------------------------------

    def everything(self) -> Versions:
        """Return every version of every entry, by the drug's id."""
        return fold_versions(self._believed(self._database.rows(prepared.DRUG_LIST)))

    def versions(self, drug: str) -> Sequence[EntryVersion]:
        """Return the versions of one entry, in their order; read again once the record has grown."""
        row = self._database.row(prepared.LAST_PLACE)
        end = (row[0] or 0) if row else 0
        read = self._read.get(drug)
        if read is None or read[0] != end:
            rows = self._database.rows(prepared.DRUG_ENTRY, {"drug": drug})
            read = self._read[drug] = end, fold_versions(self._believed(rows)).get(drug, ())
        return read[1]

    def listed(self, drug: Drug, now: datetime) -> EntryVersion | Refusal:
        """Return the version of a drug's entry in force on the day of ``now``, or why there is none."""
        return listed(drug.name, self.versions(drug.id), now.date())

    def _believed(self, rows: Iterable[Row]) -> Iterator[Recorded]:
        """Yield the entries that this counter wrote, with place and moment."""
        for row in rows:
            if (
                hash_of(row["entry"]) == row["hash"]
                and mark_of(self._keys.counter, row["hash"]) == row["mark"]
            ):
                yield _read(row["entry"])

    # -- acting --------------------------------------------------------------------------------

    def would(
        self, by: str, wanted: Sequence[Wanted], source: str, now: datetime
    ) -> Sequence[e.DrugEntryProposed | Refusal]:
        """Return what proposing these would amount to, one by one; write nothing."""
        people, there = self._staff(), self.everything()
        return [
            rules.propose(by, one.drug, one.effective, there.get(one.drug.id, ()), people, now.date(), source)
            for one in wanted
        ]

    def propose(self, by: str, wanted: Sequence[Wanted], source: str, now: datetime) -> Refusal | None:
        """Propose versions, all of them or none; return the first refusal, which is noted."""
        with self._ledger.noting(now) as noted:
            answers = self.would(by, wanted, source, now)
            refused = next((one for one in answers if isinstance(one, Refusal)), None)
            if refused is not None:
                noted.events.append(_noted(by, "propose", refused))
            else:
                noted.events += [one for one in answers if not isinstance(one, Refusal)]
        return refused

    def sign(self, by: str, drug: str, version: int, now: datetime) -> EntryVersion | Refusal:
        """Sign a version; return it as it then stands."""
        people = self._staff()
        with self._ledger.noting(now) as noted:
            there = _one(self.versions(drug), version)
            answer = rules.sign(by, there, people) if there else _unknown(drug, version)
            event = _noted(by, "sign", answer) if isinstance(answer, Refusal) else answer
            noted.events.append(event)
        return answer if isinstance(answer, Refusal) else self._after(drug, version)

    def sign_all(self, by: str, now: datetime) -> int:
        """Sign every version that may be signed by this keeper, in one transaction; return how many."""
        people = self._staff()
        with self._ledger.noting(now) as noted:
            answers = (
                rules.sign(by, version, people)
                for versions in self.everything().values()
                for version in versions
            )
            signed = [one for one in answers if not isinstance(one, Refusal)]
            noted.events += signed
        return len(signed)

    def withdraw(
        self, by: str, drug: str, version: int, reason: str, now: datetime
    ) -> EntryVersion | Refusal:
        """Take a version back; return it as it then stands."""
        people = self._staff()
        with self._ledger.noting(now) as noted:
            versions = self.versions(drug)
            there = _one(versions, version)
            answer = (
                rules.withdraw(by, there, versions, reason, people, now.date())
                if there
                else _unknown(drug, version)
            )
            event = _noted(by, "withdraw", answer) if isinstance(answer, Refusal) else answer
            noted.events.append(event)
        return answer if isinstance(answer, Refusal) else self._after(drug, version)

    def _after(self, drug: str, version: int) -> EntryVersion:
        """Return a version as it now stands."""
        found = _one(self.versions(drug), version)
        assert found is not None
        return found

    def _staff(self) -> Mapping[str, Person]:
        """Return all who work here, by id."""
        return {person.id: person for person in self._people.everybody()}


def _one(versions: Sequence[EntryVersion], number: int) -> EntryVersion | None:
    """Return the version of that number."""
    return next((version for version in versions if version.number == number), None)


def _unknown(drug: str, version: int) -> Refusal:
    """Return what is said of a version that there is not."""
    return Refusal("entry_unknown", {"drug": drug, "version": version})


def _noted(by: str, act: str, why: Refusal) -> e.DrugListRefused:
    """Return the entry of a refusal."""
    return e.DrugListRefused(by, act, why.code, facts_said(why.facts))


@lru_cache(maxsize=_KEPT)
def _read(text: str) -> Recorded:
    """Return an entry's place, moment and event; the same text is the same for ever."""
    entry = read_entry(text)
    raw = put_together(entry.raw, lambda ref: None) if concerned(entry.raw) else entry.raw
    return entry.seq, entry.at, cast(e.DrugListEvent, event_of(entry.kind, raw))
