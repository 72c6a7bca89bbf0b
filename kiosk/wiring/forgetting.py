"""Forgetting at a counter: identifiers in the record, and the papers in its folders that name patients."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.people import Role
from kiosk.core.catalogue.retention import Retention
from kiosk.core.findings import Refusal
from kiosk.flow.keeping_forgetting import DueToGo, Forgotten, KnownPatient
from kiosk.wiring.home import Home
from kiosk.wiring.policies import SitePolicies

if TYPE_CHECKING:
    from kiosk.store.opening import Store

# A seal names nobody, and is worth more the older it is.
_NEVER: Final = "seal-"
_TEXTS: Final = (".csv", ".json", ".txt")


class Forgetting:
    """Meets ``kiosk.flow.keeping_forgetting.ForgettingOffice``."""

    def __init__(self, store: Store, home: Home) -> None:
        self._store, self._home = store, home

    def patients(self, text: str) -> Sequence[KnownPatient]:
        """Return the patients of whom this is the number or part of the name."""
        from kiosk.store.erasure import known_patients

        wanted = text.casefold().strip()
        found = known_patients(self._store.database)
        return [
            one
            for one in found
            if wanted and (wanted == one.number.casefold() or wanted in one.name.casefold())
        ]

    def erase(self, by: str, patient_id: str, reason: str, now: datetime) -> Forgotten | Refusal:
        """Erase one patient: first in the record, then the papers that name them."""
        from kiosk.store.erasure import erase_patient, known_patients

        if not self._keeps(by):
            return Refusal("keeper_only")
        if not reason.strip():
            return Refusal("erasure_needs_reason")
        known = next((one for one in known_patients(self._store.database) if one.id == patient_id), None)
        codes = self._names_on_papers(patient_id)
        answer = erase_patient(self._store.database, self._store.ledger, patient_id, by, reason, now)
        if isinstance(answer, Refusal):
            return answer
        return Forgotten(self._remove(self._papers_of(known, codes)) if known is not None else 0)

    def due(self, now: datetime) -> DueToGo:
        """Return what was kept long enough."""
        from kiosk.store import prepared
        from kiosk.store.erasure import past_retention, past_tries

        figures, database = self._figures(), self._store.database
        patients = tuple(past_retention(database, figures, now))
        tries = past_tries(database, figures, now)
        papers = tuple(sorted(path.name for path in self._old_papers(figures, now)))
        head = database.row(prepared.HEAD)
        until = figures.record_until(datetime.fromisoformat(head["at"]).date()) if head else None
        token = sha256(repr(([one.id for one in patients], tries, papers)).encode()).hexdigest()[:8].upper()
        return DueToGo(patients, len(tries), papers, until, token)

    def let_go(self, by: str, seen: DueToGo, now: datetime) -> DueToGo | Refusal:
        """Let go of what was seen to be due, unless something else is due by now."""
        from kiosk.store.erasure import apply_retention, past_tries

        if not self._keeps(by):
            return Refusal("keeper_only")
        if self.due(now).token != seen.token:
            return Refusal("due_has_changed")
        if seen.nothing:
            return Refusal("nothing_is_due")
        figures, database = self._figures(), self._store.database
        removed = self._remove(self._old_papers(figures, now))
        for one in seen.patients:
            removed += self._remove(self._papers_of(one, self._names_on_papers(one.id)))
        tries = past_tries(database, figures, now)
        patients = [one.id for one in seen.patients]
        apply_retention(database, self._store.ledger, patients, tries, removed, by, now)
        return seen

    def _figures(self) -> Retention:
        """Return how long things are kept at this site."""
        now = SitePolicies(self._store, self._home).in_force()
        return Retention(**{name: now.value(f"retention.{name}") for name in Retention.__dataclass_fields__})

    def _keeps(self, person_id: str) -> bool:
        """Say whether a person keeps this counter now."""
        return any(p.id == person_id and Role.KEEPER in p.roles for p in self._store.people.everybody())

    # -- papers ----------------------------------------------------------------------------------

    def _papers(self) -> Iterator[Path]:
        """Yield every file in the counter's folders that may name a patient."""
        for folder in (self._home.labels, self._home.outbox):
            if folder.is_dir():
                yield from (p for p in folder.iterdir() if p.is_file() and not p.name.startswith(_NEVER))

    def _old_papers(self, figures: Retention, now: datetime) -> list[Path]:
        """Return the papers that were kept long enough."""
        before = figures.papers_before(now).timestamp()
        return [path for path in self._papers() if path.stat().st_mtime < before]

    def _names_on_papers(self, patient_id: str) -> tuple[str, ...]:
        """Return the beginnings of the names of the papers of a patient's syringes."""
        from kiosk.store import prepared

        rows = self._store.database.rows(prepared.SYRINGES_OF_PATIENT, {"id": patient_id})
        return tuple(name for row in rows for name in (f"{row['code']}-", f"sheet-{row['id'][:12]}"))

    def _papers_of(self, patient: KnownPatient, names: tuple[str, ...]) -> list[Path]:
        """Return the papers that name a patient: by their own name, or because the name is in them."""
        return [
            path for path in self._papers() if (names and path.name.startswith(names)) or _says(path, patient)
        ]

    def _remove(self, papers: Sequence[Path]) -> int:
        """Remove files and return how many went."""
        for path in papers:
            path.unlink(missing_ok=True)
        return len(papers)


def _says(path: Path, patient: KnownPatient) -> bool:
    """Say whether a paper holds a patient's number or name."""
    text = _text_of(path)
    wanted = ("".join(one.split()).casefold() for one in (patient.number, patient.name) if one)
    return any(one in text for one in wanted)


def _text_of(path: Path) -> str:
    """Return the text of a paper, without spaces and in small letters; nothing of what is no text."""
    if path.suffix in _TEXTS:
        text = path.read_text(encoding="utf-8", errors="replace")
    elif path.suffix == ".pdf":
        from kiosk.printing.read_back import whole_text_of

        text = whole_text_of(path.read_bytes())
    else:
        text = ""
    return "".join(text.split()).casefold()
