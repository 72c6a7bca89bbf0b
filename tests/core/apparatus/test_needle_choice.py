"""The injection needle: too short, too long, too fine, too thick refused; the usual one first."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from kiosk.core.apparatus.choices import NeedleOption
from kiosk.core.apparatus.needle_choice import rank_needles, refuse_as_needle
from kiosk.core.catalogue.devices import InjectionNeedle, Syringe
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import Order
from kiosk.core.findings import Level
from tests.core.apparatus.samples import (
    BLUNT_FILTER,
    INSULIN,
    NEEDLES,
    ONE,
    THREE,
    TODAY,
    a_drug,
    a_needle,
    a_patient,
    an_insulin_syringe,
    an_order,
    ml,
    tables,
    years,
)

OIL = a_drug("depot in oil", viscosity="50")
SKIN = {"route": Route.SUBCUTANEOUS, "site": Site.ABDOMEN}


def rank(
    order: Order,
    *needles: InjectionNeedle,
    syringe: Syringe = THREE,
    volume: str = "1",
) -> tuple[NeedleOption, ...]:
    return rank_needles(order, ml(volume), syringe, needles or NEEDLES, tables(), TODAY)


def ids(option: NeedleOption) -> list[str]:
    return [finding.id for finding in option.findings]


@pytest.mark.parametrize(
    ("gauge", "length", "why"),
    [
        (23, "16", "needle_too_short"),
        (23, "38.1", "needle_too_long"),
        (27, "25.4", "needle_too_fine"),
        (21, "25.4", "needle_too_thick"),
    ],
)
def test_a_needle_the_guide_forbids_is_refused_with_its_reason(gauge: int, length: str, why: str) -> None:
    (option,) = rank(an_order(), a_needle(gauge, length))
    assert not option.allowed
    assert ids(option) == [why]
    assert option.findings[0].source.startswith("ACIP")


def test_the_usual_length_and_gauge_come_first_and_refused_ones_last() -> None:
    options = rank(an_order())
    assert (options[0].needle.gauge, options[0].needle.length) == (23, a_needle(23, "25.4").length)
    assert [o.allowed for o in options] == sorted((o.allowed for o in options), reverse=True)
    assert len(options) == len(NEEDLES)


def test_a_short_needle_for_a_light_adult_asks_for_stretched_skin() -> None:
    order = an_order(patient=a_patient(kg="55"))
    options = rank(order, a_needle(25, "15.875"), a_needle(25, "25.4"))
    assert [ids(o) for o in options] == [[], ["skin_stretched_flat"]]
    assert all(o.allowed for o in options)


def test_where_the_guide_cannot_answer_every_needle_is_refused_for_that() -> None:
    options = rank(an_order(patient=a_patient(kg=None)))
    assert {tuple(ids(o)) for o in options} == {("weight_needed",)}
    vein = rank(an_order(route=Route.INTRAVENOUS, site=Site.CANNULA))
    assert {tuple(ids(o)) for o in vein} == {("no_needle_for_route",)}


def test_a_fixed_needle_is_the_only_option_of_its_syringe() -> None:
    syringe = an_insulin_syringe("100")
    (option,) = rank(an_order(INSULIN, **SKIN), syringe=syringe, volume="0.2")  # type: ignore[arg-type]
    assert option.needle == syringe.fixed_needle
    assert option.allowed
    assert ids(option) == ["longer_than_needed"]


def test_a_child_under_six_on_insulin_has_little_fat() -> None:
    child = a_patient(born=years(5), kg="18")
    order = an_order(INSULIN, patient=child, **SKIN)  # type: ignore[arg-type]
    (option,) = rank(
        order, syringe=an_insulin_syringe("30", every="5", needle=a_needle(31, "6")), volume="0.02"
    )
    assert [(f.id, f.level) for f in option.findings] == [("may_reach_muscle", Level.CAUTION)]
    thin = an_order(INSULIN, patient=a_patient(kg="45", height="170"), **SKIN)  # type: ignore[arg-type]
    (other,) = rank(
        thin, syringe=an_insulin_syringe("30", every="5", needle=a_needle(31, "6")), volume="0.02"
    )
    assert ids(other) == ["may_reach_muscle"]


def test_seconds_and_newtons_come_from_pace_bore_and_barrel() -> None:
    # By hand, force_worked of the reference: 23 G, 25 mm, 50 mPa s, 0.1 mL/s, 3 mL barrel: 23.47 N, and 6 N
    # of friction: 29.5 N, shown to one figure.
    (option,) = rank(an_order(OIL), a_needle(23, "25"), volume="1")
    assert option.seconds == Decimal(10)
    assert option.newtons == Decimal(30)
    assert ids(option) == ["hard_to_push"]


def test_too_fine_for_the_liquid_is_refused_even_where_the_guide_would_allow_the_gauge() -> None:
    # By hand: 50 mPa s through 25 G x 25 mm at 0.1 mL/s asks 66 N; 40 N is the most a thumb should push.
    (option,) = rank(an_order(OIL), a_needle(25, "25"))
    assert ids(option) == ["needle_too_fine", "needle_too_fine_for_liquid"]
    (narrow,) = rank(an_order(OIL), a_needle(23, "25", bore="0.25"))
    assert ids(narrow) == ["needle_too_fine_for_liquid"]


def test_a_narrower_barrel_makes_the_push_easier() -> None:
    wide, narrow = (rank(an_order(OIL), a_needle(23, "25"), syringe=s, volume="0.5")[0] for s in (THREE, ONE))
    assert wide.newtons is not None
    assert narrow.newtons is not None
    assert narrow.newtons < wide.newtons


def test_a_bore_nobody_knows_gives_no_newtons() -> None:
    (option,) = rank(an_order(), a_needle(40, "25"))
    assert option.newtons is None
    assert option.seconds == Decimal(10)


def test_above_some_body_mass_index_the_hip_may_be_out_of_reach() -> None:
    # Am J Ther 2019;26:e72: 38 mm reaches up to BMI 30 in women, 35 in men. 93.5 kg at 1.70 m is 32.4.
    woman = an_order(patient=a_patient(kg="93.5", height="170"), site=Site.VENTROGLUTEAL)
    man = an_order(patient=a_patient(kg="93.5", height="170", sex="male"), site=Site.VENTROGLUTEAL)
    assert ids(rank(woman, a_needle(22, "38"))[0]) == ["may_stay_in_fat"]
    assert ids(rank(man, a_needle(22, "38"))[0]) == []


def test_a_draw_up_device_is_never_the_needle() -> None:
    stop = refuse_as_needle(BLUNT_FILTER)
    assert (stop.id, stop.level) == ("draw_up_device_as_needle", Level.STOP)
    assert stop.facts["device"] == "blunt filter needle"


def test_a_needle_that_states_its_own_tubing_is_taken_at_its_word() -> None:
    thin_wall = replace(a_needle(23, "25"), bore=a_needle(23, "25", bore="0.4").bore)
    (own,) = rank(an_order(OIL), thin_wall)
    (chart,) = rank(an_order(OIL), a_needle(23, "25"))
    assert own.newtons is not None
    assert chart.newtons is not None
    assert own.newtons < chart.newtons
