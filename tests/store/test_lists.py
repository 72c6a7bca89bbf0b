"""Lists come in, are counted, can be tried dry; orders and stock read as the record has made them since."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.devices import DrawUpDevice, DrawUpKind, InjectionNeedle, Syringe, Tip
from kiosk.core.findings import Refusal
from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import ListChanged
from kiosk.core.units import Measure
from kiosk.flow.scans import InUseScan, ProductScan
from kiosk.store.connection import RuleBroken
from tests.store import samples as s

VIAL = s.a_product()
AMPOULE = s.a_product(form=Form.GLASS_AMPOULE, id="gent-amp")
MM = Measure.of("25", "mm")
DEVICES = (
    Syringe(
        "s-3", *(Measure.of(v, "mL") for v in ("3", "0.1", "0.5", "3")), Measure.of("60", "mm"), Tip.LOCK
    ),
    DrawUpDevice("blunt-18", DrawUpKind.BLUNT_FILL, 18, MM),
    InjectionNeedle("n-25-25", 25, MM),
)


def take_in(store: s.Store, *stock: tuple[Container, int | None]) -> None:
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.products([VIAL, AMPOULE])
        lists.devices(DEVICES)
        lists.stock(stock)
        lists.orders([s.an_order()])


def held(store: s.Store, container: str) -> int:
    return int(store.database.rows("SELECT held FROM containers WHERE id = ?", (container,))[0][0])  # type: ignore[arg-type]


def test_lists_come_back_as_they_went_in(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        take_in(store, (s.a_container(), 1))
        assert [*store.shelf.syringes(), *store.shelf.draw_up_devices(), *store.shelf.needles()] == list(
            DEVICES
        )
        assert store.shelf.containers_of("gentamicin", s.NOW) == [s.a_container()]
        assert store.orders.due(s.NOW) == [s.an_order()]
        assert store.orders.order("o-1") == s.an_order()
        assert store.orders.order("o-0") is None


def test_what_a_list_brought_is_counted_and_recorded(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        take_in(store)
        with store.importing(s.KEEPER, s.NOW) as lists:
            counts = lists.products([VIAL, replace(AMPOULE, label_name="other"), s.a_product(id="third")])
        assert (counts.added, counts.changed, counts.same) == (1, 1, 1)
        told = store.ledger.house_events()[-1].event
        assert isinstance(told, ListChanged)
        assert replace(told, whole="") == ListChanged(s.KEEPER, "products", 1, 1, 1, counts.digest)


def test_a_dry_run_counts_and_changes_nothing(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        with store.importing(s.KEEPER, s.NOW, dry_run=True) as lists:
            assert lists.products([VIAL]).added == 1
        assert store.database.rows("SELECT * FROM products") == []
        assert store.ledger.house_events() == []
        take_in(store)


def test_a_list_that_fails_half_way_leaves_nothing(tmp_path: Path) -> None:
    def half_way(store: s.Store) -> None:
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.products([VIAL])
            lists.stock([(replace(s.a_container(), product=AMPOULE), 1)])

    with s.a_store(tmp_path) as store:
        with pytest.raises(RuleBroken):
            half_way(store)
        assert store.database.rows("SELECT * FROM products") == []


def test_orders_are_due_until_one_syringe_is_under_way_or_done(tmp_path: Path) -> None:
    early, late = (
        s.an_order("o-2", due=s.NOW - timedelta(hours=1)),
        s.an_order("o-3", due=s.NOW + timedelta(hours=1)),
    )
    with s.a_store(tmp_path) as store:
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.orders([late, s.an_order(), early])
        assert [order.id for order in store.orders.due(s.NOW)] == ["o-2", "o-1", "o-3"]
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        assert [order.id for order in store.orders.due(s.NOW)] == ["o-2", "o-3"]
        store.ledger.append("prep-1", [e.Discarded(s.PREPARER, "dropped")], s.NOW, "k2")
        assert [order.id for order in store.orders.due(s.NOW)] == ["o-2", "o-1", "o-3"]
        store.ledger.append("prep-2", [s.opened(code="A2"), *s.whole()[1:]], s.NOW, "k3")
        assert [order.id for order in store.orders.due(s.NOW)] == ["o-2", "o-3"]
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.withdraw_orders(["o-3"])
        assert [order.id for order in store.orders.due(s.NOW)] == ["o-2"]


def test_an_order_shows_the_patient_as_now_known(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        take_in(store)
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.patients([s.a_patient(place="Bay 9")])
        order = store.orders.order("o-1")
        assert order is not None
        assert order.patient.place == "Bay 9"


def test_a_scan_names_the_container(tmp_path: Path) -> None:
    one, other = s.a_container(), s.a_container(id="v2", lot="L78", serial="")
    with s.a_store(tmp_path) as store:
        take_in(store, (one, 1), (other, 10))
        scan = store.shelf.container_by_scan
        assert scan(ProductScan(VIAL.gtin, "L77", serial="s1"), s.NOW) == one
        assert scan(ProductScan(VIAL.gtin, "L78", serial="whatever"), s.NOW) == other
        assert scan(ProductScan(VIAL.gtin, "L77"), s.NOW) == one
        assert scan(InUseScan("v2"), s.NOW) == other


@pytest.mark.parametrize(
    ("scan", "code"),
    [
        (ProductScan("09520000009991", "L77"), "unknown_product"),
        (ProductScan(VIAL.gtin, "L99"), "unknown_lot"),
        (ProductScan(AMPOULE.gtin, "L77"), "unknown_lot"),
        (ProductScan(VIAL.gtin), "lot_wanted"),
        (ProductScan(VIAL.gtin, "L77", serial="s9"), "unknown_serial"),
        (ProductScan(VIAL.gtin, "L77", expiry=date(1999, 12, 9)), "scan_expiry_differs"),
        (InUseScan("V404"), "unknown_container"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_scan_that_names_none_says_why(tmp_path: Path, scan: ProductScan | InUseScan, code: str) -> None:
    with s.a_store(tmp_path) as store:
        take_in(store, (s.a_container(), 1), (s.a_container(id="v2", lot="L78", serial=""), 10))
        answer = store.shelf.container_by_scan(scan, s.NOW)
        assert isinstance(answer, Refusal)
        assert answer.code == code


def test_a_vial_kept_is_opened_until_the_moment_its_entry_says(tmp_path: Path) -> None:
    until = datetime(2026, 4, 12, 3, 0, tzinfo=UTC)
    rest = e.RestAccounted(s.PREPARER, "v1", Measure.of("37/2", "mL"), "kept", discard_after=until)
    with s.a_store(tmp_path) as store:
        take_in(store, (s.a_container(), 1))
        events = [s.opened(), e.ContainerTaken(s.PREPARER, s.a_container()), rest]
        store.ledger.append("prep-1", events, s.NOW, "k1")
        (one,) = store.shelf.containers_of("gentamicin", s.NOW)
        assert (one.left, one.opened_at, one.discard_after) == (Measure.of("37/2", "mL"), s.NOW, until)
        again = replace(rest, volume=Measure.of("17", "mL"), discard_after=until + s.MINUTE)
        store.ledger.append("prep-1", [again], s.NOW + s.MINUTE, "k2")
        assert store.shelf.containers_of("gentamicin", s.NOW)[0].discard_after == until


def test_a_vial_used_again_keeps_the_moment_it_was_opened(tmp_path: Path) -> None:
    rest = e.RestAccounted(s.PREPARER, "v1", Measure.of("5", "mL"), "kept")
    with s.a_store(tmp_path) as store:
        take_in(store, (s.a_container(), 1))
        store.ledger.append("prep-1", [s.opened(), rest], s.NOW, "k1")
        less = replace(rest, volume=Measure.of("2", "mL"))
        store.ledger.append("prep-1", [less], s.NOW + timedelta(days=2), "k2")
        (one,) = store.shelf.containers_of("gentamicin", s.NOW)
        assert (one.left, one.opened_at) == (Measure.of("2", "mL"), s.NOW)
        store.ledger.append("prep-1", [replace(rest, fate="wasted")], s.NOW + timedelta(days=3), "k3")
        (one,) = store.shelf.containers_of("gentamicin", s.NOW)
        assert (one.used_up, one.left) == (True, Measure.of("0", "mL"))


def test_a_vial_kept_out_of_a_lot_becomes_a_container_of_its_own(tmp_path: Path) -> None:
    lot = s.a_container(serial="")
    rest = e.RestAccounted(s.PREPARER, "v1", Measure.of("5", "mL"), "kept")
    with s.a_store(tmp_path) as store:
        take_in(store, (lot, 10))
        recorded = store.ledger.append("prep-1", [s.opened(), rest], s.NOW, "k1")
        own = f"V{recorded[-1].seq}"
        opened, sealed = store.shelf.containers_of("gentamicin", s.NOW)
        assert (opened.id, opened.left, opened.lot) == (own, Measure.of("5", "mL"), "L77")
        assert sealed == lot
        assert held(store, "v1") == 9
        assert store.shelf.container_by_scan(InUseScan(own), s.NOW) == opened


def test_an_ampoule_is_gone_once_taken_and_the_last_one_empties_the_lot(tmp_path: Path) -> None:
    lot = Container("amp", AMPOULE, "L80", date(2027, 1, 31))
    with s.a_store(tmp_path) as store:
        take_in(store, (lot, 2))
        store.ledger.append("prep-1", [s.opened(), e.ContainerTaken(s.PREPARER, lot)], s.NOW, "k1")
        assert held(store, "amp") == 1
        assert store.shelf.containers_of("gentamicin", s.NOW) == [lot]
        store.ledger.append("prep-1", [e.ContainerTaken(s.PREPARER, lot)], s.NOW + s.MINUTE, "k2")
        assert store.shelf.containers_of("gentamicin", s.NOW) == [replace(lot, used_up=True)]


def test_a_numbered_container_in_an_open_syringe_is_reserved_for_its_order(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        take_in(store, (s.a_container(), 1))
        store.ledger.append(
            "prep-1", [s.opened(), e.ContainerTaken(s.PREPARER, s.a_container())], s.NOW, "k1"
        )
        assert store.shelf.containers_of("gentamicin", s.NOW)[0].reserved_for == "o-1"
        store.ledger.append("prep-1", [e.Discarded(s.PREPARER, "dropped")], s.NOW, "k2")
        assert store.shelf.containers_of("gentamicin", s.NOW)[0].reserved_for == ""


def test_a_list_taken_in_again_does_not_close_a_vial_that_is_open(tmp_path: Path) -> None:
    rest = e.RestAccounted(s.PREPARER, "v1", Measure.of("5", "mL"), "kept")
    with s.a_store(tmp_path) as store:
        take_in(store, (s.a_container(), 1))
        store.ledger.append("prep-1", [s.opened(), rest], s.NOW, "k1")
        take_in(store, (replace(s.a_container(), drawer="cold"), 1))
        (one,) = store.shelf.containers_of("gentamicin", s.NOW)
        assert (one.drawer, one.left) == ("cold", Measure.of("5", "mL"))


def test_a_recalled_lot_is_marked_on_every_container_of_it_and_on_record(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        take_in(store, (s.a_container(), 1), (s.a_container(id="v2", lot="L78", serial="s2"), 1))
        store.recall_lot("L77", s.KEEPER, "glass seen", s.NOW)
        assert [one.recalled for one in store.shelf.containers_of("gentamicin", s.NOW)] == [True, False]
        take_in(store, (s.a_container(), 1))
        assert store.shelf.containers_of("gentamicin", s.NOW)[0].recalled
