"""Seals: the head of the chain, signed and kept apart, contradict whoever shortens or rewrites the record."""

from __future__ import annotations

import stat
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.findings import Refusal
from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import SealMade
from kiosk.store.diagnosis import How
from kiosk.store.keys import make_keys
from kiosk.store.seals import Seal, kept_seals, read_seal
from kiosk.store.verify import verify
from tests.store import samples as s
from tests.store.tampering import rechain


@pytest.fixture
def store(tmp_path: Path) -> Iterator[s.Store]:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
        yield store


def sealed(store: s.Store) -> Seal:
    seal = store.seal(s.NOW)
    assert seal is not None
    return seal


def test_a_seal_says_where_the_chain_stood_and_is_on_record(store: s.Store) -> None:
    seal = sealed(store)
    assert seal.seq == len(s.whole())
    assert store.ledger.house_events()[-1].event == SealMade(seal.seq, seal.hash)
    assert list(kept_seals(store.keys)) == [seal]
    assert verify(store.database.path, store.keys).sealed == seal.seq


def test_a_seal_fits_a_data_matrix_and_comes_back_from_its_line(store: s.Store) -> None:
    seal = sealed(store)
    assert read_seal(seal.text, store.keys) == seal
    assert len(seal.text) < 200
    assert seal.text.isascii()


def test_a_seal_is_kept_where_only_its_owner_reads(store: s.Store) -> None:
    sealed(store)
    folder = store.keys.folder / "seals"
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


SEQ = f" {len(s.whole())} "


@pytest.mark.parametrize(
    ("was", "now", "code"),
    [
        (SEQ, " 7 ", "seal_forged"),
        ("2026-03-15", "2026-03-14", "seal_forged"),
        ("PS1 ", "PS1 x", "seal_of_another_counter"),
        ("PS1 ", "PS2 ", "seal_misread"),
        ("2026-03-15T03", "yesterday", "seal_misread"),
        (SEQ, " ", "seal_misread"),
        (SEQ, " six ", "seal_misread"),
    ],
)
def test_a_seal_altered_is_not_believed(store: s.Store, was: str, now: str, code: str) -> None:
    answer = read_seal(sealed(store).text.replace(was, now), store.keys)
    assert isinstance(answer, Refusal)
    assert answer.code == code


def test_a_seal_of_another_counter_is_not_believed(store: s.Store, tmp_path: Path) -> None:
    answer = read_seal(sealed(store).text, make_keys(tmp_path / "other"))
    assert isinstance(answer, Refusal)
    assert answer.code == "seal_of_another_counter"


def test_one_seal_a_day(store: s.Store) -> None:
    assert store.seal_if_due(s.NOW) is not None
    assert store.seal_if_due(s.NOW + timedelta(hours=1)) is None
    assert store.seal_if_due(s.NOW + timedelta(days=1)) is not None


def test_nothing_to_seal_makes_no_seal(tmp_path: Path) -> None:
    (tmp_path / "fresh").mkdir()
    with s.a_store(tmp_path / "fresh") as store:
        assert store.seal(s.NOW) is None


def cut(store: s.Store, first: int) -> None:
    """Cut the tail off, and move the note back too, as who owns database and folder could."""
    store.database.raw.execute("PRAGMA foreign_keys = OFF")
    store.database.raw.execute("DROP TRIGGER ledger_no_delete")
    store.database.raw.execute("DELETE FROM ledger WHERE seq >= ?", (first,))
    row = store.database.raw.execute("SELECT seq, hash, mark FROM ledger ORDER BY seq DESC").fetchone()
    store.head.move(*row)


def test_a_tail_cut_off_behind_everybodys_back_contradicts_a_seal_in_a_drawer(store: s.Store) -> None:
    slip = sealed(store)
    next((store.keys.folder / "seals").glob("*.txt")).unlink()
    cut(store, 20)
    breaks = verify(store.database.path, store.keys, [slip]).breaks
    assert (20, How.TRUNCATED) in [(one.seq, one.how) for one in breaks]


def test_a_rewritten_entry_contradicts_every_seal_after_it(store: s.Store) -> None:
    slip = sealed(store)
    store.database.raw.execute("DROP TRIGGER ledger_no_change")
    store.database.raw.execute("UPDATE ledger SET entry = replace(entry, '3/2 mL', '5/2 mL') WHERE seq = 3")
    rechain(store.database.raw, 3)
    breaks = verify(store.database.path, store.keys).breaks
    assert (breaks[0].seq, breaks[0].how) == (3, How.REWRITTEN)
    assert (slip.seq, How.REWRITTEN) in [(one.seq, one.how) for one in breaks]


def test_a_forged_seal_on_file_is_told(store: s.Store) -> None:
    (store.keys.folder / "seals").mkdir()
    (store.keys.folder / "seals" / "x.txt").write_text("PS1 nonsense")
    breaks = verify(store.database.path, store.keys).breaks
    assert [(one.how, one.detail) for one in breaks] == [(How.BAD_SEAL, "seal_misread")]


def test_work_goes_on_after_a_seal(store: s.Store) -> None:
    sealed(store)
    store.ledger.append(
        "prep-2", [s.opened(s.an_order("o-2"), code="A2"), e.Discarded(s.PREPARER, "x")], s.NOW, "k2"
    )
    assert verify(store.database.path, store.keys).whole
