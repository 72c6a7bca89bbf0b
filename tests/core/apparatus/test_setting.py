"""Where the plunger is set: on a line, what dose that gives, how far off it may be."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.apparatus.choices import Setting
from kiosk.core.apparatus.setting import figure_on, nearest, setting, volume_at
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.apparatus.samples import (
    FIVE,
    HALF,
    ONE,
    THREE,
    TRAY,
    TWENTY,
    a_plan,
    a_syringe,
    an_insulin_plan,
    an_insulin_syringe,
    ml,
    tables,
    units,
)

HALF_LINES = replace(tables().policy, half_lines=True)


def good(answer: Setting | Refusal) -> Setting:
    assert isinstance(answer, Setting)
    return answer


def code(answer: Setting | Refusal) -> str:
    assert isinstance(answer, Refusal)
    return answer.code


def test_a_volume_on_a_line_is_set_there_and_gives_the_very_dose() -> None:
    at = good(setting(THREE, a_plan("1"), tables()))
    assert at.line == ml("1")
    assert at.on_a_line
    assert at.off_by == 0
    assert at.dose_given == Measure.of("10", "mg")


def test_the_first_screen_of_the_design_one_ml_of_three() -> None:
    # By hand: 1.5 % of 3 mL + 2 % of 1 mL = 0.065 mL; of 12.5 mg/mL from 11.6875 to 13.3125 mg.
    at = good(setting(THREE, a_plan("1", per_ml="12.5"), tables()))
    assert at.tolerance == ml("0.065")
    assert at.least == Measure.of("11.6875", "mg")
    assert at.most == Measure.of("13.3125", "mg")


def test_a_volume_between_lines_goes_to_the_nearest_and_says_how_far_off() -> None:
    at = good(setting(FIVE, a_plan("2.5"), tables()))
    assert at.line == ml("2.4")  # halfway between 2.4 and 2.6 goes to the lower: never more than ordered
    assert at.dose_given == Measure.of("24", "mg")
    assert at.off_by == Decimal("0.04")


def test_half_lines_are_used_only_where_the_site_allows_them() -> None:
    assert good(setting(THREE, a_plan("1.25"), tables())).line == ml("1.2")
    allowed = good(setting(THREE, a_plan("1.25"), tables(), HALF_LINES))
    assert allowed.line == ml("1.25")
    assert not allowed.on_a_line
    assert allowed.off_by == 0


def test_the_worst_case_takes_the_larger_of_tolerance_and_reading() -> None:
    # 11 mL of 20 mL by 1 mL: tolerance 4 % = 0.44 mL, half a line = 0.5 mL: the reading governs.
    at = good(setting(TWENTY, a_plan("11"), tables()))
    assert at.tolerance == ml("0.44")
    assert at.reading == ml("0.5")
    assert at.worst == Decimal(1) / Decimal(22)
    # 1 mL of 3 mL: tolerance 0.065 mL beats half a line of 0.05 mL.
    assert good(setting(THREE, a_plan("1"), tables())).worst == Decimal("0.065")


def test_insulin_is_set_in_units_not_in_millilitres() -> None:
    at = good(setting(an_insulin_syringe("100"), an_insulin_plan("20"), tables()))
    assert at.line == units("20")
    assert at.volume == ml("0.2")
    assert at.dose_given == units("20")


def test_units_of_another_concentration_are_refused() -> None:
    answer = setting(an_insulin_syringe("40", per_ml="40"), an_insulin_plan("20"), tables())
    assert code(answer) == "wrong_insulin_scale"
    assert code(setting(an_insulin_syringe("100"), a_plan("1"), tables())) == "wrong_insulin_scale"


@pytest.mark.parametrize(
    ("syringe", "volume", "why"),
    [(ONE, "1.01", "too_small"), (ONE, "0.004", "below_first_line"), (TWENTY, "0.5", "below_first_line")],
)
def test_what_the_scale_cannot_show_is_refused(syringe: object, volume: str, why: str) -> None:
    assert code(setting(syringe, a_plan(volume), tables())) == why  # type: ignore[arg-type]


def test_a_line_beyond_the_scale_is_never_taken() -> None:
    odd = a_syringe("5", "3")  # lines at 3 and 6, the scale ends at 5
    assert code(setting(odd, a_plan("5"), tables())) == "too_small"


def test_the_full_scale_is_still_on_the_scale() -> None:
    assert good(setting(ONE, a_plan("1"), tables())).line == ml("1")
    assert good(setting(HALF, a_plan("0.5"), tables())).line == ml("0.5")


@given(st.integers(1, 40000), st.sampled_from(TRAY))
def test_the_line_is_never_further_than_half_a_graduation(thousandths: int, syringe: object) -> None:
    plan = a_plan(str(Decimal(thousandths) / 1000))
    answer = setting(syringe, plan, tables())  # type: ignore[arg-type]
    if isinstance(answer, Setting):
        off = abs(answer.line - figure_on(syringe, plan))  # type: ignore[arg-type]
        assert off.value * 2 <= syringe.graduation.value  # type: ignore[attr-defined]
        assert answer.least < answer.dose_given < answer.most
        assert answer.dose_given.ratio(plan.dose) == answer.volume.ratio(plan.volume)


@given(st.integers(0, 500))
def test_nearest_and_volume_agree_with_whole_number_arithmetic(twentieths: int) -> None:
    wanted = Measure(Fraction(twentieths, 20), "mL")
    steps = nearest(wanted, ml("0.1")).ratio(ml("0.1"))
    assert steps == -((-(twentieths - 1)) // 2) if twentieths % 2 == 0 else steps == (twentieths - 1) // 2
    assert volume_at(an_insulin_syringe("50"), units("25")) == ml("0.25")
