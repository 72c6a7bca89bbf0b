"""Draws from several containers. All by hand."""

from __future__ import annotations

import pytest

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.plan import Take
from kiosk.core.dose.stock_line import StockLine, stock_line
from kiosk.core.dose.takes import Drawn, containers_like_first, draws, same_container_twice
from kiosk.core.findings import Refusal
from tests.core.dose.things import in_volume, m, order, vial


def lines(*containers: Container) -> list[StockLine]:
    made = [stock_line(container, order("10 mg"), False, None) for container in containers]
    assert all(isinstance(each, StockLine) for each in made)
    return [each for each in made if isinstance(each, StockLine)]


def holding(contents: str, name: str, **varied: object) -> Container:
    return vial(in_volume("10 mg", "1 mL"), contents, id=name, **varied)


def test_each_container_is_emptied_before_the_next_is_touched() -> None:
    stock = lines(holding("2 mL", "a"), holding("10 mL", "b", left=m("0 mL")), holding("2 mL", "c"))
    made = draws(m("3.2 mL"), stock)
    assert made == (
        Drawn(stock[0], Take("a", m("2 mL"), m("0 mL"))),
        Drawn(stock[2], Take("c", m("1.2 mL"), m("0.8 mL"))),
    )


def test_exactly_enough_is_enough_and_a_hair_less_is_not() -> None:
    stock = lines(holding("2 mL", "a"))
    assert isinstance(draws(m("2 mL"), stock), tuple)
    short = draws(m("2.000001 mL"), stock)
    assert isinstance(short, Refusal)
    assert short.facts == {"needed": m("2.000001 mL"), "in_hand": m("2 mL"), "containers": 2}


@pytest.mark.parametrize(
    ("volume", "wanted"), [("0.1 mL", 1), ("2 mL", 1), ("2.1 mL", 2), ("6 mL", 3), ("6.5 mL", 4)]
)
def test_containers_are_counted_by_unopened_ones_like_the_first(volume: str, wanted: int) -> None:
    assert containers_like_first(m(volume), lines(holding("2 mL", "a", left=m("0.5 mL")))) == wanted


@pytest.mark.parametrize(
    ("one", "other", "twice"),
    [
        ({}, {}, False),
        ({"serial": "S1"}, {"serial": "S1"}, True),
        ({"left": m("1 mL")}, {"left": m("1 mL")}, True),
        ({"left": m("1 mL")}, {}, True),
        ({}, {"left": m("1 mL")}, True),
        ({"id": "b", "serial": "S1"}, {"serial": "S2"}, False),
    ],
)
def test_what_is_one_thing_counts_once_and_a_lot_as_often_as_it_is_taken(
    one: dict[str, object], other: dict[str, object], twice: bool
) -> None:
    pair = [vial(in_volume("10 mg", "1 mL"), **one), vial(in_volume("10 mg", "1 mL"), **other)]
    assert (same_container_twice(pair) is not None) == twice
