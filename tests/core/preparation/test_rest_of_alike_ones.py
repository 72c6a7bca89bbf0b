"""What is left of several alike ampoules of one lot is accounted for whole, not that of the first alone."""

from __future__ import annotations

from fractions import Fraction

from kiosk.core.preparation import events as e
from kiosk.core.preparation.plans import left_in
from kiosk.core.preparation.state import fold
from kiosk.core.units import Measure
from tests.counter import NOW, container, order


def test_the_rest_of_two_ampoules_under_one_key_is_the_rest_of_both() -> None:
    # 7 mg/kg for 14.2 kg is 99.4 mg; two ampoules of 80 mg in 2 mL hold 4 mL, the dose is 2.485 mL (by hand)
    ampoule = container("C026")
    state = fold(
        "prep-1",
        (
            e.Opened("N01", order("O10"), "A1", False),
            e.ContainerTaken("N01", ampoule, "scan", False),
            e.ContainerTaken("N01", ampoule, "scan", True),
        ),
    )
    assert state is not None
    assert left_in(state, ampoule.id, NOW) == Measure(Fraction("1.515"), "mL")
    assert left_in(state, "another", NOW) == Measure.of(0, "mL")
