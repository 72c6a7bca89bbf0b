"""Finding syringes by patient, drug, lot, person and day; and taking what was found out."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.catalogue.drug import Drug
from kiosk.core.dose.order import Order
from kiosk.core.preparation import events as e
from kiosk.flow.keeping import Asked
from kiosk.store.erasure import erase_patient
from kiosk.store.export import COLUMNS, syringe_to_json, to_csv, to_json
from kiosk.store.search import count_of_lot, recall, search
from tests.store import samples as s

DAY = timedelta(days=1)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[s.Store]:
    """Three days, three patients, two drugs, two lots; one syringe done, one discarded, one open."""
    heparin = Drug("heparin", "heparin", "units")
    other = s.a_container(s.a_product(heparin, id="hep"), id="h1", lot="L90", serial="h1")
    second = replace(s.an_order("o-2", s.a_patient("H-2", "100% Jo_An")), drug=heparin)
    third = s.an_order("o-3", s.a_patient("H-3", "=cmd()"))
    with s.a_store(tmp_path_factory.mktemp("search")) as store:
        store.ledger.append("one", s.whole(), s.NOW, "k1")
        events = [
            opened(second, "p-two", "A2"),
            e.ContainerTaken("p-two", other),
            e.Discarded("p-two", "dropped"),
        ]
        store.ledger.append("two", events, s.NOW + DAY, "k2")
        events = [opened(third, "p-three", "A3"), e.ContainerTaken("p-three", s.a_container())]
        store.ledger.append("three", events, s.NOW + 2 * DAY, "k3")
        yield store


def opened(order: Order, by: str, code: str) -> e.Opened:
    return s.opened(order, by=by, code=code)


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        (Asked(), ["three", "two", "one"]),
        (Asked(patient="H-4711"), ["one"]),
        (Asked(patient="pt-H-4711"), ["one"]),
        (Asked(patient="marja"), ["one"]),
        (Asked(patient="100%"), ["two"]),
        (Asked(patient="o_A"), ["two"]),
        (Asked(patient="%"), ["two"]),
        (Asked(patient="nobody"), []),
        (Asked(drug="gentamicin"), ["three", "one"]),
        (Asked(lot="L77"), ["three", "one"]),
        (Asked(person=s.CHECKER), ["one"]),
        (Asked(person="p-two"), ["two"]),
        (Asked(since=s.NOW + DAY, until=s.NOW + 2 * DAY), ["two"]),
        (Asked(drug="gentamicin", person="p-three"), ["three"]),
        (Asked(patient="' OR 1=1 --"), []),
    ],
    ids=str,
)
def test_what_is_asked_for_is_found_latest_first(store: s.Store, asked: Asked, found: list[str]) -> None:
    assert [one.preparation for one in search(store.database, asked)] == found


def test_what_is_found_tells_who_what_when(store: s.Store) -> None:
    (one,) = search(store.database, Asked(patient="marja"))
    assert (one.patient, one.patient_number, one.code, one.order) == (
        "Marja Invented",
        "H-4711",
        "A30001",
        "o-1",
    )
    assert (one.preparer, one.checker, one.witness) == (s.PREPARER, s.CHECKER, s.WITNESS)
    assert (one.lots, one.outcome, one.opened_at) == (("L77",), "finished", s.NOW)


def test_a_recall_names_every_syringe_of_a_lot_earliest_first(store: s.Store) -> None:
    assert [one.preparation for one in recall(store.database, "L77")] == ["one", "three"]
    assert count_of_lot(store.database, "L77") == 2
    assert recall(store.database, "L0") == []


def test_a_recall_reads_the_one_table_clustered_by_lot(store: s.Store) -> None:
    sql = "EXPLAIN QUERY PLAN SELECT at, patient, drug, preparation, product FROM lots_used WHERE lot = 'L77'"
    assert [row["detail"] for row in store.database.rows(sql)] == [
        "SEARCH lots_used USING PRIMARY KEY (lot=?)"
    ]


def test_at_most_so_many_are_found(store: s.Store) -> None:
    assert [one.preparation for one in search(store.database, Asked(), most=2)] == ["three", "two"]


def test_found_syringes_go_out_as_csv_that_no_spreadsheet_runs(store: s.Store) -> None:
    out = io.StringIO(newline="")
    assert to_csv(search(store.database, Asked()), out) == 3
    rows = list(csv.DictReader(io.StringIO(out.getvalue())))
    assert tuple(rows[0]) == COLUMNS
    assert [row["patient"] for row in rows] == ["'=cmd()", "100% Jo_An", "Marja Invented"]
    assert rows[2]["opened_at"] == "2026-03-15T03:00:00+00:00"


def test_found_syringes_go_out_as_json(store: s.Store) -> None:
    told = json.loads(to_json(search(store.database, Asked(lot="L90"))))
    assert [(one["preparation"], one["lots"], one["outcome"]) for one in told] == [
        ("two", ["L90"], "discarded")
    ]


def test_one_syringe_goes_out_whole_and_exact(store: s.Store) -> None:
    told = json.loads(syringe_to_json("one", store.ledger.events("one")))
    assert [entry["kind"] for entry in told["entries"]] == [type(event).__name__ for event in s.whole()]
    assert told["entries"][2]["body"]["figure"] == "3/2 mL"
    assert told["entries"][0]["body"]["order"]["patient"]["name"] == "Marja Invented"


def test_an_erased_patient_is_found_by_nothing_that_named_them(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("one", s.whole(), s.NOW, "k1")
        erase_patient(store.database, store.ledger, "pt-H-4711", s.KEEPER, "", s.NOW)
        assert search(store.database, Asked(patient="Marja")) == []
        (one,) = search(store.database, Asked(lot="L77"))
        assert (one.patient, one.patient_number) == ("erased", "erased")
