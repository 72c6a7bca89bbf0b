"""The steps of drawing up: in the trade's order, for each container, with amounts the scale shows."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from kiosk.core.apparatus.choices import DrawUpStep, Setting
from kiosk.core.apparatus.setting import setting
from kiosk.core.apparatus.steps import draw_up_steps
from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe, Tip
from kiosk.core.dose.plan import RecipeStep, Take, VolumePlan
from kiosk.core.units import Measure
from kiosk.tables.words import words
from tests.core.apparatus.samples import (
    BLUNT_FILL,
    BLUNT_FILTER,
    CLOUDY,
    INSULIN,
    STRAW,
    THREE,
    a_container,
    a_needle,
    a_plan,
    a_powder,
    a_syringe,
    an_insulin_plan,
    an_insulin_syringe,
    ml,
    tables,
    units,
)

NEEDLE = a_needle(23, "25")
GLASS = a_container(Form.GLASS_AMPOULE)
VIAL = a_container(Form.SINGLE_DOSE_VIAL, contents="5")


def steps(
    *containers: Container,
    plan: VolumePlan,
    syringe: Syringe = THREE,
    device: DrawUpDevice | None = BLUNT_FILL,
    needle: InjectionNeedle | None = NEEDLE,
) -> tuple[DrawUpStep, ...]:
    at = setting(syringe, plan, tables())
    assert isinstance(at, Setting)
    return draw_up_steps(containers, syringe, device, needle, plan, at, tables())


def does(found: tuple[DrawUpStep, ...]) -> list[str]:
    return [step.does for step in found]


def amount(found: tuple[DrawUpStep, ...], id: str) -> Measure | None:
    return next(step.amount for step in found if step.id == id)


def left(*containers: tuple[str, str, str]) -> tuple[tuple[str, str, str], ...]:
    return containers


ONE_FROM_FIVE = a_plan("1", containers=left(("c1", "1", "4")))


def test_a_glass_ampoule_from_hands_to_sharps() -> None:
    found = steps(GLASS, plan=a_plan("1"), device=BLUNT_FILTER)
    assert does(found) == [
        "clean_hands",
        "open_syringe",
        "fit_blunt_filter",
        "tap_ampoule_down",
        "wipe_ampoule_neck",
        "snap_ampoule",
        "draw_from_ampoule",
        "tap_bubbles",
        "pull_back",
        "take_off_draw_up_device",
        "fit_needle",
        "prime",
        "expel_to_line",
        "look_through",
        "sharps_away",
    ]


def test_a_vial_is_wiped_dried_aired_and_turned_over() -> None:
    found = steps(VIAL, plan=ONE_FROM_FIVE)
    middle = does(found)[3:9]
    assert middle == [
        "flip_cap",
        "wipe_stopper",
        "let_stopper_dry",
        "pull_air",
        "push_air",
        "draw_from_vial",
    ]
    waits = {step.does: step.wait for step in found if step.wait}
    assert waits == {"wipe_stopper": Measure.of("30", "s"), "let_stopper_dry": Measure.of("30", "s")}


def test_air_is_as_much_as_is_drawn_and_a_little_extra_fills_the_needle() -> None:
    found = steps(VIAL, plan=ONE_FROM_FIVE)
    assert amount(found, "pull_air") == ml("1")
    assert amount(found, "push_air") == ml("1")
    assert amount(found, "draw_from_vial") == ml("1.1")  # 0.05 mL in hub and bore: one line of 0.1 mL
    assert amount(found, "expel_to_line") == ml("1")


def test_an_ampoule_with_nothing_left_over_gives_no_extra() -> None:
    found = steps(GLASS, plan=a_plan("1"), device=BLUNT_FILTER)
    assert amount(found, "draw_from_ampoule") == ml("1")


def test_no_extra_goes_beyond_the_last_line() -> None:
    plan = a_plan("3", containers=left(("c1", "3", "2")))
    assert amount(steps(VIAL, plan=plan), "draw_from_vial") == ml("3")


@pytest.mark.parametrize("form", list(Form))
def test_every_form_has_its_steps_with_unique_ids_and_words(form: Form) -> None:
    container = a_powder() if form is Form.POWDER_VIAL else a_container(form, contents="5")
    recipe = (RecipeStep("add_diluent", ml("2"), "water for injection"),)
    plan = replace(ONE_FROM_FIVE, recipe=recipe)
    device = None if form is Form.PREFILLED else BLUNT_FILL
    found = steps(container, plan=plan, device=device)
    assert max(Counter(step.id for step in found).values()) == 1
    assert found[0].does == "clean_hands"
    assert found[-1].does == ("clear_away" if form is Form.PREFILLED else "sharps_away")
    for language in ("en", "fr"):
        entries = words(language)
        for step in found:
            for part in ("text", "detail"):
                sentence = entries[f"step.{step.does}.{part}"]
                assert "{amount}" not in sentence or step.amount is not None
                assert "{what}" not in sentence or step.what
            assert step.source


def test_an_open_vial_has_no_cap_to_flip() -> None:
    opened = a_container(Form.MULTI_DOSE_VIAL, left="4", opened=True)
    assert "flip_cap" not in does(steps(opened, plan=ONE_FROM_FIVE))
    assert "wipe_stopper" in does(steps(opened, plan=ONE_FROM_FIVE))


def test_a_powder_is_made_up_with_equal_exchange_and_takes_no_air_before_drawing() -> None:
    plan = replace(
        a_plan("1", containers=left(("c1", "1", "1"))), recipe=(RecipeStep("add_diluent", ml("2"), "water"),)
    )
    found = steps(a_powder(), plan=plan)
    assert does(found)[6:12] == [
        "draw_diluent",
        "add_diluent",
        "let_air_back",
        "dissolve",
        "look_dissolved",
        "draw_from_vial",
    ]
    assert amount(found, "add_diluent") == ml("2")
    assert amount(found, "let_air_back") == ml("2")
    assert "pull_air" not in does(found)


def test_make_up_to_a_volume_is_not_add_a_volume() -> None:
    plan = replace(ONE_FROM_FIVE, recipe=(RecipeStep("make_up_to", ml("10"), "water"),))
    found = steps(a_powder(), plan=plan)
    assert "add_diluent" not in does(found)
    assert amount(found, "make_up_to_volume") == ml("10")


def test_a_powder_already_made_up_is_drawn_like_any_vial() -> None:
    made_up = replace(a_powder(), left=ml("5"), opened_at=None)
    assert "add_diluent" not in does(steps(made_up, plan=ONE_FROM_FIVE))


def test_the_ampoule_of_diluent_is_opened_before_the_powder() -> None:
    water = a_container(Form.GLASS_AMPOULE, id="water", name="water for injection")
    plan = replace(
        a_plan("1", containers=left(("c1", "1", "1"))), recipe=(RecipeStep("add_diluent", ml("2"), "water"),)
    )
    found = does(steps(water, a_powder(), plan=plan, device=BLUNT_FILTER))
    assert found.index("snap_ampoule") < found.index("draw_diluent") < found.index("draw_from_vial")
    assert "draw_from_ampoule" not in found


def test_several_ampoules_are_drawn_one_after_the_other_to_a_growing_line() -> None:
    one = a_container(Form.GLASS_AMPOULE, id="lot")
    plan = a_plan("2.5", containers=left(("lot", "1", "0"), ("lot", "1", "0"), ("lot", "0.5", "0.5")))
    found = steps(one, one, one, plan=plan, device=BLUNT_FILTER)
    drawn = [step.amount for step in found if step.does == "draw_from_ampoule"]
    assert drawn == [ml("1"), ml("2"), ml("2.6")]
    assert {step.id for step in found if step.does == "snap_ampoule"} == {
        "snap_ampoule",
        "snap_ampoule-2",
        "snap_ampoule-3",
    }


def test_two_insulins_air_to_cloudy_air_to_clear_draw_clear_then_cloudy() -> None:
    clear = a_container(Form.MULTI_DOSE_VIAL, id="clear", drug=INSULIN, name="clear insulin")
    cloudy = a_container(Form.MULTI_DOSE_VIAL, id="cloudy", drug=CLOUDY, name="cloudy insulin")
    takes = (Take("cloudy", ml("0.2"), ml("5")), Take("clear", ml("0.1"), ml("5")))
    plan = an_insulin_plan("30", takes=takes)
    found = steps(cloudy, clear, plan=plan, syringe=an_insulin_syringe("50"), device=None)
    said = [(s.does, s.what, s.amount) for s in found if s.does in ("push_air", "draw_from_vial")]
    assert said == [
        ("push_air", "cloudy insulin", units("20")),
        ("push_air", "clear insulin", units("10")),
        ("draw_from_vial", "clear insulin", units("10")),
        ("draw_from_vial", "cloudy insulin", units("30")),
    ]
    assert does(found).count("roll_vial") == 1


def test_a_fixed_needle_is_set_in_the_vial_and_never_changed() -> None:
    vial = a_container(Form.MULTI_DOSE_VIAL, drug=INSULIN, left="5", opened=True)
    found = steps(vial, plan=an_insulin_plan("20"), syringe=an_insulin_syringe("100"), device=None)
    assert does(found) == [
        "clean_hands",
        "open_fixed_syringe",
        "wipe_stopper",
        "let_stopper_dry",
        "pull_air",
        "push_air",
        "draw_from_vial",
        "tap_bubbles",
        "push_bubbles_into_vial",
        "set_line_in_vial",
        "take_out_of_vial",
        "look_through",
        "clear_away",
    ]
    assert amount(found, "set_line_in_vial") == units("20")
    assert amount(found, "pull_air") == units("20")


def test_into_a_cannula_air_and_extra_go_before_the_cap_and_no_needle_is_fitted() -> None:
    found = does(steps(VIAL, plan=ONE_FROM_FIVE, needle=None))
    assert found[found.index("tap_bubbles") :] == [
        "tap_bubbles",
        "pull_back",
        "take_off_draw_up_device",
        "push_air_out",
        "expel_to_line",
        "cap_tip",
        "look_through",
        "sharps_away",
    ]


def test_an_oral_syringe_draws_by_its_own_tip_and_gets_its_own_cap() -> None:
    oral = a_syringe("5", "0.2", tip=Tip.ORAL)
    bottle = a_container(Form.PLASTIC_AMPOULE, contents="5")
    found = does(steps(bottle, plan=ONE_FROM_FIVE, syringe=oral, device=None, needle=None))
    assert found == [
        "clean_hands",
        "open_syringe",
        "twist_ampoule_open",
        "draw_from_ampoule",
        "tap_bubbles",
        "push_air_out",
        "expel_to_line",
        "cap_oral_tip",
        "look_through",
        "clear_away",
    ]


def test_the_diluent_is_named_where_the_label_names_it() -> None:
    plan = a_plan("1", containers=left(("c1", "1", "1")))
    named = replace(plan, recipe=(RecipeStep("add_diluent", ml("2"), "water for injections"),))
    assert [s.what for s in steps(a_powder(), plan=named) if s.does == "draw_diluent"] == [
        "water for injections"
    ]
    unnamed = replace(plan, recipe=(RecipeStep("add_diluent", ml("2")),))
    assert "draw_some_diluent" in does(steps(a_powder(), plan=unnamed))


def test_a_filter_straw_is_named_as_such() -> None:
    assert "fit_filter_straw" in does(steps(GLASS, plan=a_plan("1"), device=STRAW))


def test_the_site_times_the_stopper() -> None:
    rules = replace(tables().policy, stopper_wipe=Measure.of("15", "s"))
    at = setting(THREE, ONE_FROM_FIVE, tables())
    assert isinstance(at, Setting)
    found = draw_up_steps((VIAL,), THREE, BLUNT_FILL, NEEDLE, ONE_FROM_FIVE, at, tables(), rules)
    assert next(s.wait for s in found if s.does == "wipe_stopper") == Measure.of("15", "s")
