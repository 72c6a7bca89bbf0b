"""What may happen to stock beside the syringes: by whom, before whom, and never more than there is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import stock_events as e
from kiosk.core.preparation import stock_keeping as k
from kiosk.core.preparation.controlled import count_controlled, settle_count
from kiosk.core.stock.holding import Holding, amount_of, sheet_of, unit_of
from kiosk.core.units import Measure
from tests.counter import NOW, container, rules

PEOPLE = rules().people
AMPOULES, MORPHINE, SEALED_VIALS, OPEN_VIAL = (
    Holding(container("C001"), 10),
    Holding(container("C008"), 10),
    Holding(container("C054"), 4),
    Holding(container("C053"), 1),
)


def ml(value: str | int) -> Measure:
    return Measure(Fraction(value), "mL")


def code(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    return answer.code


# -- what a row holds ---------------------------------------------------------------------------------


def test_a_row_holds_its_fill_so_many_times_and_an_open_vial_what_is_left() -> None:
    assert AMPOULES.amount(3) == ml(3)  # ampoules of 1 mL
    assert SEALED_VIALS.amount(2) == ml(20)  # vials of 10 mL
    assert OPEN_VIAL.amount(1) == ml("7.4")
    powder = container("C071").product
    assert (unit_of(powder), amount_of(powder, 4)) == ("1", Measure(Fraction(4), "1"))


def test_what_is_in_hand_is_not_free() -> None:
    assert Holding(container("C054"), 4, in_hand=1).free == 3
    assert Holding(container("C054"), None).free == 0
    assert replace(OPEN_VIAL, container=replace(OPEN_VIAL.container, used_up=True)).free == 0


def test_one_sheet_for_one_drug_in_one_strength_whoever_made_it_however_large() -> None:
    ten, thirty = container("C008").product, container("C010").product
    sheet = sheet_of(ten)
    assert sheet is not None
    assert (sheet.id, sheet.unit) == ("morphine 10 mg/mL", "mL")
    twice = replace(ten, id="other", strength=ten.strength, contents=Measure.of(2, "mL"))
    assert sheet_of(twice) == sheet
    assert sheet_of(thirty) != sheet
    assert sheet_of(AMPOULES.container.product) is None


# -- who, and before whom -----------------------------------------------------------------------------

ACTS: dict[str, Callable[[str, str, Holding], object]] = {
    "receive": lambda by, witness, h: k.receive(by, witness, h.container, 1, PEOPLE, NOW),
    "waste": lambda by, witness, h: k.waste(by, witness, h, 1, "broken", PEOPLE),
    "send back": lambda by, witness, h: k.send_back(by, witness, h, 1, "too many", PEOPLE),
    "correct": lambda by, witness, h: k.correct(by, witness, h, 9, "miscounted", PEOPLE),
}
KEEPERS_OWN = [
    lambda by: k.receive(by, "", AMPOULES.container, 1, PEOPLE, NOW),
    lambda by: k.send_back(by, "", AMPOULES, 1, "too many", PEOPLE),
    lambda by: k.correct(by, "", AMPOULES, 9, "miscounted", PEOPLE),
    lambda by: k.move(by, AMPOULES, 1, "B9", "R1", PEOPLE),
    lambda by: k.release(by, replace(AMPOULES), "fit again", PEOPLE),
]


@pytest.mark.parametrize("act", KEEPERS_OWN)
def test_only_a_keeper_changes_what_stands_in_the_drawers(act: Callable[[str], object]) -> None:
    for by in ("N01", "W01", "nobody"):
        assert code(act(by)) == "may_not_keep_stock"
    assert not isinstance(act("K01"), Refusal)


def test_whoever_works_with_stock_may_throw_away_and_set_aside_but_not_a_mere_witness() -> None:
    assert isinstance(k.waste("N01", "", AMPOULES, 1, "broken", PEOPLE), e.StockWasted)
    assert isinstance(k.set_aside("N01", AMPOULES, "warm", PEOPLE), e.StockSetAside)
    assert code(k.waste("W01", "", AMPOULES, 1, "broken", PEOPLE)) == "may_not_keep_stock"


@pytest.mark.parametrize("act", ["receive", "waste", "send back"])
@pytest.mark.parametrize(
    ("witness", "refused"),
    [
        ("", "stock_needs_witness"),
        ("K01", "witness_is_same_person"),
        ("N05", "may_not_witness"),
        ("ghost", "may_not_witness"),
    ],
)
def test_controlled_stock_moves_before_another_person_who_may_witness(
    act: str, witness: str, refused: str
) -> None:
    assert code(ACTS[act]("K01", witness, MORPHINE)) == refused
    assert not isinstance(ACTS[act]("K01", "W01", MORPHINE), Refusal)


def test_a_controlled_row_is_never_simply_corrected() -> None:
    assert code(ACTS["correct"]("K01", "W01", MORPHINE)) == "controlled_not_corrected"


# -- how much -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("act", ["waste", "send back"])
def test_no_more_goes_than_is_there_and_free(act: str) -> None:
    none, in_hand = Holding(container("C054"), 0), Holding(container("C054"), 2, in_hand=2)
    for held in (none, in_hand):
        assert code(ACTS[act]("K01", "", held)) == "stock_not_there"
    assert code(k.waste("K01", "", AMPOULES, 11, "broken", PEOPLE)) == "stock_not_there"
    for count in (0, -1, 10_000):
        assert code(k.waste("K01", "", AMPOULES, count, "broken", PEOPLE)) == "stock_count_bad"


def test_waste_says_how_much_went_and_how_many_sealed_ones_that_was() -> None:
    assert k.waste("K01", "", AMPOULES, 3, "broken", PEOPLE) == e.StockWasted(
        "K01", "C001", ml(3), 3, "broken"
    )
    assert k.waste("K01", "", OPEN_VIAL, 1, "in use over", PEOPLE) == e.StockWasted(
        "K01", "C053", ml("7.4"), 0, "in use over"
    )


@pytest.mark.parametrize("reason", ["", "because"])
def test_waste_has_one_of_the_known_reasons(reason: str) -> None:
    assert code(k.waste("K01", "", AMPOULES, 1, reason, PEOPLE)) == "waste_needs_reason"


def test_a_delivery_is_in_date_under_a_lot_and_a_numbered_one_stands_alone() -> None:
    good = container("C001")

    def came(**more: object) -> object:
        return k.receive("K01", "", replace(good, **more), 1, PEOPLE, NOW)  # type: ignore[arg-type]

    assert isinstance(came(expiry=NOW.date()), e.StockReceived)  # good through its last day
    assert code(came(expiry=NOW.date() - timedelta(days=1))) == "received_expired"
    for lot in ("", "TWO WORDS", "X" * 21):
        assert code(came(lot=lot)) == "received_without_lot"
    numbered = replace(good, serial="S1")
    assert code(k.receive("K01", "", numbered, 2, PEOPLE, NOW)) == "stock_stands_alone"
    for count in (0, 10_000):
        assert code(k.receive("K01", "", good, count, PEOPLE, NOW)) == "stock_count_bad"


def test_a_row_is_moved_whole_or_in_part() -> None:
    assert k.move("K01", AMPOULES, 10, " B9 ", "R1", PEOPLE) == e.StockMoved("K01", "C001", "A1", "B9", 10)
    assert k.move("K01", AMPOULES, 4, "B9", "R1", PEOPLE) == e.StockMoved("K01", "C001", "A1", "B9", 4, "R1")
    for drawer in ("", "A1"):
        assert code(k.move("K01", AMPOULES, 4, drawer, "R1", PEOPLE)) == "stock_same_drawer"


def test_a_count_that_agrees_needs_no_reason_and_one_that_does_not_does() -> None:
    assert k.correct("K01", "", AMPOULES, 10, "", PEOPLE) == e.StockCounted("K01", "C001", 10, 10, "")
    assert code(k.correct("K01", "", AMPOULES, 9, " ", PEOPLE)) == "stock_needs_reason"
    assert code(k.correct("K01", "", OPEN_VIAL, 1, "x", PEOPLE)) == "opened_not_counted"
    assert code(k.correct("K01", "", replace(SEALED_VIALS, in_hand=2), 1, "x", PEOPLE)) == "stock_in_hand"


def test_what_is_open_is_not_sent_back_and_a_recall_is_not_released() -> None:
    assert code(k.send_back("K01", "", OPEN_VIAL, 1, "x", PEOPLE)) == "opened_not_sent_back"
    recalled = replace(AMPOULES, container=replace(AMPOULES.container, recalled=True))
    assert code(k.release("K01", recalled, "x", PEOPLE)) == "recall_not_released"


# -- controlled drugs at hand-over --------------------------------------------------------------------

COUNTED = e.ControlledCounted("K01", "W01", "morphine-10mg-1ml", 9, 0, 10, 0)
OTHERS = {
    **PEOPLE,
    "K03": Person("K03", "Third Keeper", "TK", frozenset({Role.KEEPER})),
    "N09": Person("N09", "Other Witness", "OW", frozenset({Role.WITNESS})),
}


def settled(
    by: str = "K03",
    witness: str = "N09",
    off: int = -1,
    reason: str = "broken",
    booked: tuple[int, int] = (10, 0),
    held: Holding = MORPHINE,
    counted: e.ControlledCounted = COUNTED,
) -> object:
    return settle_count(by, witness, 77, counted, booked, held, off, reason, OTHERS, NOW)


def test_a_count_agrees_or_does_not_and_changes_nothing() -> None:
    counted = count_controlled("K01", "W01", MORPHINE.container.product, (10, 0), (10, 0), PEOPLE)
    assert isinstance(counted, e.ControlledCounted)
    assert counted.agrees
    assert not COUNTED.agrees
    alone = count_controlled("K01", "", MORPHINE.container.product, (10, 0), (10, 0), PEOPLE)
    assert code(alone) == "stock_needs_witness"
    other = count_controlled("K01", "W01", AMPOULES.container.product, (10, 0), (10, 0), PEOPLE)
    assert code(other) == "not_controlled"
    less = count_controlled("K01", "W01", MORPHINE.container.product, (-1, 0), (10, 0), PEOPLE)
    assert code(less) == "count_below_nothing"


def test_two_others_settle_exactly_what_was_off() -> None:
    assert settled() == e.DiscrepancySettled(
        "K03", "N09", "morphine-10mg-1ml", 77, "C008", -1, ml(-1), "broken"
    )
    more = replace(COUNTED, sealed=12)
    found = settled(off=2, counted=more)
    assert isinstance(found, e.DiscrepancySettled)
    assert (found.off, found.amount) == (2, ml(2))


@pytest.mark.parametrize(
    ("more", "refused"),
    [
        ({"by": "K01"}, "settling_needs_others"),
        ({"witness": "W01"}, "settling_needs_others"),
        ({"witness": ""}, "stock_needs_witness"),
        ({"by": "N01"}, "may_not_keep_stock"),
        ({"reason": "  "}, "settling_needs_reason"),
        ({"booked": (9, 0)}, "count_is_stale"),
        ({"off": 1}, "not_what_was_counted"),
        ({"off": 0}, "not_what_was_counted"),
        ({"off": -2}, "not_what_was_counted"),
        ({"counted": replace(COUNTED, sealed=10)}, "not_what_was_counted"),
        ({"held": replace(MORPHINE, held=0)}, "stock_not_there"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_settling_is_refused(more: dict[str, object], refused: str) -> None:
    assert code(settled(**more)) == refused  # type: ignore[arg-type]


def test_an_opened_vial_that_is_gone_is_settled_with_what_was_left_in_it() -> None:
    vial = replace(
        container("C015"), id="V1", left=ml("13"), opened_at=NOW, discard_after=NOW + timedelta(days=28)
    )
    counted = e.ControlledCounted("K01", "W01", vial.product.id, 7, 0, 7, 1)
    found = settled(held=Holding(vial, 1), counted=counted, booked=(7, 1))
    assert isinstance(found, e.DiscrepancySettled)
    assert (found.container, found.off, found.amount) == ("V1", -1, ml(-13))


def test_the_days_of_a_delivery_are_those_on_the_pack() -> None:
    came = k.receive("K01", "", replace(container("C001"), expiry=date(2027, 2, 28)), 5, PEOPLE, NOW)
    assert isinstance(came, e.StockReceived)
    assert (came.container.expiry, came.count, came.read_by) == (date(2027, 2, 28), 5, "scan")
