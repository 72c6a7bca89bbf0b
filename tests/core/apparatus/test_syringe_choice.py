"""The syringe: the smallest that holds, reads and measures; every refusal with its reason."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.catalogue.devices import Syringe, Tip
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import Order
from kiosk.core.findings import Level
from tests.core.apparatus.samples import (
    FIVE,
    HALF,
    INSULIN,
    ONE,
    TEN,
    THIRTY,
    THREE,
    TRAY,
    TWENTY,
    a_drug,
    a_needle,
    a_plan,
    a_syringe,
    an_insulin_plan,
    an_insulin_syringe,
    an_order,
    tables,
)

UNDER_SKIN = {"route": Route.SUBCUTANEOUS, "site": Site.ABDOMEN}
HUNDRED = an_insulin_syringe("100", "2")
FIFTY = an_insulin_syringe("50")
THIRTY_UNITS = an_insulin_syringe("30", every="5", scale="43")
FORTY_PER_ML = an_insulin_syringe("40", per_ml="40")


def insulin_order(drug: Drug = INSULIN) -> Order:
    return an_order(drug, route=Route.SUBCUTANEOUS, site=Site.ABDOMEN)


def only(option: Syringe, volume: str, order: Order | None = None, **policy: object) -> SyringeOption:
    rules = replace(tables().policy, **policy)  # type: ignore[arg-type]
    (found,) = rank_syringes(a_plan(volume), order or an_order(), (option,), tables(), rules)
    return found


def ids(option: SyringeOption) -> list[str]:
    return [finding.id for finding in option.findings]


@pytest.mark.parametrize(
    ("volume", "best"),
    [
        ("0.3", ONE),
        ("0.5", ONE),
        ("0.9", ONE),  # 5 % on the 1 mL barrel, 7 % on the 3 mL one
        ("1", THREE),  # no room for the bubble in 1 mL
        ("1.5", THREE),
        ("2.5", THREE),  # the 5 mL barrel has no line at 2.5
        ("2.6", FIVE),  # 87 % of 3 mL
        ("2.8", FIVE),  # no room for the bubble in 3 mL
        ("4", FIVE),
        ("4.8", TEN),
        ("18", THIRTY),  # pharmacist newsletter, Feb 2024: 18 mL goes in a 30 mL rather than a 20 mL syringe
        ("16", TWENTY),
    ],
)
def test_the_smallest_barrel_that_holds_reads_and_measures_is_first(volume: str, best: Syringe) -> None:
    options = rank_syringes(a_plan(volume), an_order(), TRAY, tables())
    assert options[0].syringe == best
    assert options[0].allowed


def test_a_line_at_the_volume_goes_before_an_easier_fill() -> None:
    # 2.5 mL: 83 % of the 3 mL barrel but on its line; half of the 5 mL barrel but between its lines.
    generous = an_order(a_drug(allowed="0.1"))
    options = rank_syringes(a_plan("2.5"), generous, (FIVE, THREE), tables())
    assert [o.syringe for o in options] == [THREE, FIVE]


def test_where_none_keeps_the_dose_inside_the_one_that_strays_least_is_first() -> None:
    # 2.485 mL, 5 % allowed. 3 mL: line 2.5, 0.6 % rounded + 5 % tolerance. 5 mL: line 2.4 (under half),
    # 3.4 % + (1.5 % of 5 + 1 % of 2.4)/2.4 = 4.1 %. 10 mL: 3.4 % + (1.5 % of 10 + 1 % of 2.4)/2.4 = 7.3 %.
    options = rank_syringes(a_plan("2.485"), an_order(), (TEN, FIVE, THREE), tables())
    assert [o.syringe for o in options] == [THREE, FIVE, TEN]


def test_every_syringe_is_answered_for_refused_ones_last() -> None:
    options = rank_syringes(a_plan("4"), an_order(), (*TRAY, HUNDRED), tables())
    assert {o.syringe.id for o in options} == {s.id for s in (*TRAY, HUNDRED)}
    allowed = [o.allowed for o in options]
    assert allowed == sorted(allowed, reverse=True)
    for option in options:
        assert option.allowed or any(f.level is Level.STOP for f in option.findings)


def test_the_order_in_which_they_lie_on_the_tray_decides_nothing() -> None:
    there = rank_syringes(a_plan("1.5"), an_order(), TRAY, tables())
    back = rank_syringes(a_plan("1.5"), an_order(), tuple(reversed(TRAY)), tables())
    assert [o.syringe.id for o in there] == [o.syringe.id for o in back]


def test_with_nothing_on_the_tray_there_is_nothing_to_rank() -> None:
    assert rank_syringes(a_plan("1"), an_order(), (), tables()) == ()


@pytest.mark.parametrize(
    ("syringe", "volume", "why"),
    [
        (ONE, "1.5", "too_small"),
        (THREE, "0.02", "below_first_line"),
        (TWENTY, "2.5", "scale_too_coarse"),
        (THREE, "0.2", "not_measured_well"),  # by hand: (0.045 + 0.004) / 0.2 = 24.5 %
        (a_syringe("3", "0.1", tip=Tip.ORAL), "1", "oral_for_injection"),
        (HUNDRED, "0.5", "other_drug_in_insulin_syringe"),
    ],
)
def test_what_cannot_be_right_is_refused_for_its_own_reason(syringe: Syringe, volume: str, why: str) -> None:
    option = only(syringe, volume)
    assert not option.allowed
    assert ids(option)[0] == why


def test_what_is_merely_less_good_says_so_and_stays_allowed() -> None:
    assert ids(only(THREE, "0.5")) == ["may_be_off", "under_fifth_of_barrel"]
    assert ids(only(ONE, "0.97")) == ["no_room_for_bubble"]
    assert ids(only(ONE, "0.85")) == ["nearly_full"]
    assert ids(only(FIVE, "2.5")) == ["may_be_off", "rounded_to_line"]
    assert ids(only(ONE, "0.6")) == []


def test_a_normal_syringe_raises_no_caution() -> None:
    # Too many cautions is itself a fault; the aim is none.
    for volume in ("0.4", "0.5", "1", "1.5", "2", "3", "4", "6", "8", "10", "15"):
        best = rank_syringes(a_plan(volume), an_order(), TRAY, tables())[0]
        assert [f for f in best.findings if f.level in (Level.CAUTION, Level.SECOND_PERSON)] == []


def test_a_drug_that_allows_less_error_is_measured_with_more_care() -> None:
    narrow = an_order(a_drug(allowed="0.02"))
    assert ids(only(THREE, "0.5", narrow))[0] == "not_measured_well"  # 11 % is more than 4 x 2 %
    assert only(THREE, "1.5", narrow).allowed
    assert ids(only(FIVE, "2.5", narrow)) == ["scale_too_coarse", "not_measured_well", "rounded_to_line"]


def test_a_drug_that_allows_much_error_is_still_measured() -> None:
    assert ids(only(THREE, "0.2", an_order(a_drug(allowed="0.5"))))[0] == "not_measured_well"


def test_a_strict_site_refuses_what_others_only_rank_lower() -> None:
    assert only(THREE, "1").allowed
    assert ids(only(THREE, "1", strict_tolerance=True)) == ["not_measured_well"]


def test_insulin_goes_into_the_matching_unit_scale_and_nowhere_else() -> None:
    tray = (*TRAY, HUNDRED, FIFTY, THIRTY_UNITS, FORTY_PER_ML)
    options = rank_syringes(an_insulin_plan("20"), insulin_order(), tray, tables())
    assert [o.syringe for o in options if o.allowed] == [THIRTY_UNITS, FIFTY, HUNDRED]
    why = {o.syringe.id: ids(o) for o in options}
    assert why[FORTY_PER_ML.id] == ["wrong_insulin_scale"]
    assert all(why[s.id] == ["insulin_in_ml_syringe"] for s in TRAY)


def test_an_insulin_dose_must_stand_on_a_line() -> None:
    odd = rank_syringes(an_insulin_plan("15"), insulin_order(), (HUNDRED, FIFTY), tables())
    assert [o.syringe for o in odd if o.allowed] == [FIFTY]
    assert "scale_too_coarse" in ids(odd[1])
    assert not only_insulin("20.5", FIFTY).allowed


def only_insulin(dose: str, syringe: Syringe) -> SyringeOption:
    (found,) = rank_syringes(an_insulin_plan(dose), insulin_order(), (syringe,), tables())
    return found


def test_very_few_units_are_pointed_out_but_not_refused() -> None:
    option = only_insulin("2", THIRTY_UNITS)
    assert option.allowed
    assert "small_insulin_dose" in ids(option)
    assert "small_insulin_dose" not in ids(only_insulin("10", THIRTY_UNITS))


def test_stronger_insulin_is_refused_on_the_common_scale() -> None:
    plan = an_insulin_plan("100", per_ml="500")
    options = rank_syringes(plan, insulin_order(), (HUNDRED,), tables())
    assert ids(options[0]) == ["wrong_insulin_scale"]


def test_a_fixed_needle_must_suit_the_route() -> None:
    short = a_syringe("1", "0.01", tip=Tip.FIXED, needle=a_needle(29, "12.7"))
    assert ids(only(short, "0.5")) == ["fixed_needle_wrong_length"]
    assert only(short, "0.5", an_order(**UNDER_SKIN)).allowed  # type: ignore[arg-type]
    fine = a_syringe("1", "0.01", tip=Tip.FIXED, needle=a_needle(29, "25"))
    assert ids(only(fine, "0.5")) == ["fixed_needle_wrong_gauge"]
    vein = an_order(route=Route.INTRAVENOUS, site=Site.CANNULA)
    assert ids(only(short, "0.5", vein)) == ["fixed_needle_for_route"]


def test_a_fixed_needle_that_nobody_can_judge_is_left_to_the_needle_stage() -> None:
    short = a_syringe("1", "0.01", tip=Tip.FIXED, needle=a_needle(29, "12.7"))
    assert only(short, "0.5", an_order(site=None)).allowed


def test_by_mouth_only_an_oral_syringe_will_do() -> None:
    order = an_order(route=Route.ORAL, site=None)
    oral = a_syringe("5", "0.2", tip=Tip.ORAL)
    assert ids(only(FIVE, "2", order)) == ["injection_syringe_by_mouth"]
    assert only(oral, "2", order).allowed


def test_a_lock_tip_is_preferred_and_a_slip_tip_warned_of_for_a_thick_liquid() -> None:
    slip, lock = a_syringe("3", "0.1", every="0.5", tip=Tip.SLIP), THREE
    watery = rank_syringes(a_plan("1.5"), an_order(), (slip, lock), tables())
    assert [o.syringe for o in watery] == [lock, slip]
    assert ids(watery[1]) == []
    thick = rank_syringes(a_plan("1.5"), an_order(a_drug(viscosity="75")), (slip, lock), tables())
    assert thick[0].syringe == lock
    assert [(f.id, f.level) for f in thick[1].findings] == [("slip_tip_for_viscous", Level.CAUTION)]


def test_the_low_dose_barrel_goes_before_the_one_ml_barrel() -> None:
    options = rank_syringes(a_plan("0.3"), an_order(), (ONE, HALF), tables())
    assert options[0].syringe == HALF


def test_into_a_cannula_a_small_dose_is_never_flushed_with_its_own_syringe() -> None:
    # 'Every bit counts: syringe dead space' (anaesthesia page): 0.05 mL drawn and flushed gives 0.12 mL.
    vein = an_order(route=Route.INTRAVENOUS, site=Site.CANNULA)
    assert "flush_adds_dose" in ids(only(ONE, "0.6", vein))  # 0.07 mL of 0.6 mL is 11.7 %
    assert "flush_adds_dose" not in ids(only(FIVE, "4", vein))  # 0.075 mL of 4 mL is 1.9 %
    assert "flush_adds_dose" not in ids(only(ONE, "0.6"))
