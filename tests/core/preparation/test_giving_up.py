"""A syringe given up loses no container: put back, kept or thrown away, controlled ones before a witness."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

import pytest

from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation.decide import Accepted, decide
from kiosk.core.preparation.state import Preparation, fold
from kiosk.core.units import Measure
from tests.counter import NOW, container, order, rules


def taken(order_id: str, *ids: str, drawn: bool = False) -> Preparation:
    """A syringe of N01 for which these containers were taken, and drawn from if said."""
    events: list[e.Event] = [e.Opened("N01", order(order_id), "A1", False)]
    events += [e.ContainerTaken("N01", container(one)) for one in ids]
    if drawn:
        line = Measure.of("0.2", "mL")
        events += [e.SyringeTaken("N01", "insulin-u100-0.3ml", line, line, Measure.of(20, "units"))]
        events += [e.StepDone("N01", "wipe_stopper")]
    state = fold("p1", events)
    assert state is not None
    return state


def given_up(state: Preparation, **more: object) -> tuple[e.Event, ...] | Refusal:
    """What giving it up amounts to."""
    answer = decide(state, a.Discard("N01", "dropped", **more), rules(), NOW)  # type: ignore[arg-type]
    return answer.events if isinstance(answer, Accepted) else answer


def test_what_nobody_speaks_of_counts_as_thrown_away() -> None:
    # two ampoules of 1 mL, sealed, under one key: 2 mL
    assert given_up(taken("O01", "C002", "C002")) == (
        e.RestAccounted("N01", "C002", Measure(Fraction(2), "mL"), "wasted"),
        e.Discarded("N01", "dropped"),
    )


def test_an_unopened_container_may_go_back() -> None:
    answer = given_up(taken("O01", "C002"), rests=(("C002", "put back"),))
    assert answer == (e.PutBack("N01", "C002"), e.Discarded("N01", "dropped"))


def test_a_dry_container_is_counted_in_pieces() -> None:
    answer = given_up(taken("O14", "C071"))
    assert isinstance(answer, tuple)
    assert answer[0] == e.RestAccounted("N01", "C071", Measure(Fraction(1), "1"), "wasted")


def test_an_opened_container_does_not_go_back() -> None:
    answer = given_up(taken("O02", "C053", drawn=True), rests=(("C053", "put back"),))
    assert answer == Refusal("opened_not_put_back")


def test_an_opened_vial_may_stay_in_use_with_what_was_drawn_gone() -> None:
    # 7.4 mL were left; 20 units of 100 units/mL are 0.2 mL: 7.2 mL. Its time in use goes on as it was.
    answer = given_up(taken("O02", "C053", drawn=True), rests=(("C053", "kept"),))
    until = container("C053").discard_after
    assert answer == (
        e.RestAccounted("N01", "C053", Measure(Fraction("7.2"), "mL"), "kept", "", until),
        e.Discarded("N01", "dropped"),
    )


def test_a_fresh_vial_kept_is_good_for_28_days_or_until_its_pack_ends() -> None:
    answer = given_up(taken("O02", "C054", drawn=True), rests=(("C054", "kept"),))
    assert isinstance(answer, tuple)
    assert isinstance(answer[0], e.RestAccounted)
    assert answer[0].discard_after == NOW + timedelta(days=28)


@pytest.mark.parametrize(
    ("witness", "code"),
    [("", "waste_needs_witness"), ("N01", "witness_is_preparer"), ("T01", "may_not_witness")],
)
def test_a_controlled_drug_is_given_up_before_a_witness_only(witness: str, code: str) -> None:
    state = taken("O05", "C008")
    for rests in ((), (("C008", "put back"),)):
        answer = given_up(state, rests=rests, witness=witness)
        assert isinstance(answer, Refusal)
        assert answer.code == code
    answer = given_up(state, rests=(("C008", "put back"),), witness="W01")
    assert answer == (e.PutBack("N01", "C008", "W01"), e.Discarded("N01", "dropped", "W01"))


def test_whoever_came_to_check_does_not_witness_either() -> None:
    state = taken("O05", "C008")
    seen = fold("p1", [e.Opened("N01", order("O05"), "A1", True), e.ContainerTaken("N01", container("C008"))])
    assert seen is not None
    checked = decide(state, a.Discard("N01", "dropped", witness="N02"), rules(), NOW)
    assert isinstance(checked, Accepted)
    came = fold(
        "p1",
        [
            e.Opened("N01", order("O05"), "A1", True),
            e.ContainerTaken("N01", container("C008")),
            e.CheckerCame("N02"),
            e.StepDone("N01", "x"),
            e.Resumed("N01"),
        ],
    )
    assert came is not None
    assert came.checker == ""
    refused = decide(came, a.Discard("N01", "dropped", witness="N02"), rules(), NOW)
    assert refused == Refusal("witness_is_checker")
