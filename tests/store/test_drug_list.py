"""The drug list in the database: two keepers, their day, and whoever comes with bare SQL instead."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.core.findings import Refusal
from kiosk.core.preparation import drug_list_events as e
from kiosk.core.units import Measure
from kiosk.flow.keeping_drugs import Wanted
from kiosk.store.connection import RuleBroken
from kiosk.store.diagnosis import How
from kiosk.store.drug_guards import DRUG_GUARDS
from kiosk.store.entry import hash_of
from kiosk.store.verify import verify
from tests.store import samples as s

DAY = timedelta(days=1)
DRUG = s.a_listed_drug()
ALERT = s.a_listed_drug(high_alert=True)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[s.Store]:
    """A counter whose list has one entry in force, and its next version with one signature."""
    with s.a_store(tmp_path) as opened:
        s.keepers(opened)
        s.list_drug(opened)
        s.list_drug(opened, ALERT, signers=1)
        yield opened


def number(store: s.Store, days: int = 0) -> int | str:
    """The version in force so many days from now, or the code of why there is none."""
    found = store.drugs.listed(DRUG, s.NOW + days * DAY)
    return found.number if isinstance(found, EntryVersion) else found.code


def refusals(store: s.Store) -> list[tuple[str, str]]:
    noted = (one.event for one in store.ledger.house_events())
    return [(one.act, one.code) for one in noted if isinstance(one, e.DrugListRefused)]


def test_a_version_is_used_from_the_second_signature_of_another_keeper_on(store: s.Store) -> None:
    assert number(store) == 1
    again = store.drugs.sign(s.KEEPER, "gentamicin", 2, s.NOW)
    assert isinstance(again, Refusal)
    assert number(store) == 1
    store.drugs.sign(s.OTHER_KEEPER, "gentamicin", 2, s.NOW)
    found = store.drugs.listed(DRUG, s.NOW)
    assert isinstance(found, EntryVersion)
    assert (found.number, found.drug, found.signed) == (2, ALERT, (s.KEEPER, s.OTHER_KEEPER))
    assert refusals(store) == [("sign", "entry_same_signer")]


def test_what_another_process_signs_is_seen_at_once(store: s.Store, tmp_path: Path) -> None:
    assert number(store) == 1
    with s.a_store(tmp_path) as other:
        other.drugs.sign(s.OTHER_KEEPER, "gentamicin", 2, s.NOW)
    assert number(store) == 2


def test_another_badge_does_not_make_another_keeper(store: s.Store) -> None:
    store.staff.new_badge(s.OTHER_KEEPER, s.KEEPER, "PB1KAYNEW", s.NOW)
    store.staff.new_pin(s.OTHER_KEEPER, s.KEEPER, "8642", s.NOW)
    again = store.people.sign_on("PB1KAYNEW", "8642", s.NOW)
    assert not isinstance(again, Refusal)
    answer = store.drugs.sign(again.id, "gentamicin", 2, s.NOW)
    assert isinstance(answer, Refusal)
    assert answer.code == "entry_same_signer"


def test_a_version_is_not_used_before_its_day(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        s.keepers(store)
        store.drugs.propose(s.KEEPER, [Wanted(DRUG, (s.NOW + 3 * DAY).date())], "screen", s.NOW)
        for keeper in (s.OTHER_KEEPER, s.KEEPER):
            store.drugs.sign(keeper, "gentamicin", 1, s.NOW)
        assert [number(store, days) for days in range(5)] == ["drug_entry_to_come"] * 3 + [1, 1]


def test_what_is_taken_back_is_used_no_more_and_nothing_older_comes_back(store: s.Store) -> None:
    store.drugs.withdraw(s.OTHER_KEEPER, "gentamicin", 2, "a figure of another drug", s.NOW)
    assert number(store) == 1
    store.drugs.withdraw(s.OTHER_KEEPER, "gentamicin", 1, "no longer kept", s.NOW)
    assert number(store) == "drug_entry_withdrawn"
    s.list_drug(store)
    assert number(store) == 3


def test_several_entries_are_proposed_whole_or_not_at_all(store: s.Store) -> None:
    wanted = [
        Wanted(s.a_listed_drug("amikacin"), s.NOW.date()),
        Wanted(s.a_drug("no-strength"), s.NOW.date()),
    ]
    assert isinstance(store.drugs.propose(s.KEEPER, wanted, "list.csv", s.NOW), Refusal)
    assert set(store.drugs.everything()) == {"gentamicin"}
    assert refusals(store)[-1][0] == "propose"


def test_trying_writes_nothing(store: s.Store) -> None:
    before = store.database.rows("SELECT count(*) FROM ledger")[0][0]
    answers = store.drugs.would(s.KEEPER, [Wanted(s.a_listed_drug("amikacin"), s.NOW.date())], "x", s.NOW)
    assert [type(one) for one in answers] == [e.DrugEntryProposed]
    assert store.database.rows("SELECT count(*) FROM ledger")[0][0] == before


def test_it_is_there_again_when_the_counter_is_opened_again(store: s.Store, tmp_path: Path) -> None:
    before = store.drugs.everything()
    store.close()
    with s.a_store(tmp_path) as again:
        assert again.drugs.everything() == before
        assert verify(again.database.path, again.keys).whole


# -- bare SQL -----------------------------------------------------------------------------------------

_SIGN = "INSERT INTO drug_signatures VALUES ('gentamicin', {}, {}, '{}', {})"
_PROPOSE = "INSERT INTO drug_entries VALUES ('gentamicin', {}, '2026-03-15', 'p-kay', 1)"
_TAKE = "INSERT {}INTO drug_withdrawals VALUES ('{}', 1, '{}', 1)"
# What each lock alone keeps from happening.
ATTEMPTS = {
    "drug_entries_no_delete": "DELETE FROM drug_entries",
    "drug_entries_no_change": "UPDATE drug_entries SET effective = '2026-01-01'",
    "drug_entries_next_version": _PROPOSE.format(9),
    "drug_entries_of_the_record": _PROPOSE.format(3),
    "drug_entries_one_at_a_time": _PROPOSE.format(3),
    "drug_signatures_no_delete": "DELETE FROM drug_signatures",
    "drug_signatures_no_change": "UPDATE drug_signatures SET person = 'p-rob' WHERE version = 2",
    "drug_signatures_no_replace": _SIGN.format(1, 2, "p-kay", 1).replace("INSERT", "INSERT OR REPLACE"),
    "drug_signatures_in_order": _SIGN.format(3, 2, "p-rob", 1),
    "drug_signatures_of_the_record": _SIGN.format(2, 2, "p-rob", 1),
    "drug_signatures_of_a_keeper": _SIGN.format(2, 2, "p-nobody", 1),
    "drug_signatures_not_withdrawn": "INSERT INTO drug_signatures VALUES ('amikacin', 1, 2, 'p-rob', 1)",
    "drug_withdrawals_no_delete": "DELETE FROM drug_withdrawals",
    "drug_withdrawals_no_change": "UPDATE drug_withdrawals SET drug = 'gentamicin'",
    "drug_withdrawals_no_replace": _TAKE.format("OR REPLACE ", "amikacin", "p-rob"),
    "drug_withdrawals_of_the_record": _TAKE.format("", "gentamicin", "p-kay"),
}


@pytest.fixture
def also(store: s.Store) -> s.Store:
    """The same counter, and one more entry that was signed once and taken back."""
    s.list_drug(store, s.a_listed_drug("amikacin"), signers=1)
    store.drugs.withdraw(s.KEEPER, "amikacin", 1, "another drug was meant", s.NOW)
    return store


@pytest.mark.parametrize("sql", sorted(set(ATTEMPTS.values())))
def test_bare_sql_cannot_put_a_version_into_force_or_change_one(also: s.Store, sql: str) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        also.database.raw.execute(sql)
    assert number(also) == 1
    assert verify(also.database.path, also.keys).whole


def test_each_lock_has_its_attempt() -> None:
    assert {guard.split()[2] for guard in DRUG_GUARDS} == set(ATTEMPTS)


@pytest.mark.parametrize("lock", ATTEMPTS)
def test_each_lock_alone_refuses_what_would_happen_without_it(also: s.Store, lock: str) -> None:
    raw = also.database.raw
    raw.execute("PRAGMA foreign_keys = OFF")
    for name in ATTEMPTS.keys() - {lock}:
        raw.execute(f"DROP TRIGGER {name}")
    (why,) = [guard.split("'")[-2] for guard in DRUG_GUARDS if guard.split()[2] == lock]
    with pytest.raises(sqlite3.IntegrityError, match=why):
        raw.execute(ATTEMPTS[lock])
    raw.execute(f"DROP TRIGGER {lock}")
    assert raw.execute(ATTEMPTS[lock]).rowcount > 0


def forge(store: s.Store, by: str) -> int:
    """Write an entry by SQL alone, as far as one can without the key: ``by`` signs version 2."""
    head = store.database.rows("SELECT seq, entry, hash FROM ledger ORDER BY seq DESC LIMIT 1")[0]
    proposal = store.drugs.versions("gentamicin")[1].entry
    body = {"by": by, "drug": "gentamicin", "version": 2, "place": 2, "proposal": proposal}
    said = json.loads(head["entry"]) | {"prev": head["hash"], "seq": head["seq"] + 1, "by": by}
    said |= {"kind": "DrugEntrySigned", "preparation": "", "key": "forged", "part": 0, "body": body}
    text = json.dumps(said, separators=(",", ":"))
    values = (said["seq"], text, hash_of(text), "0" * 64)
    store.database.raw.execute("INSERT INTO ledger (seq, entry, hash, mark) VALUES (?, ?, ?, ?)", values)
    return int(said["seq"])


def test_a_signature_forged_without_the_key_counts_for_nothing_and_is_told(store: s.Store) -> None:
    seq = forge(store, s.OTHER_KEEPER)
    store.database.raw.execute(_SIGN.format(2, 2, s.OTHER_KEEPER, seq))
    assert number(store) == 1
    found = verify(store.database.path, store.keys)
    assert [(one.seq, one.how) for one in found.breaks][:1] == [(seq, How.REWRITTEN)]


def test_a_signature_of_nobody_who_keeps_is_refused_even_with_an_entry(store: s.Store) -> None:
    seq = forge(store, "p-nobody")
    with pytest.raises(sqlite3.IntegrityError, match="only keepers sign"):
        store.database.raw.execute(_SIGN.format(2, 2, "p-nobody", seq))


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE drug_entries SET effective = '2020-01-01'",
        "UPDATE drug_signatures SET person = 'p-new' WHERE place = 1",
        "DELETE FROM drug_signatures WHERE version = 1",
        "INSERT INTO drug_withdrawals VALUES ('gentamicin', 1, 'p-kay', 1)",
        "INSERT INTO drug_signatures VALUES ('gentamicin', 2, 2, 'p-rob', 1)",
    ],
)
def test_tampering_with_the_locks_off_is_told(store: s.Store, sql: str) -> None:
    with closing(sqlite3.connect(store.database.path, isolation_level=None)) as raw:
        guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute(sql)
        for _, made in guards:
            raw.execute(made)
    assert not verify(store.database.path, store.keys).whole


# -- the kiosk itself ---------------------------------------------------------------------------------


def test_the_kiosk_itself_cannot_record_a_second_signature_of_one_hand(store: s.Store) -> None:
    proposal = store.drugs.versions("gentamicin")[1].entry
    with pytest.raises(RuleBroken, match="nobody signs twice"):
        store.ledger.note([e.DrugEntrySigned(s.KEEPER, "gentamicin", 2, 2, proposal)], s.NOW)


def test_the_kiosk_itself_cannot_record_a_signature_under_another_proposal(store: s.Store) -> None:
    with pytest.raises(RuleBroken, match="names the proposal"):
        store.ledger.note([e.DrugEntrySigned(s.OTHER_KEEPER, "gentamicin", 2, 2, 1)], s.NOW)


def test_the_kiosk_itself_cannot_propose_while_one_is_to_be_signed(store: s.Store) -> None:
    drug = replace(DRUG, least_interval=Measure.of(6, "h"))
    event = e.DrugEntryProposed(s.KEEPER, drug, 3, s.NOW.date(), (), "screen")
    with pytest.raises(RuleBroken, match="waits until the one before"):
        store.ledger.note([event], s.NOW)


def test_a_reason_with_odd_characters_comes_back_as_it_was_typed(store: s.Store) -> None:
    odd = "\ue000 nobody\ue001 knows"
    store.drugs.withdraw(s.KEEPER, "gentamicin", 2, odd, s.NOW)
    gone = store.drugs.versions("gentamicin")[1].withdrawn
    assert gone is not None
    assert gone.reason == odd
