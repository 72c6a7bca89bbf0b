"""An order in millilitres is no dose until a container gives it a strength: then the bounds apply."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.core.dose.order import FixedDose
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation.decide import Accepted, decide
from kiosk.core.preparation.state import apply_all, begin
from kiosk.core.units import Measure
from tests.counter import NOW, container, order, rules

MORPHINE_10_MG_IN_1_ML = "C008"  # for O06, under the skin: the list allows 1 to 10 mg


def held_up(millilitres: str) -> e.ContainerTaken | Refusal:
    """What the last of enough ampoules of 10 mg in 1 mL is answered when so many mL are ordered."""
    ordered = replace(order("O06"), dose=FixedDose(Measure.of(millilitres, "mL")), as_written="")
    opened = decide(None, a.TakeUp("N01", ordered, "D100001", ("dose_as_volume",)), rules(), NOW)
    assert isinstance(opened, Accepted)
    first = opened.events[0]
    assert isinstance(first, e.Opened)
    state = apply_all(begin("p1", first), opened.events[1:])
    while True:
        held = a.TakeContainer("N01", container(MORPHINE_10_MG_IN_1_ML), insisted=("over_usual_for_site",))
        answer = decide(state, held, rules(), NOW)
        if isinstance(answer, Refusal):
            return answer
        taken = answer.events[0]
        assert isinstance(taken, e.ContainerTaken)
        state = apply_all(state, answer.events)
        if taken.enough:
            return taken


def test_an_order_by_volume_must_be_dealt_with_before_it_is_begun() -> None:
    ordered = replace(order("O06"), dose=FixedDose(Measure.of("0.5", "mL")), as_written="")
    answer = decide(None, a.TakeUp("N01", ordered, "D100001"), rules(), NOW)
    assert isinstance(answer, Refusal)
    assert answer.code == "dose_as_volume"


def test_half_a_millilitre_is_five_milligrams_and_passes() -> None:
    assert isinstance(held_up("0.5"), e.ContainerTaken)


@pytest.mark.parametrize(
    ("millilitres", "code"),
    [("0.01", "dose_tenfold_below"), ("2", "dose_above_limit")],
)
def test_a_volume_that_makes_a_dose_outside_the_bounds_is_stopped(millilitres: str, code: str) -> None:
    answer = held_up(millilitres)
    assert isinstance(answer, Refusal)
    assert answer.code == code


def test_a_dose_a_little_above_the_list_then_needs_a_second_person() -> None:
    """1.04 mL are 10.4 mg where 10 mg is the most."""
    answer = held_up("1.04")
    assert isinstance(answer, e.ContainerTaken)
    assert {"dose_slightly_above_limit", "dose_above_list"} <= set(answer.second_reasons)
