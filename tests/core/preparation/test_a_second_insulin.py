"""Two insulins in one syringe: refused, since an order names one drug; nobody mixes on their own idea."""

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


@pytest.mark.parametrize("other", ["C057", "C059", "C060"], ids=["isophane", "lispro", "glargine"])
def test_what_is_missing_of_one_insulin_is_not_made_up_with_another(other: str) -> None:
    sixty = replace(order("O02"), dose=FixedDose(Measure.of(60, "units")), as_written="")
    last_drops = replace(container("C053"), left=Measure.of("0.5", "mL"))  # 50 units of 100 units/mL
    taken = begin("p1", e.Opened("N01", sixty, "D100001", True))
    first = decide(taken, a.TakeContainer("N01", last_drops), rules(), NOW)
    assert isinstance(first, Accepted)
    (entry, *_) = first.events
    assert isinstance(entry, e.ContainerTaken)
    assert not entry.enough
    answer = decide(apply_all(taken, first.events), a.TakeContainer("N01", container(other)), rules(), NOW)
    assert isinstance(answer, Refusal)
    assert answer.code == "wrong_drug"
    assert answer.facts["ordered"] == "insulin human soluble"
