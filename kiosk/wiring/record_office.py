"""The record as the keeper's desk and the commands use it: search, proof, seal, export."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Refusal
from kiosk.flow.keeping import Asked, Broken, ChecksReport, Found, Sealed, Told, Verified
from kiosk.flow.keeping_house import HouseAsked, HouseEntry
from kiosk.flow.ports import Recorded
from kiosk.wiring.home import Home

if TYPE_CHECKING:
    from kiosk.pages.record_words import Teller
    from kiosk.pages.words import Words
    from kiosk.store.opening import Store

DAYS_BACK: Final = 60
EVERY: Final = 1_000_000
EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


class RecordDesk:
    """Meets ``kiosk.flow.keeping.RecordOffice``. Rooms are loaded when something is looked up.

    ``zone`` is that of the counter's clock; None means the machine's own.
    """

    def __init__(self, store: Store, home: Home, words: Words, zone: tzinfo | None = None) -> None:
        self._store, self.home, self._words, self._zone = store, home, words, zone
        self._names: dict[str, str] = {}

    def search(self, asked: Asked) -> Sequence[Found]:
        """Return the syringes asked for, latest first."""
        from kiosk.store import search

        return search.search(self._store.database, asked)

    def by_code(self, code: str) -> Found | None:
        """Return the syringe whose label carries this code; any copy of its label names it."""
        from kiosk.store import search

        return search.by_code(self._store.database, code) or search.by_code(self._store.database, code[:-1])

    def drugs(self) -> Sequence[str]:
        """Return the ids of the drugs that syringes were made of."""
        from kiosk.store import search

        return search.drugs_made(self._store.database)

    def drug_name(self, drug_id: str) -> str:
        """Return the name of a drug as the drug list writes it."""
        if drug_id not in self._names:
            stocked = self._store.shelf.containers_of(drug_id, EPOCH)
            self._names[drug_id] = stocked[0].product.drug.name if stocked else drug_id
        return self._names[drug_id]

    def days(self, now: datetime) -> Sequence[tuple[date, int]]:
        """Return the days of the last two months on which syringes were begun, latest first."""
        from kiosk.store import search

        midnight = datetime.combine(now.date(), time(), now.tzinfo)
        starts = [midnight - timedelta(days=back) for back in range(DAYS_BACK)]
        counted = (
            (start.date(), search.count_between(self._store.database, start, start + timedelta(days=1)))
            for start in starts
        )
        return [(day, count) for day, count in counted if count]

    def entries(self, preparation: str) -> Sequence[Recorded]:
        """Return every entry of one syringe."""
        return self._store.ledger.events(preparation)

    def verify(self, told: Told, slips: Sequence[str] = ()) -> Verified:
        """Read and prove the whole record against the seals kept beside the keys and those of slips."""
        from kiosk.store.progress import Stopped
        from kiosk.store.seals import read_seal
        from kiosk.wiring.policies import proved

        try:
            keys = self._store.keys
            verdict = proved(self.home, keys, [read_seal(slip, keys) for slip in slips], told)
        except Stopped:
            return Verified(0, 0, stopped=True)
        breaks = tuple(Broken(one.seq, one.how.value, one.detail) for one in verdict.breaks)
        return Verified(verdict.entries, verdict.sealed, breaks)

    def seal(self, now: datetime) -> Sealed | None:
        """Seal the record, print the slip and put the seal's text into the outbox."""
        from kiosk.core.label.seal_slip import seal_slip
        from kiosk.printing.outbox import OutboxPrinter
        from kiosk.wiring.fonts import bundled_fonts

        seal = self._store.seal(now)
        if seal is None:
            return None
        slip = seal_slip(seal.text, seal.counter, seal.seq, now, self._words.entries)
        name = f"seal-{now:%Y-%m-%d}-{seal.seq}"
        folder = self._folder()
        (folder / f"{name}.txt").write_text(seal.text + "\n", encoding="ascii")
        printed = OutboxPrinter(folder, bundled_fonts()).print_seal(slip, name)
        return Sealed(seal.seq, seal.at, seal.text, printed, f"{name}.txt")

    def export(self, found: Sequence[Found], now: datetime) -> str | Refusal:
        """Write syringes as CSV and JSON into the outbox."""
        from kiosk.store.export import to_csv, to_json

        folder, name = self._folder(), f"syringes-{now:%Y-%m-%d-%H%M%S}"
        try:
            with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as out:
                to_csv(found, out)
            (folder / f"{name}.json").write_text(to_json(found) + "\n", encoding="utf-8")
        except OSError as trouble:
            return Refusal("export_not_written", {"folder": folder.name, "trouble": str(trouble.strerror)})
        return f"{name}.csv, {name}.json"

    def sheet(self, preparation: str) -> str | Refusal:
        """Write the one-page record of a syringe into the outbox."""
        pdf, name = self.sheet_pdf(preparation), f"sheet-{preparation[:12]}.pdf"
        if isinstance(pdf, Refusal):
            return pdf
        folder = self._folder()
        try:
            (folder / name).write_bytes(pdf)
        except OSError as trouble:
            return Refusal("export_not_written", {"folder": folder.name, "trouble": str(trouble.strerror)})
        return name

    def sheet_pdf(self, preparation: str) -> bytes | Refusal:
        """Return the one-page record of a syringe as PDF."""
        from kiosk.pages.record_sheet import preparation_sheet
        from kiosk.printing.faces import faces
        from kiosk.printing.preparation_sheet import sheet_pdf
        from kiosk.wiring.fonts import bundled_fonts

        entries = self.entries(preparation)
        sheet = preparation_sheet(preparation, entries, self.teller(entries))
        return sheet if isinstance(sheet, Refusal) else sheet_pdf(sheet, faces(bundled_fonts()))

    def teller(self, entries: Sequence[Recorded]) -> Teller:
        """Return who tells these entries in the counter's language and time."""
        from kiosk.pages.record_words import teller
        from kiosk.wiring.counter import rules

        return teller(
            self._words, rules(self._store, self.home.tables), self._store.people, entries, self._zone
        )

    def house(self, asked: HouseAsked) -> Sequence[HouseEntry]:
        """Return the entries of no syringe that are asked for, latest first."""
        from kiosk.store.house import house_entries

        return house_entries(self._store.database, self._store.ledger, asked)

    def house_days(self, now: datetime) -> Sequence[tuple[date, int]]:
        """Return the days of the last two months with entries of no syringe, latest first."""
        from kiosk.store.house import house_days

        return house_days(self._store.database, now - timedelta(days=DAYS_BACK), now.tzinfo)

    def second_checks(self, since: datetime) -> ChecksReport:
        """Return how the second checks made since then were made, and what looks like rubber-stamping."""
        from kiosk.core.checks.independence import pairs, report
        from kiosk.core.preparation.check_made import check_made
        from kiosk.store import search
        from kiosk.tables.check_tables import independence_figures

        begun = search.search(self._store.database, Asked(since=since), EVERY)
        found = (
            check_made(one.preparation, (entry.event for entry in self.entries(one.preparation)))
            for one in begun
            if one.checker
        )
        made = tuple(check for check in found if check is not None)
        return ChecksReport(since, made, pairs(made), report(made, independence_figures()))

    def export_checks(self, report: ChecksReport, now: datetime) -> str | Refusal:
        """Write a report on second checks as CSV and JSON into the outbox."""
        from kiosk.store.export_checks import checks_to_csv, checks_to_json

        folder, name = self._folder(), f"second-checks-{now:%Y-%m-%d-%H%M%S}"
        try:
            with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as out:
                checks_to_csv(report, out)
            (folder / f"{name}.json").write_text(checks_to_json(report) + "\n", encoding="utf-8")
        except OSError as trouble:
            return Refusal("export_not_written", {"folder": folder.name, "trouble": str(trouble.strerror)})
        return f"{name}.csv, {name}.json"

    def _folder(self) -> Path:
        """Return the outbox, made if need be."""
        self.home.outbox.mkdir(parents=True, exist_ok=True)
        return self.home.outbox
