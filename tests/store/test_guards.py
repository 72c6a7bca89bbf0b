"""The locks inside the database, tried by plain SQL from a program that knows nothing of the kiosk.

Who writes here has the file and no key. Foreign keys are off, as they are by default in SQLite.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.two_people import MATTERS
from tests.store import samples as s


@pytest.fixture
def raw(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """A record of one syringe done, one open and drawn, one open that needs no second person."""
    with s.a_store(tmp_path) as store:
        store.ledger.append("done", s.whole(), s.NOW, "done")
        other = s.opened(s.an_order("o-2"), by="p-two", code="A30002")
        store.ledger.append("open", [other, *s.stated("p-two")], s.NOW, "open")
        alone = s.opened(s.an_order("o-3"), by="p-three", code="A30003", second=False)
        store.ledger.append("alone", [alone, *s.stated("p-three")], s.NOW, "alone")
    connection = sqlite3.connect(tmp_path / "counter.db", isolation_level=None)
    yield connection
    connection.close()


def refused(raw: sqlite3.Connection, sql: str, why: str, *values: object) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=why):
        raw.execute(sql, values)


def forge(
    raw: sqlite3.Connection, preparation: str, kind: str, body: dict[str, object], **head: object
) -> int:
    """Append an entry that the guards let pass: right place, right link, no key needed."""
    seq, prev = raw.execute("SELECT seq, hash FROM ledger ORDER BY seq DESC LIMIT 1").fetchone()
    said = {
        "prev": prev,
        "seq": seq + 1,
        "at": "2026-03-15T04:00:00.000000+00:00",
        "by": str(body.get("by", "")),
        "kind": kind,
        "preparation": preparation,
        "key": f"forged-{seq}",
        "part": 0,
    } | head
    text = json.dumps({**said, "body": body}, separators=(",", ":"))
    row = (said["seq"], text, sha256(text.encode()).hexdigest(), "0" * 64)
    raw.execute("INSERT INTO ledger (seq, entry, hash, mark) VALUES (?, ?, ?, ?)", row)
    return seq + 1


@pytest.mark.parametrize(
    "table", ["ledger", "preparations", "roles", "vouchers", "labels", "lots_used", "patients_seen"]
)
def test_nothing_of_the_record_can_be_deleted(raw: sqlite3.Connection, table: str) -> None:
    refused(raw, f"DELETE FROM {table}", "never deleted")


@pytest.mark.parametrize(
    ("sql", "why"),
    [
        ("UPDATE ledger SET entry = replace(entry, '60', '600')", "never changed"),
        ("UPDATE OR REPLACE ledger SET seq = seq + 1", "never changed"),
        ("UPDATE ledger SET mark = ''", "never changed"),
        ("UPDATE roles SET role = 'witness'", "never changed"),
        ("UPDATE vouchers SET person = 'p-other'", "never changed"),
        ("UPDATE lots_used SET lot = 'L78'", "never changed"),
        ("UPDATE labels SET digest = 'x'", "only the outcome"),
        ("UPDATE patients_seen SET name = 'Somebody'", "only be erased"),
        ("UPDATE preparations SET needs_second = 0 WHERE id = 'open'", "does not change"),
        ("UPDATE preparations SET drug = 'other' WHERE id = 'open'", "does not change"),
        ("UPDATE preparations SET ended_at = NULL, outcome = NULL WHERE id = 'done'", "stays ended"),
        ("UPDATE preparations SET checker = preparer WHERE id = 'open'", "two roles|another_person"),
        ("UPDATE preparations SET witness = preparer WHERE id = 'open'", "two roles|another_person"),
        ("UPDATE OR REPLACE preparations SET preparer = 'p-three' WHERE id = 'open'", "one open syringe"),
        ("UPDATE preparations SET ended_at = 'x', outcome = 'finished' WHERE id = 'open'", "only a labelled"),
        ("UPDATE preparations SET ended_at = 'x', outcome = 'lost' WHERE id = 'open'", "outcome_is_known"),
    ],
)
def test_what_stands_cannot_be_changed(raw: sqlite3.Connection, sql: str, why: str) -> None:
    refused(raw, sql, why)


def test_a_row_cannot_be_replaced_by_inserting_over_it(raw: sqlite3.Connection) -> None:
    for table in ("ledger", "preparations", "labels", "lots_used", "patients_seen"):
        columns = [row[1] for row in raw.execute(f"PRAGMA table_info({table})")]
        named = ", ".join(f'"{column}"' for column in columns)
        with pytest.raises(sqlite3.IntegrityError):
            raw.execute(f"INSERT OR REPLACE INTO {table} ({named}) SELECT {named} FROM {table}")


def test_a_voucher_replaced_can_only_be_replaced_by_itself(raw: sqlite3.Connection) -> None:
    before = raw.execute("SELECT * FROM vouchers").fetchall()
    raw.execute("INSERT OR REPLACE INTO vouchers SELECT * FROM vouchers")
    assert raw.execute("SELECT * FROM vouchers").fetchall() == before
    sql = "INSERT OR REPLACE INTO vouchers SELECT preparation, facts, person, 1, round FROM vouchers"
    refused(raw, sql, "stands in the record|reading of their own|form of check")


def test_an_entry_can_neither_skip_a_place_nor_take_one_that_is_taken(raw: sqlite3.Connection) -> None:
    last = raw.execute("SELECT max(seq) FROM ledger").fetchone()[0]
    for seq in (1, last, last + 2, -1, 0):
        with pytest.raises(sqlite3.IntegrityError, match="next place"):
            forge(raw, "open", "StepDone", {"by": "p-two"}, seq=seq)


def test_an_entry_must_link_to_the_one_before(raw: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="hash of the one before"):
        forge(raw, "open", "StepDone", {"by": "p-two"}, prev="0" * 64)


def test_a_key_is_written_once(raw: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="written once"):
        forge(raw, "open", "StepDone", {"by": "p-two"}, key="done")


def test_an_entry_that_is_not_json_is_refused(raw: sqlite3.Connection) -> None:
    last = raw.execute("SELECT max(seq) FROM ledger").fetchone()[0]
    with pytest.raises(sqlite3.Error):
        raw.execute("INSERT INTO ledger VALUES (?, 'not json', '', '')", (last + 1,))


def test_one_person_cannot_hold_two_roles_on_one_syringe(raw: sqlite3.Connection) -> None:
    for role in ("checker", "witness"):
        refused(raw, "INSERT INTO roles VALUES ('open', 'p-two', ?)", "two roles", role)
        refused(raw, "INSERT OR REPLACE INTO roles VALUES ('open', 'p-two', ?)", "two roles", role)
    refused(raw, "INSERT INTO roles VALUES ('open', ' ', 'checker')", "held by somebody")
    refused(raw, "INSERT INTO roles VALUES ('open', 'p-x', 'owner')", "role_is_known")


def test_the_preparer_can_neither_check_nor_witness_even_with_entries_forged(raw: sqlite3.Connection) -> None:
    forge(raw, "open", "CheckerCame", {"by": "p-two"})
    refused(raw, "INSERT INTO roles VALUES ('open', 'p-two', 'checker')", "two roles")
    with pytest.raises(sqlite3.IntegrityError):
        raw.execute("UPDATE preparations SET checker = 'p-two' WHERE id = 'open'")


def read(raw: sqlite3.Connection, preparation: str, by: str, facts: str = s.FACTS) -> None:
    """Forge a reading of every matter."""
    for matter in MATTERS:
        forge(raw, preparation, "Stated", {"by": by, "facts": facts, "matter": matter})


def label(raw: sqlite3.Connection, preparation: str, by: str, digest: str = s.FACTS) -> None:
    seq = forge(raw, preparation, "LabelRequested", {"by": by, "digest": digest, "copy": 1, "reason": ""})
    raw.execute("INSERT INTO labels VALUES (?, 1, ?, 'requested', ?)", (preparation, digest, seq))


FORMS = {"open": "independent second person", "alone": "one person"}


def vouch(
    raw: sqlite3.Connection, preparation: str, people: list[str], facts: str = s.FACTS, form: str = ""
) -> None:
    body = {"facts": facts, "people": people, "form": form or FORMS[preparation]}
    seq = forge(raw, preparation, "Vouched", body)
    for person in people:
        raw.execute("INSERT INTO vouchers VALUES (?, ?, ?, ?, 1)", (preparation, facts, person, seq))


def test_no_label_without_vouchers_with_or_without_need_of_a_second_person(raw: sqlite3.Connection) -> None:
    for preparation, by in (("open", "p-two"), ("alone", "p-three")):
        with pytest.raises(sqlite3.IntegrityError, match="needs its vouchers"):
            label(raw, preparation, by)


def test_the_preparers_voucher_alone_is_enough_only_where_no_second_person_is_needed(
    raw: sqlite3.Connection,
) -> None:
    vouch(raw, "alone", ["p-three"])
    label(raw, "alone", "p-three")
    vouch(raw, "open", ["p-two"])
    with pytest.raises(sqlite3.IntegrityError, match="of two people"):
        label(raw, "open", "p-two")


def test_the_same_person_twice_is_one_person(raw: sqlite3.Connection) -> None:
    vouch(raw, "open", ["p-two"])
    vouch(raw, "open", ["p-two"])
    with pytest.raises(sqlite3.IntegrityError, match="of two people"):
        label(raw, "open", "p-two")


def test_two_people_must_vouch_for_the_very_facts_of_the_label(raw: sqlite3.Connection) -> None:
    forge(raw, "open", "CheckerCame", {"by": "p-olu"})
    raw.execute("INSERT INTO roles VALUES ('open', 'p-olu', 'checker')")
    read(raw, "open", "p-olu", "other")
    vouch(raw, "open", ["p-two"])
    vouch(raw, "open", ["p-olu"], "other")
    with pytest.raises(sqlite3.IntegrityError, match="of two people"):
        label(raw, "open", "p-two")


def test_nobody_vouches_without_a_reading_a_role_and_an_entry(raw: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=r"reading of their own|only preparer and checker"):
        vouch(raw, "open", ["p-olu"])
    raw.execute("INSERT INTO roles VALUES ('open', 'p-olu', 'checker')")
    with pytest.raises(sqlite3.IntegrityError, match="reading of their own"):
        vouch(raw, "open", ["p-olu"])
    refused(raw, "INSERT INTO vouchers VALUES ('open', ?, 'p-two', 1, 1)", "record|own|owed", s.FACTS)
    raw.execute("INSERT INTO roles VALUES ('open', 'p-wim', 'witness')")
    read(raw, "open", "p-wim")
    with pytest.raises(sqlite3.IntegrityError, match="only preparer and checker"):
        vouch(raw, "open", ["p-wim"])


def test_a_label_must_stand_in_the_record_first(raw: sqlite3.Connection) -> None:
    vouch(raw, "alone", ["p-three"])
    refused(raw, "INSERT INTO labels VALUES ('alone', 1, ?, 'requested', 1)", "stands in the record", s.FACTS)


def test_no_label_for_a_closed_syringe(raw: sqlite3.Connection) -> None:
    seq = forge(
        raw, "done", "LabelRequested", {"by": s.PREPARER, "digest": s.FACTS, "copy": 2, "reason": "x"}
    )
    sql = "INSERT INTO labels VALUES ('done', 2, ?, 'requested', ?)"
    refused(raw, sql, "closed or does not exist", s.FACTS, seq)


OPEN = (
    "INSERT INTO preparations (id, order_id, patient, drug, code, needs_second, preparer, opened_at) VALUES "
)


@pytest.mark.parametrize(
    "values",
    [
        "('new', 'o-9', 'x', 'd', 'A9', 0, 'p-two', 'x')",
        "('new', 'o-1', 'x', 'd', 'A9', 0, 'p-new', 'x')",
        "('new', 'o-2', 'x', 'd', 'A9', 0, 'p-new', 'x')",
        "('new', 'o-9', 'x', 'd', 'A30001', 0, 'p-new', 'x')",
    ],
    ids=["preparer has one open", "order was prepared", "order is being prepared", "code is taken"],
)
def test_one_open_syringe_a_preparer_and_one_syringe_an_order(raw: sqlite3.Connection, values: str) -> None:
    refused(raw, OPEN + values, "one open syringe a preparer, one syringe an order")
    refused(raw, OPEN.replace("INSERT", "INSERT OR REPLACE") + values, "one open syringe")


def test_an_order_whose_syringe_was_discarded_may_be_prepared_again(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        s.write(store, "one", [s.opened(), e.Discarded(s.PREPARER, "dropped")])
        s.write(store, "two", [s.opened(code="A30002")], key="two")
        assert store.ledger.unfinished() == ["two"]
