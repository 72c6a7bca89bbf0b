"""The lists of a counter's inbox folder: read by the feeds, taken in by the store."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Refusal
from kiosk.flow.keeping import ListTried, NewPerson, RowChange
from kiosk.wiring.home import Home

if TYPE_CHECKING:
    from kiosk.feeds.people_rows import Staff
    from kiosk.store.opening import Store

_KINDS: Final = (".csv", ".xlsx")
DRUGS: Final = "drugs"


class InboxLists:
    """Meets ``kiosk.flow.keeping.StaffLists``."""

    def __init__(self, store: Store, home: Home) -> None:
        self._store, self._home = store, home

    def waiting(self) -> Sequence[str]:
        """Return the names of the sheets in the inbox folder; none where there is no folder."""
        if not self._home.inbox.is_dir():
            return ()
        found = (path for path in self._home.inbox.iterdir() if path.is_file())
        return sorted(path.name for path in found if path.suffix.lower() in _KINDS)

    def dry_run(self, by: str, file: str, now: datetime) -> ListTried:
        """Read a list and compare it with what is there; write nothing."""
        from kiosk.feeds.lists import STAFF, Troubled, compare, dry_run
        from kiosk.wiring.drug_lists import is_a_drug_list, try_drug_list

        if is_a_drug_list(self._home.inbox / file):
            return try_drug_list(self._store, self._home.inbox / file, by, now)

        read = dry_run(STAFF, self._home.inbox / file, ())
        if isinstance(read, Troubled):
            return ListTried(file, troubles=read.troubles)
        changes = compare(STAFF, self._present(read.values), read.values)
        return ListTried(
            file=file,
            rows=tuple(NewPerson(one.person, one.badge, one.pin) for one in read.values),
            changes=tuple(RowChange(one.id, one.kind.value, one.cells) for one in changes),
        )

    def _present(self, listed: Sequence[Staff]) -> list[Staff]:
        """Return the staff as it is. Badges are kept as digests: each is shown where the list has it."""
        from kiosk.feeds.people_rows import Staff

        badges = {one.person.id: one.badge for one in listed if self._has(one)}
        return [Staff(person, badges.get(person.id, "")) for person in self._store.people.everybody()]

    def _has(self, one: Staff) -> bool:
        """Say whether a person's badge is the one the list gives."""
        owner = self._store.people.by_badge(one.badge)
        return owner is not None and owner.id == one.person.id

    def take_in(self, by: str, tried: ListTried, now: datetime) -> Refusal | None:
        """Take the list in, then put its file away without the PINs in it."""
        from kiosk.store.staff_import import take_in_staff

        if tried.kind == DRUGS:
            refusal = self._store.drugs.propose(by, tried.wanted, tried.file, now)
        else:
            refusal = take_in_staff(self._store, by, tried.rows, now)
        if refusal is None:
            self._put_away(tried, now)
        return refusal

    def give_out_drugs(self, now: datetime) -> str | Refusal:
        """Write the drug list as it is in force into the outbox."""
        from kiosk.wiring.drug_lists import give_out

        return give_out(self._store, self._home, now)

    def _put_away(self, tried: ListTried, now: datetime) -> None:
        """Keep what was taken in, of a staff list without its PINs, and remove the file that held them."""
        from kiosk.feeds.lists import STAFF, export
        from kiosk.feeds.people_rows import Staff

        folder, stamp = self._home.inbox / "taken", f"{now:%Y-%m-%d-%H%M%S}"
        folder.mkdir(exist_ok=True)
        if tried.kind == DRUGS:
            (self._home.inbox / tried.file).rename(folder / f"{stamp}-{tried.file}")
            return
        kept = folder / f"{stamp}-{tried.file.rsplit('.', 1)[0]}.csv"
        kept.write_text(export(STAFF, [Staff(row.person, row.badge) for row in tried.rows]), encoding="utf-8")
        (self._home.inbox / tried.file).unlink(missing_ok=True)
