"""The short run of the random proof, and the proof that it can fail."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from kiosk.core.apparatus.choices import DrawUpOption, NeedleOption
from kiosk.core.apparatus.syringe_choice import rank_syringes
from tests.core.apparatus import oracle
from tests.core.apparatus import proof_random as proof
from tests.core.apparatus.samples import (
    BLUNT_FILL,
    ONE,
    THREE,
    TODAY,
    a_container,
    a_needle,
    a_plan,
    an_order,
    tables,
)


def test_no_pick_of_a_thousand_is_forbidden_and_none_is_silent() -> None:
    ends, faulty = proof.run(1000, 7)
    assert faulty == []
    assert sum(ends.values()) == 1000
    assert ends["made"] > 50
    assert {"syringe: no_syringe_measures", "draw-up: no_filter_device", "needle: no_needle_fits"} <= set(
        ends
    )


def test_the_judge_catches_a_bad_syringe() -> None:
    (good,) = rank_syringes(a_plan("0.6"), an_order(), (ONE,), tables())
    case = proof.Case(an_order(), a_plan("0.2"), (), (), (), ())
    assert list(proof._syringe_faults(case, good))
    (small,) = rank_syringes(a_plan("0.2"), an_order(), (THREE,), tables())
    assert any("off by" in fault for fault in proof._syringe_faults(case, small))
    assert list(proof._syringe_faults(case, replace(good, setting=None))) == ["no setting"]


def test_the_judge_catches_a_bad_device_and_a_bad_needle() -> None:
    case = proof.Case(an_order(), a_plan("0.2"), (a_container(),), (), (), ())
    assert list(proof._draw_up_faults(case, ONE, DrawUpOption(BLUNT_FILL, ()))) == ["glass without a filter"]
    assert list(proof._draw_up_faults(case, ONE, DrawUpOption(None, ())))
    assert list(proof._needle_faults(case, NeedleOption(a_needle(25, "38.1"), ())))
    assert list(proof._needle_faults(case, NeedleOption(a_needle(27, "25.4"), ())))
    assert list(proof._needle_faults(case, NeedleOption(a_needle(25, "25.4"), ()))) == []


def test_the_oracle_reads_ages_by_itself() -> None:
    newborn = oracle.Someone(TODAY - timedelta(days=28), TODAY, Decimal(4), "")
    older = oracle.Someone(TODAY - timedelta(days=29), TODAY, Decimal(4), "")
    where = ("intramuscular", "vastus lateralis", "aqueous")
    assert oracle.needle_forbidden(*where, newborn, 25, Decimal(16)) == ""
    assert oracle.needle_forbidden(*where, older, 25, Decimal(16)) == "length against acip_infant_thigh"
