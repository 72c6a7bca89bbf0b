"""A dose too small for every barrel: the dilution that makes it measurable, or a refusal."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kiosk.core.apparatus.measurable import DilutionOffer, dilution_offer, least_measured
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.findings import Refusal
from tests.core.apparatus.samples import (
    INSULIN,
    ONE,
    TEN,
    THREE,
    TRAY,
    TWENTY,
    a_plan,
    an_insulin_plan,
    an_insulin_syringe,
    an_order,
    ml,
    tables,
)


def test_what_no_syringe_measures_is_measured_after_a_dilution() -> None:
    plan = a_plan("0.02", per_ml="10", containers=(("c1", "0.02", "0.98"),))
    assert not any(o.allowed for o in rank_syringes(plan, an_order(), TRAY, tables()))
    offer = dilution_offer(plan, an_order(), TRAY, tables(), diluent_name="sodium chloride 0.9 %")
    assert isinstance(offer, DilutionOffer)
    assert offer.option.allowed
    assert offer.option.setting is not None
    assert offer.option.setting.worst <= Decimal("0.05")
    # The dose is still the dose: what is drawn times the new strength is 0.2 mg, by hand.
    assert offer.dilution.draw is not None
    assert offer.dilution.draw.value * offer.dilution.strength.value == plan.dose.value
    assert offer.dilution.stock <= ml("1")


@pytest.mark.parametrize(
    ("syringe", "least"),
    [(ONE, "0.5"), (THREE, "1.5"), (TEN, "3.8")],
)
def test_the_least_a_barrel_measures_within_five_percent(syringe: object, least: str) -> None:
    # By hand. 1 and 3 mL: 5 % only from half the capacity on. 10 mL: (0.15 + 0.01 x) / x <= 0.05 from 3.75.
    rules = tables().policy
    found = least_measured(syringe, a_plan("1"), an_order(), tables(), rules)  # type: ignore[arg-type]
    assert found == ml(least)


def test_insulin_is_never_diluted_here() -> None:
    answer = dilution_offer(an_insulin_plan("1"), an_order(INSULIN), TRAY, tables())
    assert isinstance(answer, Refusal)
    assert answer.code == "insulin_not_diluted"


def test_without_a_syringe_that_measures_nothing_is_promised() -> None:
    for tray in ((), (an_insulin_syringe("100"),), (TWENTY,)):
        answer = dilution_offer(a_plan("0.00002"), an_order(), tray, tables())
        assert isinstance(answer, Refusal)
        assert answer.code == "no_dilution_measures"
