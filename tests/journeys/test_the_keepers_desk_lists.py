"""Staff lists from the inbox: tried, shown, taken in whole or not at all. Files and database are real."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.preparation.house_events import ListChanged
from kiosk.hardware.clock import SetClock
from kiosk.store.opening import Store
from kiosk.wiring.home import Home
from tests.counter import NOW
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import KEEPER, at_desk, badge, house, presses, rows, said, sign_on

HEADER = "id,name,initials,roles,trainee,badge,pin\n"
ADA = f"A1,Ada Fernhollow,AF,preparer,no,{badge('A1')},8264\n"


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[tuple[Home, Store, DriverHand]]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    home.inbox.mkdir()
    at_desk(hand, "staff")
    yield home, store, hand
    store.close()


def put(home: Home, *lines: str, name: str = "staff.csv") -> Path:
    path = home.inbox / name
    path.write_text(HEADER + "".join(lines), encoding="utf-8")
    return path


def test_an_empty_inbox_says_so(counter: tuple[Home, Store, DriverHand]) -> None:
    counter[2].press("inbox")
    assert rows(counter[2]) == {}


def test_a_list_shows_cell_by_cell_what_it_would_change_and_changes_nothing(
    counter: tuple[Home, Store, DriverHand],
) -> None:
    home, store, hand = counter
    put(home, ADA, f"N01,Nell Quickthorn,NQ,preparer; witness,yes,{badge('N01')},\n")
    before = len(store.ledger.house_events())
    presses(hand, ["inbox", "file:staff.csv"])
    shown = {line.at: (line.text, line.detail) for line in hand.page().control.lines}  # type: ignore[union-attr]
    assert shown["A1"] == ("new", "")
    assert shown["N01"] == (
        "changed",
        "roles: preparer; second checker; witness → preparer; witness  trainee: no → yes",
    )
    assert shown["K02"][0] == "not in the list, stays"
    assert len(store.ledger.house_events()) == before


def test_a_list_taken_in_works_at_once_and_leaves_no_pin_behind(
    counter: tuple[Home, Store, DriverHand],
) -> None:
    home, store, hand = counter
    put(home, ADA)
    presses(hand, ["inbox", "file:staff.csv", "take-in"])
    hand.wait("keeping-staff")
    assert house(store, ListChanged)[-1].by == KEEPER
    kept = [path.read_text(encoding="utf-8") for path in home.inbox.rglob("*.csv")]
    assert len(kept) == 1
    assert "Ada Fernhollow" in kept[0]
    assert "8264" not in kept[0]
    hand.press("sign-off")
    sign_on(hand, "", "8264", badge("A1"))
    hand.wait("due")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (f"A1,,AF,boss,no,{badge('A1')},8264\n", "boss"),
        ("A1,Ada Fernhollow,AF,preparer,no,PB1A1X,8264\n", "badge"),
        (f"A1,Ada Fernhollow,AF,preparer,no,{badge('A1')},12\n", "PIN"),
    ],
)
def test_a_list_with_a_bad_row_cannot_be_taken_in(
    counter: tuple[Home, Store, DriverHand], line: str, says: str
) -> None:
    home, _, hand = counter
    put(home, line)
    presses(hand, ["inbox", "file:staff.csv"])
    page = hand.wait("keeping-tried")
    assert any(says in text for text in rows(hand)), rows(hand)
    assert [key.name for key in page.keys] == ["back"]


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ((f"A1,Ada Fernhollow,AF,preparer,no,{badge('N01')},8264\n",), "This badge was given out before."),
        ((f"A1,Ada Fernhollow,AF,preparer,no,{badge('A1')},1234\n",), "This PIN is too easy to guess."),
        (
            (
                f"K01,Agnes Millwheel,AM,witness,no,{badge('K01')},\n",
                f"K02,Bruno Tallowfield,BT,witness,no,{badge('K02')},\n",
            ),
            "This is the only keeper.",
        ),
    ],
)
def test_a_list_that_would_break_the_rules_of_the_house_is_refused_whole(
    counter: tuple[Home, Store, DriverHand], lines: tuple[str, ...], says: str
) -> None:
    home, store, hand = counter
    path = put(home, *lines)
    presses(hand, ["inbox", "file:staff.csv", "take-in"])
    assert said(hand) == [says]
    assert store.people.person("A1") is None
    assert path.exists()


def test_a_list_that_says_what_is_so_is_not_taken_in_again(counter: tuple[Home, Store, DriverHand]) -> None:
    home, _, hand = counter
    nell = f"N01,Nell Quickthorn,NQ,preparer; second checker; witness,no,{badge('N01')},\n"
    put(home, nell)
    presses(hand, ["inbox", "file:staff.csv"])
    assert [key.name for key in hand.page().keys] == ["back"]
