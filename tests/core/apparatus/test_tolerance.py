"""The published tolerance formula: its two branches meet, it never shrinks, it is exact."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.apparatus.tolerance import band_of, shares_of, tolerance
from kiosk.core.units import Measure
from tests.core.apparatus.samples import ONE, TEN, THREE, TRAY, an_insulin_syringe, ml, tables

POLICY = tables().policy


@pytest.mark.parametrize(
    ("capacity", "band"), [("1", "B1"), ("2", "B2"), ("4.99", "B2"), ("5", "B3"), ("60", "B7")]
)
def test_a_capacity_falls_into_its_band_lower_bound_included(capacity: str, band: str) -> None:
    assert band_of(ml(capacity), tables()).id == band


def test_no_band_is_left_out_between_the_least_and_the_largest() -> None:
    bands = tables().bands
    for lower, upper in pairwise(bands):
        assert lower.capacity_below == upper.capacity_from
    assert bands[0].capacity_from.value == 0
    assert bands[-1].capacity_below is None


def test_nothing_holds_a_barrel_of_less_than_nothing() -> None:
    with pytest.raises(LookupError):
        band_of(ml("-1"), tables())


@pytest.mark.parametrize("syringe", [*TRAY, an_insulin_syringe("100", "2")])
def test_both_branches_meet_at_half_the_capacity(syringe: object) -> None:
    # Continuity at half supports the remembered coefficients: hand arithmetic 1.5 % + 2 % / 2 = 5 % / 2.
    assert hasattr(syringe, "capacity")
    half = syringe.capacity.scaled(Fraction(1, 2))
    just_below = half - Measure(Fraction(1, 10**9), "mL")
    below, at = tolerance(syringe, just_below, tables()), tolerance(syringe, half, tables())
    assert abs(below.value - at.value) < Fraction(1, 10**9)


@given(st.integers(1, 999), st.integers(1, 999))
def test_more_volume_is_never_more_exactly_measured_in_ml(a: int, b: int) -> None:
    low, high = sorted((a, b))
    one = tolerance(TEN, Measure(Fraction(low, 100), "mL"), tables())
    other = tolerance(TEN, Measure(Fraction(high, 100), "mL"), tables())
    assert one <= other


@given(st.integers(1, 999), st.integers(1, 999))
def test_as_a_share_a_small_measure_is_never_better_than_a_larger_one(a: int, b: int) -> None:
    low, high = (Measure(Fraction(n, 100), "mL") for n in sorted((a, b)))
    assert tolerance(TEN, low, tables()).ratio(low) >= tolerance(TEN, high, tables()).ratio(high)


def test_the_answer_is_exact_whatever_the_unit_it_is_asked_in() -> None:
    asked = Measure.of("1000", "microlitre")
    assert tolerance(THREE, asked, tables()) == ml("0.065")


def test_insulin_follows_its_own_standard_as_the_site_reads_it() -> None:
    syringe = an_insulin_syringe("100")
    assert tolerance(syringe, ml("0.2"), tables()) == ml("0.019")  # 1.5 % of 1 mL + 2 % of 0.2 mL, by hand
    printed = replace(POLICY, insulin_tolerance="as_printed")
    assert tolerance(syringe, ml("0.2"), tables(), printed) == ml("0.014")  # 1 % + 2 %, by hand
    assert shares_of(syringe, tables()).basis.said.endswith("(from memory)")
    assert shares_of(ONE, tables()).basis.known == "seen"
