"""What fills the syringe: a filter for glass, a blunt fill needle for vials, nothing on a fixed needle."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.core.apparatus.choices import DrawUpOption
from kiosk.core.apparatus.drawup_choice import rank_draw_up
from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.devices import DrawUpDevice, DrawUpKind, Tip
from tests.core.apparatus.samples import (
    BLUNT_FILL,
    BLUNT_FILTER,
    CLOUDY,
    DEVICES,
    STRAW,
    THREE,
    a_container,
    a_needle,
    a_powder,
    a_syringe,
    an_insulin_syringe,
    mm,
    tables,
)

GLASS = a_container(Form.GLASS_AMPOULE)
VIAL = a_container(Form.SINGLE_DOSE_VIAL, id="c2")


def rank(*containers: Container, devices: tuple[DrawUpDevice, ...] = DEVICES) -> tuple[DrawUpOption, ...]:
    return rank_draw_up(containers, THREE, devices, tables())


def why(options: tuple[DrawUpOption, ...], device: DrawUpDevice | None) -> list[str]:
    return next([f.id for f in o.findings] for o in options if o.device == device)


def test_a_glass_ampoule_wants_a_filter() -> None:
    options = rank(GLASS)
    assert [o.device for o in options if o.allowed] == [BLUNT_FILTER, STRAW]
    assert why(options, BLUNT_FILL) == ["glass_without_filter"]


@pytest.mark.parametrize(
    "form", [Form.PLASTIC_AMPOULE, Form.SINGLE_DOSE_VIAL, Form.MULTI_DOSE_VIAL, Form.POWDER_VIAL]
)
def test_without_glass_the_blunt_fill_needle_is_first(form: Form) -> None:
    options = rank(a_container(form))
    assert options[0].device == BLUNT_FILL
    assert options[0].findings == ()
    assert why(options, BLUNT_FILTER) == ["filter_not_needed"]


def test_a_straw_does_not_go_through_a_stopper() -> None:
    assert why(rank(VIAL), STRAW) == ["straw_for_stopper", "filter_not_needed"]


def test_a_powder_made_up_from_a_glass_ampoule_takes_the_filter_one_way() -> None:
    options = rank(a_container(Form.GLASS_AMPOULE, id="water"), a_powder())
    assert options[0].device == BLUNT_FILTER
    assert [f.id for f in options[0].findings] == ["filter_one_way"]


def test_a_suspension_is_not_filtered() -> None:
    options = rank(a_container(Form.MULTI_DOSE_VIAL, drug=CLOUDY))
    assert why(options, BLUNT_FILTER) == ["filter_holds_back_drug", "filter_not_needed"]
    glass = rank(a_container(Form.GLASS_AMPOULE, drug=CLOUDY))
    assert not any(o.allowed for o in glass)


def test_a_fixed_needle_leaves_no_choice() -> None:
    (only,) = rank_draw_up((VIAL,), an_insulin_syringe("100"), DEVICES, tables())
    assert only == DrawUpOption(None, ())
    fixed = a_syringe("1", "0.01", tip=Tip.FIXED, needle=a_needle(29, "12.7"))
    (glass,) = rank_draw_up((GLASS,), fixed, DEVICES, tables())
    assert [f.id for f in glass.findings] == ["glass_by_fixed_needle"]
    assert not glass.allowed


def test_an_oral_tip_takes_no_device_and_opens_neither_glass_nor_stopper() -> None:
    oral = a_syringe("5", "0.2", tip=Tip.ORAL)
    bottle = a_container(Form.PLASTIC_AMPOULE)
    assert rank_draw_up((bottle,), oral, DEVICES, tables()) == (DrawUpOption(None, ()),)
    (glass,) = rank_draw_up((GLASS,), oral, DEVICES, tables())
    assert [f.id for f in glass.findings] == ["glass_by_oral_tip"]
    (vial,) = rank_draw_up((VIAL,), oral, DEVICES, tables())
    assert [f.id for f in vial.findings] == ["stopper_by_oral_tip"]
    assert not vial.allowed


def test_what_is_prefilled_needs_nothing() -> None:
    assert rank(a_container(Form.PREFILLED)) == (DrawUpOption(None, ()),)


def test_a_missing_device_is_named_never_silence() -> None:
    options = rank(GLASS, devices=(BLUNT_FILL,))
    assert not any(o.allowed for o in options)
    assert why(options, None) == ["no_filter_device"]
    assert why(rank(VIAL, devices=()), None) == ["no_draw_up_device"]


def test_a_site_may_only_be_advised_to_filter() -> None:
    rules = replace(tables().policy, filter_for_glass=False)
    options = rank_draw_up((GLASS,), THREE, DEVICES, tables(), rules)
    assert options[0].device == BLUNT_FILTER
    assert all(o.allowed for o in options)


def test_of_two_alike_the_thicker_draws_faster() -> None:
    finer = DrawUpDevice("fine", DrawUpKind.BLUNT_FILL, 20, mm("38"))
    assert [o.device for o in rank(VIAL, devices=(finer, BLUNT_FILL))] == [BLUNT_FILL, finer]
