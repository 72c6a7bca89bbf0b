"""A dose shared out: the parts are alike, add up to the whole, and both computations agree on each."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.agreed import agreed_plan
from kiosk.core.dose.order import FixedDose
from kiosk.core.dose.parts import part_id, whole_of
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.units import Measure
from tests.counter import NOW, container, order


def plan(parts: int, grams: str = "5") -> VolumePlan:
    shared = replace(order("O25"), dose=FixedDose(Measure.of(grams, "g")), part=1, parts=parts)
    answer = agreed_plan(shared, (container("C040"),), NOW)
    assert isinstance(answer, VolumePlan)
    return answer


def test_half_of_five_grams_is_two_and_a_half_in_five_millilitres() -> None:
    half = plan(2)  # 50 % is 0.5 g in each mL: 2.5 g is 5 mL. Hand arithmetic.
    assert half.dose == Measure.of("2.5", "g")
    assert half.volume == Measure.of(5, "mL")
    assert "5 g / 2 = 2.5 g" in [line.text for line in half.working]


@given(parts=st.integers(min_value=1, max_value=7))
def test_the_parts_add_up_to_the_whole_exactly(parts: int) -> None:
    whole, part = plan(1), plan(parts)
    assert whole_of(part.dose, replace(order("O25"), parts=parts)) == whole.dose
    assert part.volume.value * parts == whole.volume.value
    assert part.strength == whole.strength
    assert part.takes[0].left.value == 10 - Fraction(10, parts)


def test_the_first_part_keeps_the_orders_own_id() -> None:
    assert [part_id("O25", part) for part in (1, 2, 3)] == ["O25", "O25-2", "O25-3"]
