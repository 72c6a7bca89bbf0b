"""Three keepers and a nurse doing anything to one entry in any order, while days pass.

Whoever signed what is counted here by hand, beside the fold; no version is ever in force that fewer than two
different keepers signed, or before its day. Somebody also slips signatures into the record that the rules
refused: a second one of the same hand, and one that names another proposal.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from kiosk.core.catalogue.drug_list import EntryVersion, in_force, listed
from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import drug_keeping as rules
from kiosk.core.preparation import drug_list_events as e
from kiosk.core.preparation.drug_versions import Recorded, fold_versions
from kiosk.core.units import Measure
from tests.core.catalogue.test_drug_sense import SOUND

START = date(2026, 3, 16)
KEEPERS = ("K01", "K02", "K03")
PEOPLE = {
    one: Person(one, one, one, frozenset({Role.KEEPER if one in KEEPERS else Role.PREPARER}))
    for one in (*KEEPERS, "N01")
}
who = st.sampled_from(sorted(PEOPLE))
any_number = st.integers(1, 8)


class DrugListMachine(RuleBasedStateMachine):
    """One entry, and everybody who may or may not change it."""

    def __init__(self) -> None:
        super().__init__()
        self.today = START
        self.record: list[Recorded] = []
        self.signers: defaultdict[int, set[str]] = defaultdict(set)
        self.effective: dict[int, date] = {}
        self.gone: dict[int, date] = {}

    @property
    def versions(self) -> tuple[EntryVersion, ...]:
        return fold_versions(self.record).get(SOUND.id, ())

    def put(self, answer: e.DrugListEvent | Refusal) -> e.DrugListEvent | None:
        """Record an answer, unless it is a refusal."""
        if isinstance(answer, Refusal):
            return None
        self.record.append((len(self.record) + 1, datetime(2026, 3, 16, tzinfo=UTC), answer))
        return answer

    @rule(days=st.integers(1, 12))
    def days_pass(self, days: int) -> None:
        self.today += timedelta(days=days)

    @rule(by=who, wait=st.integers(-2, 40), hours=st.integers(0, 9))
    def propose(self, by: str, wait: int, hours: int) -> None:
        drug = replace(SOUND, least_interval=Measure.of(hours, "h"))
        day = self.today + timedelta(days=wait)
        said = self.put(rules.propose(by, drug, day, self.versions, PEOPLE, self.today, "screen"))
        if said is not None:
            assert isinstance(said, e.DrugEntryProposed)
            assert by in KEEPERS
            assert wait >= 0
            assert hours > 0
            self.effective[said.version] = day

    @precondition(lambda self: self.effective)
    @rule(by=who, last=st.booleans(), number=any_number)
    def sign(self, by: str, last: bool, number: int) -> None:
        versions = self.versions
        version = versions[-1] if last else versions[number % len(versions)]
        said = self.put(rules.sign(by, version, PEOPLE))
        if said is not None:
            assert by in KEEPERS
            assert by not in self.signers[version.number]
            assert version.number not in self.gone
            self.signers[version.number].add(by)

    @precondition(lambda self: self.effective)
    @rule(by=who, last=st.booleans(), number=any_number, reason=st.sampled_from(["a slip", " "]))
    def withdraw(self, by: str, last: bool, number: int, reason: str) -> None:
        versions = self.versions
        version = versions[-1] if last else versions[number % len(versions)]
        if self.put(rules.withdraw(by, version, versions, reason, PEOPLE, self.today)) is not None:
            assert by in KEEPERS
            assert reason.strip()
            assert version.number not in self.gone
            self.gone[version.number] = self.today

    @rule(by=st.permutations(KEEPERS), wait=st.integers(0, 9), hours=st.integers(1, 9))
    def do_what_comes_next(self, by: list[str], wait: int, hours: int) -> None:
        """Propose where nothing is on its way, else sign by a keeper who has not; nothing where two have."""
        last = max(self.effective, default=0)
        if not last or last in self.gone or len(self.signers[last]) >= 2:
            self.propose(by[0], wait, hours)
        else:
            self.sign(next(one for one in by if one not in self.signers[last]), last=True, number=1)

    @precondition(lambda self: any(self.signers.values()))
    @rule(again=st.booleans())
    def slip_a_signature_in(self, again: bool) -> None:
        """The same hand once more, or another hand under a proposal that was never made."""
        number = max(n for n, signed in self.signers.items() if signed)
        version = self.versions[number - 1]
        by, proposal = (version.signed[0], version.entry) if again else ("K03", 999)
        self.put(e.DrugEntrySigned(by, SOUND.id, number, 2, proposal))

    @invariant()
    def never_with_fewer_than_two_never_before_its_day_never_once_taken_back(self) -> None:
        for days in range(-3, 45):
            day = self.today + timedelta(days=days)
            found = in_force(self.versions, day)
            if found is None:
                continue
            assert len(self.signers[found.number] & set(KEEPERS)) >= 2
            assert self.effective[found.number] <= day
            assert found.number not in self.gone

    @invariant()
    def a_version_that_two_signed_is_in_force_from_its_day_until_another_is_or_it_is_taken_back(self) -> None:
        came = [
            number
            for number, signed in self.signers.items()
            if len(signed) >= 2
            and self.effective[number] <= self.today
            and self.gone.get(number, self.effective[number]) >= self.effective[number]
        ]
        answer = listed("haloperidol", self.versions, self.today)
        if came and max(came) not in self.gone:
            assert isinstance(answer, EntryVersion)
            assert answer.number == max(came)
        else:
            assert isinstance(answer, Refusal)

    @invariant()
    def versions_are_numbered_and_at_most_one_is_on_its_way(self) -> None:
        assert [version.number for version in self.versions] == sorted(self.effective)
        waiting = [n for n in self.effective if len(self.signers[n]) < 2 and n not in self.gone]
        assert waiting in ([], sorted(self.effective)[-1:])


TestTheDrugListInAnyOrder = DrugListMachine.TestCase
TestTheDrugListInAnyOrder.settings = settings(max_examples=60, stateful_step_count=40, deadline=None)
