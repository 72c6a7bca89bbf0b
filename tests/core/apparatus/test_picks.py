"""The best of a choice, or a refusal that names what is missing: never silence."""

from __future__ import annotations

from kiosk.core.apparatus.drawup_choice import rank_draw_up
from kiosk.core.apparatus.needle_choice import rank_needles
from kiosk.core.apparatus.picks import best_draw_up, best_needle, best_syringe
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.catalogue.container import Form
from kiosk.core.findings import Refusal
from tests.core.apparatus.samples import (
    BLUNT_FILL,
    BLUNT_FILTER,
    NEEDLES,
    ONE,
    THREE,
    TODAY,
    TRAY,
    a_container,
    a_needle,
    a_plan,
    an_order,
    ml,
    mm,
    tables,
)


def code(answer: object) -> str:
    assert isinstance(answer, Refusal)
    return answer.code


def test_the_best_syringe_or_why_none() -> None:
    plan = a_plan("1.5")
    options = rank_syringes(plan, an_order(), TRAY, tables())
    assert best_syringe(options, plan) == options[0]
    assert code(best_syringe((), plan)) == "no_syringe_in_stock"
    only = rank_syringes(plan, an_order(), (ONE,), tables())
    answer = best_syringe(only, plan)
    assert code(answer) == "no_syringe_measures"
    assert isinstance(answer, Refusal)
    assert answer.facts["whys"] == ("too_small",)


def test_the_best_draw_up_device_or_the_kind_that_is_missing() -> None:
    glass = (a_container(Form.GLASS_AMPOULE),)
    good = best_draw_up(rank_draw_up(glass, THREE, (BLUNT_FILL, BLUNT_FILTER), tables()))
    assert not isinstance(good, Refusal)
    assert good.device == BLUNT_FILTER
    assert code(best_draw_up(rank_draw_up(glass, THREE, (BLUNT_FILL,), tables()))) == "no_filter_device"
    assert code(best_draw_up(())) == "no_draw_up_device"


def test_the_best_needle_or_what_would_have_fitted() -> None:
    order = an_order()
    options = rank_needles(order, ml("1"), THREE, NEEDLES, tables(), TODAY)
    assert best_needle(options, order, TODAY, tables()) == options[0]
    wrong = rank_needles(order, ml("1"), THREE, (a_needle(30, "8"),), tables(), TODAY)
    answer = best_needle(wrong, order, TODAY, tables())
    assert isinstance(answer, Refusal)
    assert answer.code == "no_needle_fits"
    assert answer.facts == {"thickest": 22, "finest": 25, "shortest": mm("25"), "longest": mm("25.4")}
    assert code(best_needle((), order, TODAY, tables())) == "no_needle_fits"
    assert code(best_needle((), an_order(site=None), TODAY, tables())) == "site_needed"
