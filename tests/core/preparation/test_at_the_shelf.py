"""What to take first at the shelf, and what is said of a container though nothing stops it."""

from __future__ import annotations

from kiosk.core.findings import Level
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation.at_the_shelf import look_alikes_beside, noted, take_first, weighed
from kiosk.core.preparation.state import Preparation, fold
from tests.counter import NOW, container, order, rules, ward

SHELF = tuple(ward().containers)


def begun(order_id: str, *taken: str) -> Preparation:
    state = fold(
        "p1",
        [
            e.Opened("N01", order(order_id), "A1", False),
            *(e.ContainerTaken("N01", container(one), enough=False) for one in taken),
        ],
    )
    assert state is not None
    return state


def first(order_id: str, *taken: str) -> str:
    return take_first(begun(order_id, *taken), SHELF, rules(), NOW)[0].id


def test_the_sooner_of_two_lots_comes_first() -> None:
    assert first("O01") == "C002"  # 65 days against 240: demo_db/stock.csv


def test_an_open_vial_comes_before_a_sealed_one() -> None:
    assert first("O02") == "C053"


def test_a_lot_already_in_the_syringe_comes_before_one_that_expires_sooner() -> None:
    assert first("O01", "C001") == "C001"


def test_what_a_check_stops_is_never_offered() -> None:
    for one in take_first(begun("O28"), SHELF, rules(), NOW):
        assert one.id != "C020"  # expired
        assert "intramuscular" in one.product.routes


def test_each_product_that_fits_is_offered_once() -> None:
    found = [one.product.id for one in take_first(begun("O06"), SHELF, rules(), NOW)]
    assert len(found) == len(set(found))


def test_nothing_on_the_shelf_nothing_to_take() -> None:
    assert take_first(begun("O01"), (), rules(), NOW) == ()


def test_a_look_alike_is_a_note_to_a_scanner_and_a_caution_to_a_hand() -> None:
    (note,) = look_alikes_beside(begun("O01"), SHELF)
    assert (note.id, note.level) == ("look_alike", Level.NOTE)
    assert note.facts["near"] == ("chlorproMAZINE",)
    assert [f.level for f in weighed((note,), "scan")] == [Level.NOTE]
    assert [f.level for f in weighed((note,), "hand")] == [Level.CAUTION]
    alone = tuple(c for c in SHELF if c.product.drug.id == "prochlorperazine")
    assert look_alikes_beside(begun("O01"), alone) == ()


def test_of_one_that_expires_later_the_sooner_is_noted_and_nothing_else() -> None:
    later = a.TakeContainer("N01", container("C001"), "scan", (), SHELF)
    (note,) = noted(begun("O01"), later, rules(), NOW)
    assert (note.id, note.facts["better_lot"]) == ("not_earliest_expiry", "TWP2317")
    assert (
        noted(begun("O01"), a.TakeContainer("N01", container("C002"), "scan", (), SHELF), rules(), NOW) == ()
    )
