"""The book of stock: what every event writes in it, added up by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.findings import Refusal
from kiosk.core.preparation import events as e
from kiosk.core.preparation import stock_events as st
from kiosk.core.preparation.house_events import LotRecalled
from kiosk.core.stock.expiry import is_usable
from kiosk.core.units import Measure
from kiosk.flow.ports import Overtaken
from kiosk.store.agreement import disagreements
from tests.store import samples as s

AMPOULE = Container("AMP", s.a_controlled(), "L90", date(2027, 1, 31), drawer="CD")
VIALS = s.a_container(id="VIALS", serial="", lot="L80")  # multi-dose, 20 mL each


def ml(value: str) -> Measure:
    return Measure.of(value, "mL")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[s.Store]:
    with s.a_store(tmp_path) as opened:
        opened.ledger.note(
            [st.StockReceived(s.KEEPER, AMPOULE, 10, s.WITNESS), st.StockReceived(s.KEEPER, VIALS, 3)], s.NOW
        )
        yield opened
        assert list(disagreements(opened.database.path)) == []


def lines(store: s.Store, product: str = "morph-10") -> list[tuple[object, ...]]:
    """Move, in, used, wasted, sent back, left, the two people and the balance of every line, in order."""
    sql = (
        'SELECT move, came, used, wasted, sent, "left", person, other, balance FROM stock_book '
        "WHERE product = :product ORDER BY line"
    )
    return [tuple(row) for row in store.database.rows(sql, {"product": product})]


def held(store: s.Store, container: str) -> tuple[object, ...]:
    sql = 'SELECT held, "left", used_up FROM containers WHERE id = :id'
    return tuple(store.database.rows(sql, {"id": container})[0])


def syringe(
    store: s.Store, container: Container, *events: e.Event, name: str = "p1", by: str = "ines"
) -> None:
    """A syringe opened by somebody, a container taken, and what followed."""
    order = s.an_order(f"o-{name}")
    opened = s.opened(order, by=by, code=f"C{name}")
    store.ledger.append(name, [opened, e.ContainerTaken(by, container), *events], s.NOW, name)


def rest(volume: str, fate: str, witness: str = "", container: str = "AMP") -> e.RestAccounted:
    return e.RestAccounted("ines", container, ml(volume), fate, witness)


CHECKED = e.CheckerCame("olu")


def test_a_delivery_opens_the_book(store: s.Store) -> None:
    assert lines(store) == [("received", 10_000, 0, 0, 0, 10_000, s.KEEPER, s.WITNESS, 10_000)]
    assert lines(store, "gent-40") == [("received", 60_000, 0, 0, 0, 60_000, s.KEEPER, "", None)]


def test_a_taking_moves_nothing_until_its_rest_is_accounted_for(store: s.Store) -> None:
    syringe(store, AMPOULE)
    assert len(lines(store)) == 1
    assert held(store, "AMP") == (9, None, 0)


def test_what_was_given_and_what_was_thrown_away_are_two_lines_under_two_people_each(store: s.Store) -> None:
    # 0.6 mL of an ampoule of 1 mL given, 0.4 mL thrown away
    syringe(store, AMPOULE, CHECKED, rest("0.4", "wasted", "wim"))
    assert lines(store)[1:] == [
        ("used", 0, 600, 0, 0, 9_400, "ines", "olu", 9_400),
        ("wasted", 0, 0, 400, 0, 9_000, "ines", "wim", 9_000),
    ]


def test_two_ampoules_under_one_key_are_booked_together(store: s.Store) -> None:
    again = e.ContainerTaken("ines", AMPOULE)
    syringe(store, AMPOULE, again, CHECKED, rest("0.5", "wasted", "wim"))  # 2 mL taken, 1.5 mL given
    assert [line[2:4] for line in lines(store)[1:]] == [(1_500, 0), (0, 500)]
    assert held(store, "AMP") == (8, None, 0)


def test_a_vial_kept_becomes_a_row_of_its_own_and_only_what_was_drawn_is_booked(store: s.Store) -> None:
    syringe(store, VIALS, rest("18.5", "kept", container="VIALS"))
    assert [line[:6] for line in lines(store, "gent-40")][1:] == [("used", 0, 1_500, 0, 0, 58_500)]
    assert held(store, "VIALS") == (2, None, 0)
    own = store.database.rows("SELECT id FROM containers WHERE \"left\" = '37/2 mL'")[0]["id"]
    vial = store.stock.holding(own)
    assert vial is not None
    syringe(store, vial.container, rest("18", "kept", container=own), name="p2", by="olu")
    assert lines(store, "gent-40")[-1][2] == 500
    store.ledger.note([st.StockWasted(s.KEEPER, own, ml("18"), 0, "in use over")], s.NOW)
    assert lines(store, "gent-40")[-1][3:6] == (18_000, 0, 40_000)
    assert held(store, own) == (0, "0 mL", 1)


def test_a_syringe_given_up_was_not_used_but_wasted(store: s.Store) -> None:
    given_up = [rest("0.4", "wasted", "wim"), e.Discarded("ines", "dropped", "wim")]
    syringe(store, AMPOULE, *given_up)
    assert lines(store)[1:] == [
        ("used", 0, 600, 0, 0, 9_400, "ines", "wim", 9_400),
        ("wasted", 0, 0, 400, 0, 9_000, "ines", "wim", 9_000),
        ("discarded", 0, -600, 600, 0, 9_000, "ines", "wim", 9_000),
    ]


def test_an_ampoule_put_back_stands_in_the_drawer_again_and_on_the_sheet(store: s.Store) -> None:
    syringe(store, AMPOULE, e.PutBack("ines", "AMP", "wim"), e.Discarded("ines", "order stopped", "wim"))
    assert lines(store)[1:] == [("put back", 0, 0, 0, 0, 10_000, "ines", "wim", 10_000)]
    assert held(store, "AMP") == (10, None, 0)


def test_the_last_one_is_taken_once(store: s.Store) -> None:
    store.ledger.note([st.StockSentBack(s.KEEPER, "AMP", 9, "too many", s.WITNESS)], s.NOW)
    syringe(store, AMPOULE)
    with pytest.raises(Overtaken) as late:
        syringe(store, AMPOULE, name="p2", by="olu")
    assert late.value.refusal == Refusal("taken_meanwhile", {"container": "morphine 10 mg in 1 mL"})
    assert store.ledger.events("p2") == []


def test_as_many_may_draw_from_a_row_of_vials_as_there_are_vials(store: s.Store) -> None:
    for n in range(3):
        assert store.shelf.containers_of("gentamicin", s.NOW)[0].reserved_for == ""
        syringe(store, VIALS, name=f"p{n}", by=f"nurse-{n}")
    assert store.shelf.containers_of("gentamicin", s.NOW)[0].reserved_for == "o-p2"
    with pytest.raises(Overtaken):
        syringe(store, VIALS, name="p9", by="nurse-9")
    rested = e.RestAccounted("nurse-0", "VIALS", ml("19"), "kept")
    store.ledger.append("p0", [rested], s.NOW, "rest")
    sealed = store.stock.holding("VIALS")
    assert sealed is not None
    assert (sealed.held, sealed.in_hand, sealed.free) == (2, 2, 0)


def test_two_takings_of_one_lot_in_one_instant_are_two_rows(store: s.Store) -> None:
    syringe(store, AMPOULE, e.ContainerTaken("ines", AMPOULE))
    rows = store.database.rows("SELECT lot, at FROM lots_used WHERE lot = 'L90'")
    assert [tuple(row) for row in rows] == [("L90", "2026-03-15T03:00:00.000000+00:00")] * 2


def test_a_row_moved_in_part_counted_and_sent_back(store: s.Store) -> None:
    store.ledger.note(
        [
            st.StockMoved(s.KEEPER, "VIALS", "", "B2", 1, "R9"),
            st.StockCounted(s.KEEPER, "VIALS", 2, 1, "one was broken"),
            st.StockCounted(s.KEEPER, "R9", 1, 3, "found"),
            st.StockSentBack(s.KEEPER, "R9", 1, "too many"),
        ],
        s.NOW,
    )
    moved = store.stock.holding("R9")
    assert moved is not None
    assert (moved.container.drawer, moved.free, held(store, "VIALS")[0]) == ("B2", 2, 1)
    assert [line[:6] for line in lines(store, "gent-40")][1:] == [
        ("counted", 0, 0, 20_000, 0, 40_000),
        ("counted", 40_000, 0, 0, 0, 80_000),
        ("sent back", 0, 0, 0, 20_000, 60_000),
    ]


def test_what_was_settled_is_booked(store: s.Store) -> None:
    fewer = st.DiscrepancySettled("kay", "wim", "morph-10", 1, "AMP", -2, ml("-2"), "unexplained")
    more = st.DiscrepancySettled("kay", "wim", "morph-10", 1, "AMP", 1, ml("1"), "found again")
    store.ledger.note([fewer, more], s.NOW)
    assert [line[1:6] for line in lines(store)][1:] == [(0, 0, 2_000, 0, 8_000), (1_000, 0, 0, 0, 9_000)]
    assert held(store, "AMP") == (9, None, 0)


def test_one_lot_may_be_recalled_of_one_product_alone(store: s.Store) -> None:
    store.ledger.note([st.StockReceived(s.KEEPER, replace(VIALS, id="OTHER", lot="L90"), 1)], s.NOW)
    store.ledger.note([LotRecalled(s.KEEPER, "L90", "glass seen", "gent-40")], s.NOW)
    found = {row["id"]: row["recalled"] for row in store.database.rows("SELECT id, recalled FROM containers")}
    assert found == {"AMP": 0, "VIALS": 0, "OTHER": 1}
    store.ledger.note([LotRecalled(s.KEEPER, "L90", "glass seen")], s.NOW)
    recalled = store.stock.holding("AMP")
    assert recalled is not None
    assert recalled.container.recalled


def test_a_container_in_quarantine_is_not_usable_until_it_is_released(store: s.Store) -> None:
    for event, usable in (
        (st.StockSetAside(s.KEEPER, "VIALS", "warm"), False),
        (st.StockReleased(s.KEEPER, "VIALS", "fit"), True),
    ):
        store.ledger.note([event], s.NOW)
        (vials,) = store.shelf.containers_of("gentamicin", s.NOW)
        assert is_usable(vials, s.NOW) is usable


def test_a_powder_is_counted_in_containers(store: s.Store) -> None:
    dry = replace(s.a_product(id="dry", form=Form.POWDER_VIAL), contents=None)
    vial = Container("DRY", dry, "L70", date(2027, 1, 31))
    store.ledger.note([st.StockReceived(s.KEEPER, vial, 5)], s.NOW)
    # made up and drawn from: one container used; given up unopened: one container wasted
    syringe(store, vial, rest("0.3", "wasted", container="DRY"))
    unopened = e.RestAccounted("olu", "DRY", Measure.of(1, "1"), "wasted")
    syringe(store, vial, unopened, e.Discarded("olu", "dropped"), name="p2", by="olu")
    assert [line[:6] for line in lines(store, "dry")] == [
        ("received", 5_000, 0, 0, 0, 5_000),
        ("used", 0, 1_000, 0, 0, 4_000),
        ("wasted", 0, 0, 1_000, 0, 3_000),
    ]


def test_what_nobody_counted_is_in_no_book(store: s.Store) -> None:
    uncounted = replace(VIALS, id="MANY", lot="L60")
    store.ledger.note([st.StockReceived(s.KEEPER, uncounted, None)], s.NOW)
    syringe(store, uncounted, rest("18", "kept", container="MANY"))
    assert len(lines(store, "gent-40")) == 1
