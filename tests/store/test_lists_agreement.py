"""A list that another hand changed is told by verify; what the kiosk itself does to a list is not."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.dose_events import SplitTaken
from kiosk.core.preparation.house_events import ListChanged
from kiosk.core.preparation.stock_events import StockRelisted
from kiosk.core.units import Measure
from kiosk.store.erasure import erase_patient
from kiosk.store.opening import Store
from kiosk.store.verify import verify
from tests.store import samples as s
from tests.store.test_lists import DEVICES

DAY = 24 * 60 * s.MINUTE
OTHER = s.an_order("o-2", s.a_patient("H-2", "Second Invented"))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Products, devices, a vial, two orders with their patients; one order shared out over two syringes."""
    with s.a_store(tmp_path) as store:
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.products([s.a_product(), s.a_controlled()])
            lists.devices(DEVICES)
            lists.stock([(s.a_container(), 3)])
            lists.orders([s.an_order(), OTHER])
        share = SplitTaken(s.PREPARER, 2, Measure.of("3", "mL"), Measure.of("1.5", "mL"))
        store.ledger.append("prep-1", [s.opened(), share], s.NOW, "k1")
        yield store


def told(store: Store) -> list[str]:
    return [one.detail for one in verify(store.database.path, store.keys).breaks]


def body(store: Store, table: str, id: str, **values: object) -> str:
    """The SQL that changes one value in the body of a row."""
    (row,) = store.database.rows(f"SELECT body FROM {table} WHERE id = :id", {"id": id})
    changed = json.dumps(json.loads(row["body"]) | values, sort_keys=True, separators=(",", ":"))
    return f"UPDATE {table} SET body = '{changed}' WHERE id = '{id}'"


def by_another_hand(store: Store, sql: str) -> None:
    """Run SQL with every guard off, and put the guards back."""
    raw = store.database.raw
    guards = store.database.rows("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    for row in guards:
        raw.execute(f"DROP TRIGGER {row['name']}")
    raw.execute("PRAGMA foreign_keys = OFF")
    raw.execute(sql)
    for row in guards:
        raw.execute(row["sql"])


def test_lists_as_the_kiosk_keeps_them_agree(store: Store) -> None:
    assert told(store) == []


@pytest.mark.parametrize("table", ["products", "devices", "containers"])
def test_rows_of_lists_that_only_grow_cannot_be_deleted(store: Store, table: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="never deleted"):
        store.database.raw.execute(f"DELETE FROM {table}")


@pytest.mark.parametrize(
    ("table", "id", "values"),
    [
        ("products", "gent-40", {"label_name": "gentamicin 800 mg in 2 mL"}),
        ("devices", "blunt-18", {"gauge": 21}),
        ("patients", "pt-H-2", {"allergies": ["penicillin"]}),
        ("patients", "pt-H-2", {"name": "Somebody Else"}),
        ("orders", "o-2", {"as_written": "gentamicin 600 mg IM"}),
        ("orders", "o-1", {"as_written": "gentamicin 600 mg IM"}),
        ("orders", "o-1", {"parts": 1}),
        ("orders", "o-1", {"parts": 3}),
        ("orders", "o-1-2", {"parts": 1}),
        ("orders", "o-1-2", {"as_written": "gentamicin 600 mg IM"}),
        ("orders", "o-2", {"parts": 2}),
        ("containers", "v1", {"expiry": "2037-01-31"}),
    ],
)
def test_a_row_changed_by_sql_is_told(store: Store, table: str, id: str, values: dict[str, object]) -> None:
    sql = body(store, table, id, **values)
    before = store.database.rows(f"SELECT * FROM {table}")
    by_another_hand(store, sql)
    if store.database.rows(f"SELECT * FROM {table}") == before:
        pytest.fail("nothing was changed, so nothing was tried")
    assert told(store)[0].startswith(table)


@pytest.mark.parametrize(
    "sql",
    [
        "DELETE FROM products WHERE id = 'morph-10'",
        "DELETE FROM devices WHERE id = 'blunt-18'",
        "DELETE FROM orders WHERE id = 'o-2'",
        "DELETE FROM orders WHERE id = 'o-1-2'",
        "DELETE FROM patients WHERE id = 'pt-H-2'",
        "DELETE FROM containers",
        "UPDATE containers SET expiry = '2037-01-31'",
        "UPDATE products SET gtin = '00000000000000' WHERE id = 'morph-10'",
        "INSERT INTO orders SELECT 'o-7', patient, drug, due, body FROM orders WHERE id = 'o-2'",
        "INSERT INTO orders SELECT 'o-1-3', patient, drug, due, body FROM orders WHERE id = 'o-1-2'",
        "INSERT INTO devices SELECT 'other', kind, '', body FROM devices WHERE id = 'blunt-18'",
        "UPDATE orders SET due = '2020-01-01T00:00:00.000000+00:00'",
    ],
)
def test_a_row_gone_slipped_in_or_moved_is_told(store: Store, sql: str) -> None:
    by_another_hand(store, sql)
    assert told(store)


def test_taking_in_again_withdrawing_and_erasing_leave_lists_that_agree(store: Store) -> None:
    later = s.NOW + 3 * DAY
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.products([replace(s.a_product(), label_name="gentamicin, other pack")])
        lists.orders([s.an_order("o-3"), s.an_order("o-4")])
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.withdraw_orders(["o-3", "o-none"])
    last = store.ledger.house_events()[-1].event
    assert isinstance(last, ListChanged)
    assert (last.list, last.removed) == ("orders", 1)
    store.ledger.append("prep-1", [e.Discarded(s.PREPARER, "x")], s.NOW, "k2")
    erase_patient(store.database, store.ledger, OTHER.patient.id, s.KEEPER, "asked", later)
    assert told(store) == []
    erase_patient(store.database, store.ledger, s.a_patient().id, s.KEEPER, "asked", later)
    assert store.database.rows("SELECT * FROM orders") == []
    assert told(store) == []


def test_a_shared_out_order_that_comes_again_stays_shared_out_and_its_parts_follow_it(store: Store) -> None:
    """Otherwise the whole dose would be due again beside the parts of it that are due already."""
    store.ledger.append("prep-1", [e.Discarded(s.PREPARER, "x")], s.NOW, "k2")
    again = replace(s.an_order(), prescriber="Dr Somebody")
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.orders([again])
    due = {order.id: order for order in store.orders.due(s.NOW)}
    assert (due["o-1"].part, due["o-1"].parts, due["o-1"].prescriber) == (1, 2, "Dr Somebody")
    assert (due["o-1-2"].part, due["o-1-2"].parts, due["o-1-2"].prescriber) == (2, 2, "Dr Somebody")
    assert told(store) == []


def test_what_a_list_changes_of_a_known_container_is_an_entry_of_its_own(store: Store) -> None:
    later = replace(s.a_container(), expiry=date(2027, 6, 30))
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.stock([(later, 3)])
    relisted = [one.event for one in store.ledger.house_events() if isinstance(one.event, StockRelisted)]
    assert [one.container.expiry for one in relisted] == [date(2027, 6, 30)]
    with store.importing(s.KEEPER, s.NOW) as lists:
        assert lists.stock([(later, 3)]).same == 1
    assert told(store) == []


@pytest.mark.parametrize("spoilt", ["not json", "{}", '{"expiry":"2027-02-31"}'])
@pytest.mark.parametrize("table", ["containers", "orders", "products"])
def test_a_row_that_cannot_be_read_is_told_not_thrown(store: Store, table: str, spoilt: str) -> None:
    by_another_hand(store, f"UPDATE {table} SET body = '{spoilt}'")
    assert told(store)
