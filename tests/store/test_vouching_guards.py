"""The third lock of the two-person rule, tried by plain SQL: gaps, forms of check, readings of one's own.

As in ``test_guards``, who writes has the file and no key, and forges entries as far as the guards let them.
Each refusal stands beside the nearest thing that the lock lets pass.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.form_events import PauseBegan, SelfCheckBegan, Witnessed
from kiosk.core.preparation.house_events import PolicyChanged, PolicyNoted
from kiosk.core.preparation.two_people import MATTERS
from kiosk.store.connection import RuleBroken
from tests.store import samples as s
from tests.store.test_guards import forge, label, read, refused, vouch

SELF, WITNESS = "self-check after a pause", "seen by a witness"
ASKED_FOR = PolicyNoted((("check_forms", f"{WITNESS}, {SELF}", "file"),))


@pytest.fixture
def raw(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """A site that asks for both weaker forms; four open syringes, drawn and read by their preparers."""
    with s.a_store(tmp_path) as store:
        store.ledger.note([ASKED_FOR], s.NOW)
        for n, (name, second, form) in enumerate(
            (("open", True, ""), ("alone", False, ""), ("self", False, SELF), ("seen", False, WITNESS))
        ):
            by = f"p-{name}"
            begun = e.Opened(by, s.an_order(f"o-{n}"), f"A{n}", second, ("why",) if second else (), form)
            store.ledger.append(name, [begun, *s.stated(by)], s.NOW, name)
    connection = sqlite3.connect(tmp_path / "counter.db", isolation_level=None)
    yield connection
    connection.close()


def at(minutes: int) -> str:
    return (s.NOW + minutes * s.MINUTE).isoformat(timespec="microseconds")


# -- a gap ---------------------------------------------------------------------------------------------


def test_vouchers_older_than_the_last_gap_are_worth_nothing(raw: sqlite3.Connection) -> None:
    vouch(raw, "alone", ["p-alone"])
    forge(raw, "alone", "Resumed", {"by": "p-alone"})
    with pytest.raises(sqlite3.IntegrityError, match="since the last gap"):
        label(raw, "alone", "p-alone")
    with pytest.raises(sqlite3.IntegrityError, match="made since the last gap"):
        vouch(raw, "alone", ["p-alone"])  # the readings are of before the gap too
    read(raw, "alone", "p-alone")
    vouch(raw, "alone", ["p-alone"])
    label(raw, "alone", "p-alone")


def test_of_two_people_each_must_have_read_it_since_the_gap(raw: sqlite3.Connection) -> None:
    forge(raw, "open", "CheckerCame", {"by": "p-olu"})
    raw.execute("INSERT INTO roles VALUES ('open', 'p-olu', 'checker')")
    read(raw, "open", "p-olu")
    vouch(raw, "open", ["p-open", "p-olu"])
    forge(raw, "open", "Resumed", {"by": "p-open"})
    read(raw, "open", "p-open")
    vouch(raw, "open", ["p-open"])
    with pytest.raises(sqlite3.IntegrityError, match="of two people"):
        label(raw, "open", "p-open")
    read(raw, "open", "p-olu")
    vouch(raw, "open", ["p-olu"])
    label(raw, "open", "p-open")


def test_a_gap_after_the_label_was_seen_on_the_barrel_voids_nothing(raw: sqlite3.Connection) -> None:
    vouch(raw, "alone", ["p-alone"])
    label(raw, "alone", "p-alone")
    forge(raw, "alone", "LabelScannedBack", {"by": "p-alone"})
    forge(raw, "alone", "Resumed", {"by": "p-alone"})
    again = forge(
        raw, "alone", "LabelRequested", {"by": "p-alone", "digest": s.FACTS, "copy": 2, "reason": "torn"}
    )
    raw.execute("INSERT INTO labels VALUES ('alone', 2, ?, 'requested', ?)", (s.FACTS, again))


def test_a_gap_while_a_further_copy_is_not_on_the_barrel_voids_everything(raw: sqlite3.Connection) -> None:
    vouch(raw, "alone", ["p-alone"])
    label(raw, "alone", "p-alone")
    forge(raw, "alone", "LabelScannedBack", {"by": "p-alone"})
    again = forge(
        raw, "alone", "LabelRequested", {"by": "p-alone", "digest": s.FACTS, "copy": 2, "reason": "torn"}
    )
    forge(raw, "alone", "Resumed", {"by": "p-alone"})
    sql = "INSERT INTO labels VALUES ('alone', 2, ?, 'requested', ?)"
    refused(raw, sql, "since the last gap", s.FACTS, again)


# -- whose voucher, of what ------------------------------------------------------------------------------


def test_a_reading_that_leaves_a_matter_out_is_no_reading(raw: sqlite3.Connection) -> None:
    raw.execute("INSERT INTO roles VALUES ('open', 'p-olu', 'checker')")
    for matter in MATTERS[:-1] * 2:
        forge(raw, "open", "Stated", {"by": "p-olu", "facts": s.FACTS, "matter": matter})
    with pytest.raises(sqlite3.IntegrityError, match="of every matter"):
        vouch(raw, "open", ["p-olu"])
    forge(raw, "open", "Stated", {"by": "p-olu", "facts": s.FACTS, "matter": MATTERS[-1]})
    vouch(raw, "open", ["p-olu"])


def test_a_voucher_is_of_the_form_that_is_owed_and_of_no_other(raw: sqlite3.Connection) -> None:
    owed = {"open": "independent second person", "alone": "one person", "self": SELF, "seen": WITNESS}
    for name, form in owed.items():
        for other in set(owed.values()) - {form}:
            with pytest.raises(sqlite3.IntegrityError, match="form of check that is owed"):
                vouch(raw, name, [f"p-{name}"], form=other)
        vouch(raw, name, [f"p-{name}"], form=form)


def test_no_label_without_the_preparers_own_voucher(raw: sqlite3.Connection) -> None:
    raw.execute("INSERT INTO roles VALUES ('alone', 'p-olu', 'checker')")
    read(raw, "alone", "p-olu")
    vouch(raw, "alone", ["p-olu"])
    with pytest.raises(sqlite3.IntegrityError, match="needs its vouchers"):
        label(raw, "alone", "p-alone")


# -- weaker forms ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", [SELF, WITNESS])
def test_a_weaker_form_stands_on_no_syringe_where_the_policy_on_record_asks_for_none(
    tmp_path: Path, form: str
) -> None:
    with s.a_store(tmp_path) as store:
        begun = e.Opened("p-x", s.an_order(), "A9", False, (), form)
        with pytest.raises(RuleBroken, match="only where the policy on record asks for it"):
            store.ledger.append("x", [begun], s.NOW, "x")
        store.ledger.note([ASKED_FOR], s.NOW)
        store.ledger.append("x", [begun], s.NOW, "x")
        store.ledger.note([PolicyChanged("", "check_forms", form, "", source="file")], s.NOW)
        later = e.Opened("p-y", s.an_order("o-2"), "A8", False, (), form)
        with pytest.raises(RuleBroken, match="only where the policy on record asks for it"):
            store.ledger.append("y", [later], s.NOW, "y")


def test_the_form_of_a_syringe_does_not_change_and_is_one_that_is_known(raw: sqlite3.Connection) -> None:
    refused(raw, "UPDATE preparations SET form = '' WHERE id = 'self'", "does not change")
    refused(raw, "UPDATE preparations SET form = ? WHERE id = 'alone'", "does not change", SELF)
    columns = "id, order_id, patient, drug, code, needs_second, preparer, opened_at, form"
    values = "'new', 'o-9', 'x', 'd', 'A9', 0, 'p-new', 'x', 'a glance'"
    sql = f"INSERT INTO preparations ({columns}) VALUES ({values})"
    refused(raw, sql, "policy on record|form_of_check")


def begun(raw: sqlite3.Connection, by: str, minutes: int) -> None:
    """Forge a self-check begun so many minutes after ``s.NOW``."""
    forge(raw, "self", "SelfCheckBegan", {"by": by}, at=at(minutes))


def paused(raw: sqlite3.Connection, until: int) -> None:
    forge(raw, "self", "PauseBegan", {"by": "p-self", "until": at(until)})


def test_a_self_check_needs_its_pause_and_a_second_reading_by_the_same_person(
    raw: sqlite3.Connection,
) -> None:
    vouch(raw, "self", ["p-self"], form=SELF)
    with pytest.raises(sqlite3.IntegrityError, match="same person reading everything again"):
        label(raw, "self", "p-self")  # no pause at all
    paused(raw, until=2)
    begun(raw, "p-self", 1)  # too soon
    read(raw, "self", "p-self")
    vouch(raw, "self", ["p-self"], form=SELF)
    with pytest.raises(sqlite3.IntegrityError, match="after the pause"):
        label(raw, "self", "p-self")
    begun(raw, "p-olu", 3)  # somebody else
    read(raw, "self", "p-self")
    vouch(raw, "self", ["p-self"], form=SELF)
    with pytest.raises(sqlite3.IntegrityError, match="after the pause"):
        label(raw, "self", "p-self")
    begun(raw, "p-self", 3)
    vouch(raw, "self", ["p-self"], form=SELF)  # nothing read since it began
    with pytest.raises(sqlite3.IntegrityError, match="after the pause"):
        label(raw, "self", "p-self")
    read(raw, "self", "p-self")
    with pytest.raises(sqlite3.IntegrityError, match="after the pause"):
        label(raw, "self", "p-self")  # vouched before it was read
    vouch(raw, "self", ["p-self"], form=SELF)
    label(raw, "self", "p-self")


def test_a_pause_of_before_a_gap_does_not_count(raw: sqlite3.Connection) -> None:
    paused(raw, until=2)
    forge(raw, "self", "Resumed", {"by": "p-self"})
    begun(raw, "p-self", 3)
    read(raw, "self", "p-self")
    vouch(raw, "self", ["p-self"], form=SELF)
    with pytest.raises(sqlite3.IntegrityError, match="after the pause"):
        label(raw, "self", "p-self")


def test_a_witness_is_another_person_who_saw_it_since_the_gap_and_before_the_voucher(
    raw: sqlite3.Connection,
) -> None:
    vouch(raw, "seen", ["p-seen"], form=WITNESS)
    with pytest.raises(sqlite3.IntegrityError, match="a witness is another person"):
        label(raw, "seen", "p-seen")
    forge(raw, "seen", "Witnessed", {"by": "p-seen"})
    vouch(raw, "seen", ["p-seen"], form=WITNESS)
    with pytest.raises(sqlite3.IntegrityError, match="a witness is another person"):
        label(raw, "seen", "p-seen")
    refused(raw, "INSERT INTO roles VALUES ('seen', 'p-seen', 'witness')", "two roles")
    forge(raw, "seen", "Witnessed", {"by": "p-wim"})
    raw.execute("INSERT INTO roles VALUES ('seen', 'p-wim', 'witness')")
    with pytest.raises(sqlite3.IntegrityError, match="a witness is another person"):
        label(raw, "seen", "p-seen")  # vouched before anybody saw it
    vouch(raw, "seen", ["p-seen"], form=WITNESS)
    forge(raw, "seen", "Resumed", {"by": "p-seen"})
    read(raw, "seen", "p-seen")
    vouch(raw, "seen", ["p-seen"], form=WITNESS)
    with pytest.raises(sqlite3.IntegrityError, match="a witness is another person"):
        label(raw, "seen", "p-seen")  # seen before the gap
    forge(raw, "seen", "Witnessed", {"by": "p-wim"})
    vouch(raw, "seen", ["p-seen"], form=WITNESS)
    label(raw, "seen", "p-seen")


def test_a_witness_without_the_role_on_this_syringe_is_nobody(raw: sqlite3.Connection) -> None:
    forge(raw, "seen", "Witnessed", {"by": "p-wim"})
    vouch(raw, "seen", ["p-seen"], form=WITNESS)
    with pytest.raises(sqlite3.IntegrityError, match="a witness is another person"):
        label(raw, "seen", "p-seen")


def test_the_rules_own_way_through_each_weaker_form_passes_the_locks(tmp_path: Path) -> None:
    """What the kiosk itself writes, action by action, in one transaction each."""
    with s.a_store(tmp_path) as store:
        store.ledger.note([ASKED_FOR], s.NOW)
        alone = e.Opened(s.PREPARER, s.an_order(), "A1", False, (), SELF)
        again = [PauseBegan(s.PREPARER, s.NOW + 2 * s.MINUTE), *s.stated(s.PREPARER)]
        store.ledger.append("one", [alone, *s.drawn(), *again], s.NOW, "one")
        after = [
            SelfCheckBegan(s.PREPARER),
            *s.stated(s.PREPARER),
            e.Vouched(s.FACTS, (s.PREPARER,), SELF),
            *s.labelled(),
        ]
        store.ledger.append("one", after, s.NOW + 2 * s.MINUTE, "one-after")
        seen = e.Opened("p-two", s.an_order("o-2"), "A2", False, (), WITNESS)
        events = [
            seen,
            *s.drawn("p-two", s.a_container(id="v2")),
            Witnessed("p-wim"),
            e.Vouched(s.FACTS, ("p-two",), WITNESS),
            e.LabelRequested("p-two", s.FACTS, 1),
        ]
        store.ledger.append("two", events, s.NOW, "two")
