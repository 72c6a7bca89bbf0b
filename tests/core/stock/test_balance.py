"""The book of stock: exact, never below nothing, controlled stock only before two people.

Method: every sequence of bookings is also added up on its own with plain integers.
"""

from __future__ import annotations

from datetime import UTC, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.findings import Refusal
from kiosk.core.stock.balance import (
    Agreed,
    Balance,
    Booking,
    Discrepancy,
    Move,
    book,
    count,
    empty,
    register,
    settle,
)
from kiosk.core.units import Measure

AT = datetime(2026, 3, 15, 9, 0, tzinfo=UTC)
TWO = ("n1", "n2")


def ml(value: str | int) -> Measure:
    return Measure.of(value, "mL")


def booking(move: Move, amount: Measure, people: tuple[str, ...] = TWO, reason: str = "broken") -> Booking:
    return Booking(move, amount, people, AT, "delivery 1", reason)


def a_balance(received: str = "10") -> Balance:
    found = book(empty("mL"), booking(Move.RECEIVED, ml(received)), controlled=True)
    assert isinstance(found, Balance)
    return found


def code(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    return answer.code


def test_ten_in_three_used_and_two_wasted_leaves_five() -> None:
    balance = a_balance()
    for move, amount in ((Move.USED, "3"), (Move.WASTED, "2")):
        after = book(balance, booking(move, ml(amount)), controlled=True)
        assert isinstance(after, Balance)
        balance = after
    assert balance == Balance(ml(10), ml(3), ml(2), ml(5))
    assert balance.adds_up


@pytest.mark.parametrize("move", [Move.USED, Move.WASTED])
def test_no_more_goes_out_than_is_there(move: Move) -> None:
    assert code(book(a_balance(), booking(move, ml("10.01")), controlled=True)) == "balance_too_low"
    assert isinstance(book(a_balance(), booking(move, ml("10")), controlled=True), Balance)


@pytest.mark.parametrize("move", list(Move))
@pytest.mark.parametrize("people", [(), ("n1",), ("n1", "n1"), ("n1", "")])
def test_controlled_stock_moves_only_before_two_people(move: Move, people: tuple[str, ...]) -> None:
    assert code(book(a_balance(), booking(move, ml(1), people), controlled=True)) == "book_needs_two_people"


def test_other_stock_needs_one_person() -> None:
    assert isinstance(book(a_balance(), booking(Move.USED, ml(1), ("n1",)), controlled=False), Balance)
    assert code(book(a_balance(), booking(Move.USED, ml(1), ("",)), False)) == "book_needs_a_person"


@pytest.mark.parametrize("amount", ["0", "-1"])
def test_nothing_and_less_than_nothing_is_not_booked(amount: str) -> None:
    assert code(book(a_balance(), booking(Move.USED, ml(amount)), True)) == "volume_not_positive"


def test_milligrams_are_not_booked_on_millilitres() -> None:
    wrong = Booking(Move.USED, Measure.of(1, "mg"), TWO, AT)
    assert code(book(a_balance(), wrong, True)) == "other_unit_booked"


def test_waste_says_why() -> None:
    assert code(book(a_balance(), booking(Move.WASTED, ml(1), reason=" "), True)) == "waste_needs_reason"


@st.composite
def bookings(draw: st.DrawFn) -> Booking:
    unit = draw(st.sampled_from(["mL", "microlitre"]))
    scale = 1000 if unit == "microlitre" else 1
    amount = Measure(Fraction(draw(st.integers(-200, 3000)) * scale, 100), unit)
    people = draw(st.sampled_from([TWO, ("n2", "n3"), ("n1",), ("n1", "n1")]))
    return Booking(
        draw(st.sampled_from(list(Move))), amount, people, AT, "r", draw(st.sampled_from(["", "x"]))
    )


@given(st.lists(bookings(), max_size=40), st.booleans())
def test_whatever_is_tried_the_book_adds_up_and_never_falls_below_nothing(
    tries: list[Booking], controlled: bool
) -> None:
    balance, plain = empty("mL"), dict.fromkeys(Move, 0)
    for one in tries:
        after = book(balance, one, controlled)
        hundredths = one.amount.to("mL").value * 100
        left = plain[Move.RECEIVED] - plain[Move.USED] - plain[Move.WASTED]
        may = hundredths > 0 and (len(set(one.people)) == 2 or not controlled)
        may = may and (one.move is Move.RECEIVED or hundredths <= left)
        may = may and (one.move is not Move.WASTED or one.reason != "")
        assert isinstance(after, Balance) is may
        if isinstance(after, Balance):
            balance = after
            plain[one.move] += int(hundredths)
        assert balance.adds_up
        assert balance.left.value * 100 == plain[Move.RECEIVED] - plain[Move.USED] - plain[Move.WASTED]


def test_a_register_shows_the_balance_before_and_after_each_line() -> None:
    page = register(
        [booking(Move.RECEIVED, ml(10)), booking(Move.USED, ml(3)), booking(Move.WASTED, ml("0.5"))],
        "mL",
        True,
    )
    assert not isinstance(page, Refusal)
    assert [(line.before, line.after) for line in page] == [
        (ml(0), ml(10)),
        (ml(10), ml(7)),
        (ml(7), ml("6.5")),
    ]
    assert code(register([booking(Move.USED, ml(1))], "mL", True)) == "balance_too_low"


def test_a_count_that_agrees_is_agreed_and_one_that_does_not_says_by_how_much() -> None:
    balance = a_balance()
    assert count(balance, ml("10.0"), TWO, AT, True) == Agreed(ml(10), TWO, AT)
    assert count(balance, ml(9), TWO, AT, True) == Discrepancy(ml(9), ml(10), ml(-1), TWO, AT)
    assert code(count(balance, ml(9), ("n1",), AT, True)) == "book_needs_two_people"
    assert code(count(balance, ml(-1), TWO, AT, True)) == "count_below_nothing"
    assert code(count(balance, Measure.of(1, "mg"), TWO, AT, True)) == "other_unit_booked"


@pytest.mark.parametrize("counted", ["9", "11.5"])
def test_a_discrepancy_is_settled_by_two_others_with_a_reason(counted: str) -> None:
    balance = a_balance()
    found = count(balance, ml(counted), TWO, AT, True)
    assert isinstance(found, Discrepancy)
    assert code(settle(balance, found, ("n2", "n3"), AT, "spilt")) == "settling_needs_others"
    assert code(settle(balance, found, ("n3",), AT, "spilt")) == "book_needs_two_people"
    assert code(settle(balance, found, ("n3", "n4"), AT, "")) == "settling_needs_reason"
    after = settle(balance, found, ("n3", "n4"), AT, "spilt")
    assert isinstance(after, Balance)
    assert after.left == ml(counted)
    assert after.adds_up


def test_a_count_of_yesterday_settles_nothing_today() -> None:
    balance = a_balance()
    found = count(balance, ml(9), TWO, AT, True)
    moved = book(balance, booking(Move.USED, ml(1)), True)
    assert isinstance(found, Discrepancy)
    assert isinstance(moved, Balance)
    assert code(settle(moved, found, ("n3", "n4"), AT, "spilt")) == "count_is_stale"
