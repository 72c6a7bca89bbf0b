"""What the guides ask of a needle for this body, site and liquid, and when they cannot say."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from kiosk.core.apparatus.needle_need import NeedleNeed, needed_needle, needs_needle
from kiosk.core.catalogue.device_tables import Liquid
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import Order
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.apparatus.samples import (
    INSULIN,
    TODAY,
    a_drug,
    a_patient,
    an_order,
    mm,
    tables,
    years,
)


def need(order: Order, **policy: object) -> NeedleNeed:
    rules = replace(tables().policy, **policy)  # type: ignore[arg-type]
    answer = needed_needle(order, TODAY, tables(), rules)
    assert isinstance(answer, NeedleNeed), answer
    return answer


def refused(order: Order) -> str:
    answer = needed_needle(order, TODAY, tables())
    assert isinstance(answer, Refusal)
    return answer.code


def lengths(found: NeedleNeed) -> tuple[Measure, Measure]:
    return found.shortest, found.longest


def test_what_packs_call_one_inch_is_one_needle() -> None:
    # 60 to 70 kg: 1 in, which packs print as 25 and which is 25.4 mm.
    assert lengths(need(an_order())) == (mm("25"), mm("25.4"))


def test_gauge_numbers_go_from_the_thickest_to_the_finest() -> None:
    found = need(an_order())
    assert (found.thickest, found.finest) == (22, 25)
    thick = need(an_order(a_drug(viscosity="75")))
    assert (thick.thickest, thick.finest, thick.usual_gauge) == (21, 23, 21)


def test_without_a_sex_what_holds_for_either_is_taken() -> None:
    # 100 kg: a woman needs 38 mm, a man 25 to 38 mm: 38 mm does for both.
    assert lengths(need(an_order(patient=a_patient(kg="100", sex="")))) == (mm("38"), mm("40"))


@pytest.mark.parametrize(
    ("order", "code"),
    [
        (an_order(site=None), "site_needed"),
        (an_order(patient=a_patient(kg=None)), "weight_needed"),
        (an_order(site=Site.ABDOMEN), "no_needle_guide"),
        (an_order(patient=a_patient(born=years(8), kg="25"), site=Site.VENTROGLUTEAL), "no_needle_guide"),
        (an_order(route=Route.INTRAVENOUS, site=Site.CANNULA), "no_needle_for_route"),
        (an_order(route=Route.ORAL, site=None), "no_needle_for_route"),
    ],
)
def test_where_the_guides_cannot_say_they_say_why(order: Order, code: str) -> None:
    assert refused(order) == code


def test_only_a_route_through_the_skin_needs_a_needle() -> None:
    needing = [route for route in Route if needs_needle(an_order(route=route))]
    assert needing == [Route.INTRAMUSCULAR, Route.SUBCUTANEOUS, Route.INTRADERMAL]


def test_where_no_weight_decides_none_is_needed() -> None:
    thigh = an_order(patient=a_patient(kg=None), site=Site.VASTUS_LATERALIS)
    assert lengths(need(thigh)) == (mm("25"), mm("40"))


def test_insulin_and_vaccine_have_rows_of_their_own() -> None:
    insulin = need(an_order(INSULIN, route=Route.SUBCUTANEOUS, site=Site.ABDOMEN))
    assert insulin.liquid is Liquid.INSULIN
    assert (insulin.thickest, insulin.finest, insulin.usual) == (28, 31, mm("6"))
    vaccine = a_drug("measles vaccine", classes=frozenset({"vaccine"}))
    found = need(an_order(vaccine, route=Route.SUBCUTANEOUS, site=Site.UPPER_OUTER_ARM))
    assert (found.thickest, found.finest) == (23, 25)


@pytest.mark.parametrize(
    ("body", "kg", "longest"), [("acip", "130", "40"), ("ireland", "130", "40"), ("uk", "130", "40")]
)
def test_a_site_chooses_whose_guide_holds(body: str, kg: str, longest: str) -> None:
    heavy = an_order(patient=a_patient(kg=kg))
    assert need(heavy, needle_body=body).longest == mm(longest)
    assert all(row.startswith(body) for row in need(heavy, needle_body=body).guides)


def test_where_the_chosen_body_is_silent_the_general_rows_hold() -> None:
    hip = an_order(site=Site.VENTROGLUTEAL)
    assert need(hip, needle_body="uk").guides == frozenset({"adult_ventrogluteal"})


def test_the_age_counts_on_the_day_not_on_the_first_of_january() -> None:
    eve = an_order(patient=a_patient(born=date(2023, 3, 16), kg="14"), site=Site.DELTOID)
    birthday = an_order(patient=a_patient(born=date(2023, 3, 15), kg="14"), site=Site.DELTOID)
    assert need(eve).guides == frozenset({"acip_toddler_deltoid"})
    assert need(birthday).guides == frozenset({"acip_child_deltoid"})


def test_a_woman_and_a_man_of_this_weight_exclude_each_other_on_a_stricter_table() -> None:
    # No published row does; were women over 90 kg to need 50 mm, an unrecorded sex could not be answered.
    rows = tuple(
        replace(g, shortest=mm("50"), longest=mm("50")) if g.id == "acip_adult_deltoid_over_90_female" else g
        for g in tables().guides
    )
    order = an_order(patient=a_patient(kg="100", sex=""))
    answer = needed_needle(order, TODAY, replace(tables(), guides=rows))
    assert isinstance(answer, Refusal)
    assert answer.code == "sex_needed"


def test_a_weight_no_row_holds_is_refused_not_rounded() -> None:
    rows = tuple(g for g in tables().guides if g.id != "acip_adult_deltoid_60_to_70")
    answer = needed_needle(an_order(), TODAY, replace(tables(), guides=rows))
    assert isinstance(answer, Refusal)
    assert answer.code == "no_needle_guide"


def test_a_length_packs_do_not_print_is_taken_as_it_is() -> None:
    rows = tuple(replace(g, shortest=mm("35"), longest=mm("35")) for g in tables().guides)
    answer = needed_needle(an_order(), TODAY, replace(tables(), guides=rows))
    assert isinstance(answer, NeedleNeed)
    assert lengths(answer) == (mm("35"), mm("35"))


def test_a_liquid_without_gauges_of_its_own_counts_as_watery() -> None:
    thick_into_skin = an_order(a_drug(viscosity="75"), route=Route.INTRADERMAL, site=Site.FOREARM)
    assert (need(thick_into_skin).thickest, need(thick_into_skin).finest) == (25, 27)
