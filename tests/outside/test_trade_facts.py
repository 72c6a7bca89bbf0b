"""What everybody in the trade knows. Every check in this file: common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from kiosk.core.apparatus.choices import DrawUpOption, Setting
from kiosk.core.apparatus.drawup_choice import rank_draw_up
from kiosk.core.apparatus.needle_choice import rank_needles
from kiosk.core.apparatus.needle_need import NeedleNeed, needed_needle
from kiosk.core.apparatus.setting import setting
from kiosk.core.apparatus.steps import draw_up_steps
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.catalogue.container import Form
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.units import Measure
from kiosk.tables.csv_rows import rows
from tests.core.apparatus.samples import (
    BLUNT_FILL,
    BLUNT_FILTER,
    DEVICES,
    INSULIN,
    NEEDLES,
    THREE,
    TODAY,
    TRAY,
    a_container,
    a_drug,
    a_needle,
    a_plan,
    an_insulin_plan,
    an_insulin_syringe,
    an_order,
    ml,
    tables,
    units,
)

HUNDRED = an_insulin_syringe("100", "2")
UNDER_SKIN = an_order(INSULIN, route=Route.SUBCUTANEOUS, site=Site.ABDOMEN)


def steps_for(form: Form) -> list[str]:
    plan = a_plan("2", containers=(("c1", "2", "3"),))
    at = setting(THREE, plan, tables())
    assert isinstance(at, Setting)
    device = BLUNT_FILTER if form is Form.GLASS_AMPOULE else BLUNT_FILL
    found = draw_up_steps(
        (a_container(form, contents="5"),), THREE, device, a_needle(23, "25"), plan, at, tables()
    )
    return [f"{s.does} {s.amount.value if s.amount else ''}".strip() for s in found]


def test_the_blunt_fill_needle_is_18_g_and_one_and_a_half_inches() -> None:
    spec = next(row for row in rows("drawup_devices") if row["id"] == "blunt_fill_needle")
    assert "18 G x 38 mm (1 1/2 in)" in spec["usual"]
    assert spec["known"] == "common practice"


def test_a_glass_ampoule_is_drawn_through_a_filter() -> None:
    options = rank_draw_up((a_container(Form.GLASS_AMPOULE),), THREE, DEVICES, tables())
    assert {o.device.kind for o in options if o.allowed and o.device} == {
        "blunt filter needle",
        "filter straw",
    }


def test_no_air_goes_into_an_ampoule() -> None:
    for form in (Form.GLASS_AMPOULE, Form.PLASTIC_AMPOULE):
        assert not any("air" in step for step in steps_for(form))


def test_two_ml_from_a_vial_take_two_ml_of_air() -> None:
    assert "push_air 2" in steps_for(Form.MULTI_DOSE_VIAL)


def test_twenty_units_is_the_twenty_line_and_a_fifth_of_a_millilitre() -> None:
    at = setting(HUNDRED, an_insulin_plan("20"), tables())
    assert isinstance(at, Setting)
    assert at.line == units("20")
    assert at.volume == ml("0.2")


def test_insulin_takes_no_separate_draw_up_needle() -> None:
    vial = a_container(Form.MULTI_DOSE_VIAL, drug=INSULIN)
    assert rank_draw_up((vial,), HUNDRED, DEVICES, tables()) == (DrawUpOption(None, ()),)


def test_insulin_never_goes_into_a_syringe_marked_in_millilitres() -> None:
    options = rank_syringes(an_insulin_plan("20"), UNDER_SKIN, (*TRAY, HUNDRED), tables())
    assert [o.syringe for o in options if o.allowed] == [HUNDRED]


def test_nothing_else_goes_into_an_insulin_syringe() -> None:
    heparin = an_order(a_drug("heparin", unit="units"), route=Route.SUBCUTANEOUS, site=Site.ABDOMEN)
    (option,) = rank_syringes(an_insulin_plan("50"), heparin, (HUNDRED,), tables())
    assert [f.id for f in option.findings] == ["other_drug_in_insulin_syringe"]


@pytest.mark.parametrize("length", ["12.7", "15.875"])
@pytest.mark.parametrize("drug", [INSULIN, a_drug()], ids=["insulin", "another drug"])
def test_29_g_half_inch_and_five_eighths_go_under_the_skin(length: str, drug: object) -> None:
    order = an_order(drug, route=Route.SUBCUTANEOUS, site=Site.ABDOMEN)  # type: ignore[arg-type]
    (option,) = rank_needles(order, ml("0.2"), THREE, (a_needle(29, length),), tables(), TODAY)
    assert option.allowed


def test_muscle_wants_a_longer_needle_than_the_skin() -> None:
    muscle = needed_needle(an_order(), TODAY, tables())
    skin = needed_needle(an_order(route=Route.SUBCUTANEOUS, site=Site.ABDOMEN), TODAY, tables())
    assert isinstance(muscle, NeedleNeed)
    assert isinstance(skin, NeedleNeed)
    assert muscle.shortest > skin.longest


def test_a_smaller_gauge_number_is_a_thicker_needle() -> None:
    tubes = sorted(tables().tubing.values(), key=lambda tube: tube.gauge)
    for thicker, finer in pairwise(tubes):
        assert thicker.outer_most > finer.outer_most
        assert thicker.metric > finer.metric
        if thicker.outer and finer.outer:
            assert thicker.outer > finer.outer


def test_the_stopper_is_rubbed_for_thirty_seconds_and_left_to_dry() -> None:
    plan = a_plan("2", containers=(("c1", "2", "3"),))
    at = setting(THREE, plan, tables())
    assert isinstance(at, Setting)
    vial = a_container(Form.SINGLE_DOSE_VIAL, contents="5")
    found = draw_up_steps((vial,), THREE, BLUNT_FILL, a_needle(23, "25"), plan, at, tables())
    names = [step.does for step in found]
    rub, dry = names.index("wipe_stopper"), names.index("let_stopper_dry")
    assert found[rub].wait == Measure.of("30", "s")
    assert dry == rub + 1
    assert found[dry].wait is not None
    assert names.index("draw_from_vial") > dry


def test_an_ampoule_is_never_kept_and_a_vial_may_be_for_several_doses() -> None:
    kept = next(row for row in rows("drawup_rules") if row["id"] == "ampoule_leftovers")
    assert kept["figure"] == "0 h"
    assert Form.MULTI_DOSE_VIAL.value == "multi-dose vial"


def test_colour_never_decides() -> None:
    # No row of stock carries a colour, and the same choice stands with every colour taken out of the tables.
    assert not any("colour" in field for field in NEEDLES[0].__dataclass_fields__)
    grey = replace(tables(), hub_colours={})
    for site in (Site.DELTOID, Site.VENTROGLUTEAL):
        order = an_order(site=site)
        assert rank_needles(order, ml("1"), THREE, NEEDLES, tables(), TODAY) == rank_needles(
            order, ml("1"), THREE, NEEDLES, grey, TODAY
        )


def test_the_same_colour_stands_for_two_gauges() -> None:
    # Why colour cannot decide: yellow is 20 G and 30 G within ISO 6009 (German and Spanish list pages, seen).
    colours = tables().hub_colours
    assert colours[20] == colours[30] == "yellow"


def test_the_clear_insulin_is_drawn_first() -> None:
    assert next(row.draw_first for row in tables().mixing if row.together) == "insulin short"
