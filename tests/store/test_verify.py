"""The record proves itself, or says the first entry that breaks and how."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import RecordAccepted
from kiosk.store.chain import walk, walk_tail
from kiosk.store.connection import read_only
from kiosk.store.diagnosis import How
from kiosk.store.export import ledger_lines
from kiosk.store.keys import read_keys
from kiosk.store.verify import Verdict, verify
from tests.store import samples as s
from tests.store.tampering import rechain

LAST = len(s.whole()) + 6


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a sound record of one whole syringe and some house entries."""
    folder = tmp_path_factory.mktemp("clean")
    with s.a_store(folder) as store:
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.devices([])
        store.note_tables({"hazards": "ab" * 32}, "0.1.0", s.NOW)
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.orders([s.an_order()])
        store.people.sign_off(s.PREPARER, "asked", s.NOW)
        store.people.sign_off(s.CHECKER, "asked", s.NOW)
    return folder


@pytest.fixture
def folder(clean: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(clean, tmp_path / "copy"))


def tampered(folder: Path, change: Callable[[sqlite3.Connection], object]) -> Verdict:
    """Drop the guards, change the file, put the guards back as they were, verify."""
    with closing(sqlite3.connect(folder / "counter.db", isolation_level=None)) as raw:
        guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            raw.execute(f"DROP TRIGGER {name}")
        change(raw)
        for _, sql in guards:
            raw.execute(sql)
    return verify(folder / "counter.db", read_keys(folder / "keys"))


def said(verdict: Verdict) -> tuple[int, How]:
    return verdict.breaks[0].seq, verdict.breaks[0].how


def test_a_sound_record_is_whole(folder: Path) -> None:
    verdict = tampered(folder, lambda raw: None)
    assert verdict == Verdict(entries=LAST, sealed=0, breaks=())
    assert verdict.whole


def test_an_empty_record_is_whole(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        assert verify(store.database.path, store.keys).whole


def changed(raw: sqlite3.Connection) -> None:
    raw.execute("UPDATE ledger SET entry = replace(entry, '3/2 mL', '5/2 mL') WHERE seq = 5")


def changed_and_hashed(raw: sqlite3.Connection) -> None:
    changed(raw)
    text = raw.execute("SELECT entry FROM ledger WHERE seq = 5").fetchone()[0]
    raw.execute("UPDATE ledger SET hash = ? WHERE seq = 5", (sha256(text.encode()).hexdigest(),))


def changed_and_rechained(raw: sqlite3.Connection) -> None:
    changed(raw)
    rechain(raw, 5)


def removed(raw: sqlite3.Connection) -> None:
    raw.execute("DELETE FROM ledger WHERE seq = 5")


def removed_and_closed_up(raw: sqlite3.Connection) -> None:
    removed(raw)
    for seq in range(6, LAST + 1):
        raw.execute("UPDATE ledger SET seq = seq - 1 WHERE seq = ?", (seq,))


def swapped(raw: sqlite3.Connection) -> None:
    raw.execute("UPDATE ledger SET seq = -1 WHERE seq = 5")
    raw.execute("UPDATE ledger SET seq = 5 WHERE seq = 8")
    raw.execute("UPDATE ledger SET seq = 8 WHERE seq = -1")


def make_room(raw: sqlite3.Connection, at: int) -> None:
    for seq in range(LAST, at - 1, -1):
        raw.execute("UPDATE ledger SET seq = seq + 1 WHERE seq = ?", (seq,))


def inserted(raw: sqlite3.Connection) -> None:
    make_room(raw, 5)
    text = raw.execute("SELECT entry FROM ledger WHERE seq = 4").fetchone()[0]
    text = text.replace('"key":"k1"', '"key":"k9"')
    raw.execute("INSERT INTO ledger (seq, entry, hash, mark) VALUES (5, ?, ?, '')", (text, "0" * 64))


def inserted_twice(raw: sqlite3.Connection) -> None:
    raw.execute("DROP INDEX ledger_written_once")
    make_room(raw, 5)
    raw.execute(
        "INSERT INTO ledger (seq, entry, hash, mark) SELECT 5, entry, hash, mark FROM ledger WHERE seq = 4"
    )
    raw.execute('CREATE UNIQUE INDEX other ON ledger ("key", part, seq)')


def appended(raw: sqlite3.Connection) -> None:
    text = raw.execute("SELECT entry FROM ledger WHERE seq = 4").fetchone()[0]
    text = text.replace('"key":"k1"', '"key":"k9"').replace('"seq":4', f'"seq":{LAST + 1}')
    row = (LAST + 1, text, sha256(text.encode()).hexdigest())
    raw.execute("INSERT INTO ledger (seq, entry, hash, mark) VALUES (?, ?, ?, '')", row)


def other_hash(raw: sqlite3.Connection) -> None:
    raw.execute("UPDATE ledger SET hash = ? WHERE seq = 5", ("0" * 64,))


def other_mark(raw: sqlite3.Connection) -> None:
    raw.execute("UPDATE ledger SET mark = ? WHERE seq = 5", ("0" * 64,))


def cut_short(raw: sqlite3.Connection) -> None:
    raw.execute("DELETE FROM ledger WHERE seq >= ?", (LAST - 1,))


def emptied(raw: sqlite3.Connection) -> None:
    raw.execute("DELETE FROM ledger")


@pytest.mark.parametrize(
    ("change", "seq", "how"),
    [
        (changed, 5, How.CHANGED),
        (changed_and_hashed, 5, How.CHANGED),
        (changed_and_rechained, 5, How.REWRITTEN),
        (removed, 5, How.REMOVED),
        (removed_and_closed_up, 5, How.REMOVED),
        (swapped, 5, How.REORDERED),
        (inserted, 5, How.INSERTED),
        (inserted_twice, 5, How.INSERTED),
        (appended, LAST + 1, How.INSERTED),
        (other_hash, 5, How.CHANGED),
        (other_mark, 5, How.REWRITTEN),
        (cut_short, LAST - 1, How.TRUNCATED),
        (emptied, 1, How.TRUNCATED),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_the_first_entry_that_breaks_is_named_and_how(
    folder: Path, change: Callable[[sqlite3.Connection], object], seq: int, how: How
) -> None:
    assert said(tampered(folder, change)) == (seq, how)


@pytest.mark.parametrize(
    ("sql", "what"),
    [
        ("INSERT INTO roles VALUES ('prep-1', 'p-new', 'checker')", "roles has"),
        ("UPDATE preparations SET checker = 'p-new'", "preparations lacks"),
        ("UPDATE labels SET outcome = 'failed'", "labels lacks"),
        ("DELETE FROM vouchers WHERE person = 'p-olu'", "vouchers lacks"),
        ("UPDATE lots_used SET lot = 'L78'", "lots_used lacks"),
    ],
)
def test_a_projection_that_says_other_than_the_ledger_is_told(folder: Path, sql: str, what: str) -> None:
    verdict = tampered(folder, lambda raw: raw.execute(sql))
    assert said(verdict) == (0, How.DISAGREES)
    assert what in verdict.breaks[0].detail


def test_identifiers_changed_or_wiped_without_a_word_are_told(
    folder: Path, clean: Path, tmp_path: Path
) -> None:
    verdict = tampered(folder, lambda raw: raw.execute("UPDATE patients_seen SET number = 'H-1'"))
    assert said(verdict) == (0, How.CHANGED)
    other = Path(shutil.copytree(clean, tmp_path / "other"))
    wiped = "UPDATE patients_seen SET salt='', id='', number='', name='', born='', place='', erased_at='x'"
    assert said(tampered(other, lambda raw: raw.execute(wiped))) == (0, How.CHANGED)


@pytest.mark.parametrize(
    "sql",
    [
        "DROP TRIGGER labels_vouched_for",
        "CREATE TRIGGER quiet AFTER INSERT ON ledger BEGIN SELECT 1; END",
        "DROP INDEX one_open_syringe_a_preparer",
        "CREATE TABLE more (x)",
        "DROP TABLE lots_used",
    ],
)
def test_a_lock_taken_off_is_told(folder: Path, sql: str) -> None:
    with closing(sqlite3.connect(folder / "counter.db", isolation_level=None)) as raw:
        raw.execute(sql)
    verdict = verify(folder / "counter.db", read_keys(folder / "keys"))
    assert How.GUARD in {one.how for one in verdict.breaks}


def test_a_damaged_page_is_told_not_thrown(folder: Path) -> None:
    path = folder / "counter.db"
    with closing(sqlite3.connect(path)) as raw:
        page = raw.execute("PRAGMA page_size").fetchone()[0]
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    held = bytearray(path.read_bytes())
    held[page : 40 * page] = b"\x5a" * (39 * page)
    path.write_bytes(held)
    assert said(verify(path, read_keys(folder / "keys"))) == (0, How.DAMAGED)


def test_a_record_whose_note_is_gone_says_so(folder: Path) -> None:
    (folder / "keys" / "head").unlink()
    assert said(verify(folder / "counter.db", read_keys(folder / "keys"))) == (LAST, How.NO_NOTE)


def test_an_older_copy_put_back_is_told(folder: Path) -> None:
    old = (folder / "counter.db").read_bytes()
    with s.a_store(folder) as store:
        store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
    (folder / "counter.db").write_bytes(old)
    for more in ("counter.db-wal", "counter.db-shm"):
        (folder / more).unlink(missing_ok=True)
    assert said(verify(folder / "counter.db", read_keys(folder / "keys"))) == (LAST + 1, How.TRUNCATED)


def test_the_end_alone_can_be_followed(folder: Path) -> None:
    with closing(read_only(folder / "counter.db")) as raw:
        tail, whole = walk_tail(raw, 5), walk(raw)
    assert (tail.first, tail.good, tail.whole) == (LAST - 4, 5, True)
    assert tail.hash == whole.hash
    assert tail.next == whole.next == LAST + 1


def test_the_ledger_taken_out_proves_itself_with_nothing_but_sha_256(folder: Path) -> None:
    with (folder / "out.jsonl").open("w", newline="\n") as out:
        assert ledger_lines(folder / "counter.db", out) == LAST
    prev = "0" * 64
    for line in (folder / "out.jsonl").read_bytes().splitlines():
        assert line.startswith(b'{"prev":"' + prev.encode() + b'"')
        prev = sha256(line).hexdigest()


def test_verifying_while_work_goes_on_finds_nothing_wrong(folder: Path) -> None:
    with s.a_store(folder) as store:
        store.ledger.append("prep-2", [s.opened(s.an_order("o-2"), code="A2")], s.NOW, "k2")
        assert verify(store.database.path, store.keys).whole
        store.ledger.append("prep-2", [e.Discarded(s.PREPARER, "x")], s.NOW, "k3")
        assert verify(store.database.path, store.keys).whole


@pytest.mark.parametrize("at", ["p-olu", "", "2026-03-15", 7])
def test_an_acceptance_whose_moment_was_spoilt_is_told_not_thrown(folder: Path, at: object) -> None:
    with s.a_store(folder) as store:
        store.ledger.note([RecordAccepted(s.KEEPER, 1, "truncated", "put back")], s.NOW)
        store.seal(s.NOW)
        seq = store.ledger.house_events()[-2].seq

    def spoil(raw: sqlite3.Connection) -> None:
        sql = "UPDATE ledger SET entry = json_set(entry, '$.at', ?) WHERE seq = ?"
        raw.execute(sql, (at, seq))

    assert said(tampered(folder, spoil)) == (seq, How.CHANGED)
