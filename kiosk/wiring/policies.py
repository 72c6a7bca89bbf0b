"""The site's policies in force: the published tables, the site's files and the record, held together.

When a counter opens, what the files say is compared with what the record last heard of them; what differs is
put on record before anybody works by it. Proving the record compares the same, and tells.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.core.catalogue.check_tables import Figure
from kiosk.core.catalogue.people import Role
from kiosk.core.catalogue.policy import Policy, written
from kiosk.core.findings import Refusal
from kiosk.core.preparation.house_events import PolicyChanged
from kiosk.core.preparation.policies import KEEPER, Book, figure_in_force, found
from kiosk.core.units import Measure
from kiosk.flow.keeping_policy import NowInForce, PolicyLine, SiteRow
from kiosk.wiring.home import Home

if TYPE_CHECKING:
    from kiosk.flow.keeping import Told
    from kiosk.store.diagnosis import Break
    from kiosk.store.keys import Keys
    from kiosk.store.opening import Store
    from kiosk.store.policy import SignOnPolicy
    from kiosk.store.seals import Seal
    from kiosk.store.verify import Verdict


@dataclass(frozen=True, slots=True)
class InForce:
    """Every figure of the policy as it is now, by name."""

    published: Mapping[str, Policy]
    values: Mapping[str, Measure]

    def value(self, name: str) -> Measure:
        """Return one figure."""
        return self.values[name]

    def of(self, kind: str) -> list[Figure]:
        """Return the figures of a kind (``sign_on``, ``check``) under their names in the tables.

        Only what differs from the published figure: the rest keeps its own source.
        """
        return [
            Figure(name.removeprefix(f"{kind}."), value, self.published[name].stricter, "the site's policy")
            for name, value in self.values.items()
            if name.startswith(f"{kind}.") and value != self.published[name].published
            if name != "check.self_check_pause"
        ]


def site_of(home: Home) -> Path | None:
    """Return the folder of the site's own tables, where there is one."""
    return home.tables if home.tables.is_dir() else None


def found_now(site: Path | None, book: Book) -> tuple[InForce, dict[str, tuple[str, str]]]:
    """Return the policies in force, and all that is found with where it stands. Raises ``BadTable``."""
    from kiosk.tables.policies import filed_figures, filed_rows, published_policies

    published = {policy.name: policy for policy in published_policies()}
    filed = filed_figures(site)
    settled = {name: figure_in_force(one, book, filed.get(name)) for name, one in published.items()}
    all_found = {name: (written(value), source) for name, (value, source) in settled.items()}
    all_found |= {name: (text, "file") for name, text in filed_rows(site).items()}
    return InForce(published, {name: value for name, (value, _) in settled.items()}), all_found


def proved(home: Home, keys: Keys, slips: Sequence[Seal | Refusal] = (), told: Told | None = None) -> Verdict:
    """Verify the record of a home, and, where it holds, its policies against the site's files.

    ``slips`` and ``told`` as ``kiosk.store.verify.verify`` has them.
    """
    from dataclasses import replace

    from kiosk.store.verify import verify

    verdict = verify(home.database, keys, slips, told)
    return replace(verdict, breaks=tuple(_policy_breaks(home, keys))) if verdict.whole else verdict


def _policy_breaks(home: Home, keys: Keys) -> Iterator[Break]:
    """Yield each policy that is in force by the site's files and not by the record."""
    from kiosk.store.diagnosis import Break, How
    from kiosk.tables.csv_rows import BadTable

    book = kept_policies(home, keys)
    try:
        for event in found(book, found_now(site_of(home), book)[1]):
            if isinstance(event, PolicyChanged):
                told = f"{event.name}: on record {event.was or '-'}, found {event.now or '-'}"
                yield Break(0, How.POLICY, told)
    except BadTable as trouble:
        yield Break(0, How.POLICY, str(trouble))


class SitePolicies:
    """Meets ``kiosk.flow.keeping_policy.PolicyOffice``."""

    def __init__(self, store: Store, home: Home) -> None:
        self._store, self._home = store, home

    def open(self, now: datetime) -> InForce:
        """Put on record what is found changed since the counter last looked, and work by what is in force.

        Raises ``RecordTrouble`` and ``BadTable``.
        """
        in_force, all_found = found_now(site_of(self._home), self._book())
        if events := found(self._book(), all_found):
            self._store.ledger.note(events, now)
        self._store.people.policy = _judged_by(in_force, self._store.people.policy)
        return in_force

    def judge(self) -> None:
        """Let PINs be judged by what is in force."""
        self._store.people.policy = _judged_by(self.in_force(), self._store.people.policy)

    def in_force(self) -> InForce:
        """Return the figures in force, by the record."""
        return found_now(site_of(self._home), self._book())[0]

    def figures(self) -> Sequence[PolicyLine]:
        """Return every figure of the policy."""
        book, now = self._book(), self.in_force()
        return [
            PolicyLine(policy, now.value(name), book.standing[name]) for name, policy in now.published.items()
        ]

    def site_rows(self) -> Sequence[SiteRow]:
        """Return the rows of the site's files that are in force."""
        now, standing = self.in_force(), self._book().standing
        return [SiteRow(name, one) for name, one in standing.items() if one.value and name not in now.values]

    def needs_second(self, name: str, value: Measure) -> bool:
        """Say whether a change weakens what the policy is for."""
        now = self.in_force()
        return now.published[name].weakens(now.value(name), value)

    def change(
        self, by: str, second: str, name: str, value: Measure, why: str, now: datetime
    ) -> NowInForce | Refusal:
        """Put a new value on record and in force."""
        was = self.in_force()
        if refusal := self._trouble(was, by, second, name, value, why):
            return refusal
        old = was.value(name)
        event = PolicyChanged(by, name, written(old), written(value), why.strip(), second, KEEPER)
        self._store.ledger.note([event], now)
        return self._works_by(self.open(now))

    def _trouble(
        self, was: InForce, by: str, second: str, name: str, value: Measure, why: str
    ) -> Refusal | None:
        """Say why a change cannot be made, if so."""
        policy = was.published[name]
        if not self._keeps(by):
            return Refusal("keeper_only")
        if not policy.allows(value):
            bound = policy.least if policy.least is not None else policy.published
            return Refusal("policy_not_that_loose", {"bound": bound, "source": policy.source})
        if value == was.value(name):
            return Refusal("policy_is_so_already", {"value": value})
        if not why.strip():
            return Refusal("policy_needs_reason")
        if policy.weakens(was.value(name), value) and (second == by or not self._keeps(second)):
            return Refusal("policy_needs_second_keeper")
        return None

    def _keeps(self, person_id: str) -> bool:
        """Say whether a person keeps this counter now."""
        return any(p.id == person_id and Role.KEEPER in p.roles for p in self._store.people.everybody())

    def _works_by(self, in_force: InForce) -> NowInForce:
        """Return what the running counter goes by."""
        from kiosk.tables.sign_on import sign_on_figures
        from kiosk.wiring.counter import rules

        figures = sign_on_figures(own=in_force.of("sign_on"))
        return NowInForce(rules(self._store, self._home.tables, in_force), figures)

    def _book(self) -> Book:
        """Return the policies on record."""
        from kiosk.store.policies import policies

        return policies(self._store)


def kept_policies(home: Home, keys: Keys) -> Book:
    """Return the policies on record, read from the file alone. Raises ``RecordTrouble``."""
    from contextlib import closing

    from kiosk.store.connection import read_only
    from kiosk.store.policies import policies_kept

    with closing(read_only(home.database)) as connection:
        return policies_kept(connection, keys)


def _judged_by(in_force: InForce, as_it_was: SignOnPolicy) -> SignOnPolicy:
    """Return how PINs are judged; what no policy says (how slow a hash is) stays."""
    from dataclasses import replace

    seconds = in_force.value("sign_on.first_wait").to("s").value
    return replace(
        as_it_was,
        tries=int(in_force.value("sign_on.tries").value),
        first_wait=timedelta(seconds=float(seconds)),
        least_digits=int(in_force.value("sign_on.least_digits").value),
    )
