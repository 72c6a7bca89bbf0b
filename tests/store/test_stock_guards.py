"""The locks of the book of stock: they hold whatever program writes."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from kiosk.core.preparation import stock_events as st
from kiosk.store.agreement import disagreements
from kiosk.store.connection import RuleBroken
from kiosk.store.entry import hash_of
from kiosk.store.verify import verify
from tests.store import samples as s
from tests.store.test_stock_book import AMPOULE, held, lines, ml, rest, syringe


@pytest.fixture
def store(tmp_path: Path) -> Iterator[s.Store]:
    with s.a_store(tmp_path) as opened:
        opened.ledger.note([st.StockReceived(s.KEEPER, AMPOULE, 10, s.WITNESS)], s.NOW)
        yield opened


def test_a_controlled_delivery_before_one_person_cannot_be_written(store: s.Store) -> None:
    for witness in ("", s.KEEPER):
        with pytest.raises(RuleBroken, match="before two people"):
            store.ledger.note([st.StockReceived(s.KEEPER, AMPOULE, 5, witness)], s.NOW)
    assert len(lines(store)) == 1


@pytest.mark.parametrize(
    "event",
    [
        st.StockWasted(s.KEEPER, "AMP", ml("1"), 1, "broken"),
        st.StockSentBack(s.KEEPER, "AMP", 1, "too many"),
        st.StockCounted(s.KEEPER, "AMP", 10, 9, "miscounted"),
        st.DiscrepancySettled(s.KEEPER, s.KEEPER, "morph-10", 1, "AMP", -1, ml("-1"), "x"),
    ],
    ids=lambda event: type(event).__name__,
)
def test_nothing_controlled_moves_before_one_person(store: s.Store, event: st.StockEvent) -> None:
    with pytest.raises(RuleBroken, match="before two people"):
        store.ledger.note([event], s.NOW)
    assert held(store, "AMP") == (10, None, 0)


def test_a_controlled_syringe_nobody_checked_cannot_be_booked(store: s.Store) -> None:
    with pytest.raises(RuleBroken, match="before two people"):
        syringe(store, AMPOULE, rest("0", "wasted"))


@pytest.mark.parametrize(
    "event",
    [
        st.StockWasted(s.KEEPER, "AMP", ml("11"), 11, "broken", s.WITNESS),
        st.StockSentBack(s.KEEPER, "AMP", 11, "too many", s.WITNESS),
    ],
    ids=lambda event: type(event).__name__,
)
def test_nothing_goes_below_nothing(store: s.Store, event: st.StockEvent) -> None:
    with pytest.raises(RuleBroken, match=r"no_fewer_than_none|never_below_nothing"):
        store.ledger.note([event], s.NOW)
    assert verify(store.database.path, store.keys).whole


COLUMNS = (
    'product, lot, line, entry, at, move, drug, unit, came, used, wasted, sent, "left", container, '
    "preparation, person, other, reason, sheet, sheet_line, balance"
)
SHEET = "morphine 10 mg/mL"


def forged(store: s.Store, **more: object) -> sqlite3.Cursor:
    """Write a line by SQL alone: one that would stand, but for what is said."""
    row = {
        "product": "morph-10",
        "lot": "L90",
        "line": 2,
        "entry": 3,
        "at": "2026-03-15T03:00:00.000000+00:00",
        "move": "wasted",
        "drug": "morphine",
        "unit": "mL",
        "came": 0,
        "used": 0,
        "wasted": 1_000,
        "sent": 0,
        "left": 9_000,
        "container": "AMP",
        "preparation": "",
        "person": s.KEEPER,
        "other": s.WITNESS,
        "reason": "broken",
        "sheet": SHEET,
        "sheet_line": 2,
        "balance": 9_000,
    } | more
    marks = ", ".join(f":{name}" for name in row)
    return store.database.raw.execute(f"INSERT INTO stock_book ({COLUMNS}) VALUES ({marks})", row)


@pytest.fixture
def raw(tmp_path: Path) -> Iterator[s.Store]:
    """A book with one delivery, and an entry of waste whose line is not written: place 3 of the record."""
    with s.a_store(tmp_path) as opened:
        opened.ledger.note([st.StockReceived(s.KEEPER, AMPOULE, 10, s.WITNESS)], s.NOW)
        opened.ledger.note([st.ControlledCounted(s.KEEPER, s.WITNESS, "morph-10", 10, 0, 10, 0)], s.NOW)
        _write_entry(opened)
        yield opened


def _write_entry(store: s.Store) -> None:
    """Write an entry of waste by SQL, without the line that belongs to it."""
    last = store.database.rows("SELECT hash FROM ledger ORDER BY seq DESC LIMIT 1")[0]["hash"]
    body = f'{{"by":"{s.KEEPER}","witness":"{s.WITNESS}"}}'
    text = (
        f'{{"prev":"{last}","seq":3,"at":"x","by":"{s.KEEPER}","kind":"StockWasted","preparation":"",'
        f'"key":"k","part":0,"body":{body}}}'
    )
    values = {"entry": text, "hash": hash_of(text)}
    store.database.raw.execute(
        "INSERT INTO ledger (seq, entry, hash, mark) VALUES (3, :entry, :hash, '')", values
    )


def test_the_forged_line_would_stand_if_it_were_true(raw: s.Store) -> None:
    forged(raw)


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"line": 1}, "next place"),
        ({"line": 3}, "next place"),
        ({"left": 9_500}, "what came less what went"),
        ({"wasted": 11_000, "left": -1_000, "balance": -1_000}, "never_below_nothing"),
        ({"balance": 10_000}, "continues its balance"),
        ({"sheet_line": 1}, "continues its balance"),
        ({"other": ""}, "before two people"),
        ({"other": s.KEEPER}, "before two people"),
        ({"other": "somebody"}, "before two people"),
        ({"person": "somebody"}, "stands in the record"),
        ({"entry": 99}, "stands in the record|before two people"),
        ({"preparation": "p1"}, "stands in the record"),
        ({"sheet": None, "sheet_line": None, "balance": None}, "on one sheet"),
        ({"sheet": "another sheet", "sheet_line": 1, "balance": -1_000}, "on one sheet|never_below"),
        ({"unit": "1"}, "on one sheet"),
        ({"used": -500, "wasted": 1_000, "left": 9_500}, "only_a_discard|balance"),
        ({"lot": "L91", "line": 1, "left": 0, "wasted": 0, "move": "received"}, "on one sheet|balance"),
    ],
)
def test_a_line_that_is_not_true_is_refused_by_the_database_alone(
    raw: s.Store, more: dict[str, object], why: str
) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=why):
        forged(raw, **more)


@pytest.mark.parametrize(
    ("sql", "why"),
    [
        ("UPDATE stock_book SET wasted = 0", "never changed"),
        ("DELETE FROM stock_book", "never deleted"),
        ("INSERT OR REPLACE INTO stock_book SELECT * FROM stock_book", "next place|continues"),
        ("UPDATE handovers SET sealed = 9", "never changed"),
        ("DELETE FROM handovers", "never deleted"),
        ("UPDATE containers SET held = -1", "no_fewer_than_none"),
        ("UPDATE containers SET \"left\" = '-1/2 mL'", "no_less_than_nothing"),
        ("UPDATE containers SET lot = 'L91'", "stays what it is"),
        ("INSERT INTO handovers VALUES ('morph-10', 3, 'x', 'kay', 'kay', 1, 0, 1, 0)", "two_people|record"),
        ("INSERT INTO handovers VALUES ('morph-10', 1, 'x', 'kay', 'wim', 1, 0, 1, 0)", "in the record"),
    ],
)
def test_what_stands_in_the_book_stays(raw: s.Store, sql: str, why: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=why):
        raw.database.raw.execute(sql)


def test_a_line_taken_away_or_altered_is_told(tmp_path: Path) -> None:
    for number, sql in enumerate(
        ("DELETE FROM stock_book WHERE line = 1", "UPDATE stock_book SET reason = 'x'")
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        with s.a_store(folder) as store:
            store.ledger.note(s.stocked(), s.NOW)
            for guard in ("no_delete", "no_change"):
                store.database.raw.execute(f"DROP TRIGGER stock_book_{guard}")
            store.database.raw.execute(sql)
        assert any("stock_book" in one.detail for one in disagreements(folder / "counter.db"))


@contextmanager
def guard_off(store: s.Store, name: str) -> Iterator[None]:
    """Take one guard off and put it back as it was."""
    found = "SELECT sql FROM sqlite_master WHERE name = :name"
    (sql,) = (row["sql"] for row in store.database.rows(found, {"name": name}))
    store.database.raw.execute(f"DROP TRIGGER {name}")
    yield
    store.database.raw.execute(sql)


@pytest.mark.parametrize(
    "sql", ["UPDATE containers SET held = 11", "UPDATE containers SET held = 9", "DELETE FROM containers"]
)
def test_a_drawer_that_does_not_hold_what_the_book_says_is_told(store: s.Store, sql: str) -> None:
    assert verify(store.database.path, store.keys).whole
    with guard_off(store, "containers_no_delete"):
        store.database.raw.execute(sql)
    broken = verify(store.database.path, store.keys).breaks
    assert broken[0].detail == "containers: lot L90 of morph-10 is not what its book says is left"
    assert broken[1].detail.startswith("containers ")  # built anew from the record it is another row


def test_what_is_in_hand_is_still_at_the_counter(store: s.Store) -> None:
    syringe(store, AMPOULE)
    assert held(store, "AMP") == (9, None, 0)
    assert verify(store.database.path, store.keys).whole
