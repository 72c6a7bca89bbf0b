"""Weights at an age from the growth reference's curves, by hand arithmetic on a curve of two points."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from kiosk.core.catalogue.check_tables import GrowthCurve
from kiosk.core.checks.growth import FAR, RARE, age_days, growth_between, span_at, weight_on
from kiosk.core.units import Measure
from tests.core.checks.ward import TABLES, m


def curve(sex: str, sds: str, *points: tuple[int, str]) -> GrowthCurve:
    return GrowthCurve(sex, Decimal(sds), tuple((day, m(weight)) for day, weight in points), "invented")


GIRL = curve("female", "0", (0, "3 kg"), (100, "6 kg"))
BOY = curve("male", "0", (0, "4 kg"), (100, "8 kg"))


def test_a_day_between_two_points_lies_on_the_straight_line() -> None:
    assert weight_on(GIRL, 0) == m("3 kg")
    assert weight_on(GIRL, 50) == m("4.5 kg")
    assert weight_on(GIRL, 1) == Measure(Fraction(303, 100), "kg")
    assert weight_on(GIRL, 100) == m("6 kg")


def test_there_is_no_weight_before_birth_or_beyond_the_reference() -> None:
    assert weight_on(GIRL, -1) is None
    assert weight_on(GIRL, 101) is None
    assert weight_on(GrowthCurve("female", Decimal(0), (), ""), 0) is None


def test_an_unknown_sex_gets_the_wider_span() -> None:
    curves = (
        curve("female", "-4", (0, "1 kg"), (10, "1 kg")),
        curve("female", "4", (0, "6 kg"), (10, "6 kg")),
        curve("male", "-4", (0, "2 kg"), (10, "2 kg")),
        curve("male", "4", (0, "7 kg"), (10, "7 kg")),
    )
    boy, unknown = span_at(curves, "male", 5, FAR), span_at(curves, "", 5, FAR)
    assert boy is not None
    assert unknown is not None
    assert (boy.least, boy.most) == (m("2 kg"), m("7 kg"))
    assert (unknown.least, unknown.most) == (m("1 kg"), m("7 kg"))
    assert unknown.holds(m("7 kg"))
    assert not unknown.holds(m("7.01 kg"))


def test_beyond_twenty_years_there_is_no_span() -> None:
    assert span_at(TABLES.growth, "male", 7305, RARE) is not None
    assert span_at(TABLES.growth, "male", 7306, RARE) is None


def test_growth_is_the_medians_and_stops_when_grown() -> None:
    assert growth_between((GIRL, BOY), "female", 0, 100) == 2
    assert growth_between((GIRL, BOY), "female", 50, 100) == Fraction(4, 3)
    assert growth_between((GIRL, BOY), "female", 100, 5000) == 1
    assert growth_between((), "female", 0, 100) == 1
    assert growth_between((GIRL,), "female", -5, 100) == 1


def test_age_is_counted_in_days() -> None:
    assert age_days(date(2026, 3, 1), date(2026, 3, 15)) == 14
