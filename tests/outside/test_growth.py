"""The growth table against the reference it was made from, and against figures published apart from it."""

from __future__ import annotations

import io
import random
import warnings
from decimal import Decimal
from fractions import Fraction

import pytest

from kiosk.core.checks.growth import weight_on
from kiosk.core.units import Measure
from kiosk.tables.check_tables import growth
from tests.outside.make_growth_table import DAYS_IN_YEAR, TABLE, write

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from rcpchgrowth import measurement_from_sds, sds_for_measurement

CURVES = {(curve.sex, curve.sds): curve for curve in growth()}


def on_table(sex: str, sds: str, days: int) -> Measure:
    found = weight_on(CURVES[sex, Decimal(sds)], days)
    assert found is not None
    return found


def test_the_table_is_what_its_maker_makes() -> None:
    made = io.StringIO()
    write(made)
    assert made.getvalue() == TABLE.read_text(encoding="utf-8")


@pytest.mark.parametrize(("sex", "sds"), CURVES)
def test_every_age_lies_within_half_a_percent_of_the_reference(sex: str, sds: Decimal) -> None:
    """300 random ages a curve, seeded; straight lines between the table's points are near enough."""
    chance = random.Random(f"{sex}{sds}")
    worst = Fraction(0)
    for days in (chance.randrange(0, 7306) for _ in range(300)):
        age = float(Decimal(days) / DAYS_IN_YEAR)
        true = Fraction(float(measurement_from_sds("uk-who", float(sds), "weight", sex, age)))
        worst = max(worst, abs(on_table(sex, str(sds), days).value / true - 1))
    assert worst < Fraction(5, 1000)


# Read off the published rounded tables of the WHO standards, weight-for-age in kg, months 1, 6, 12 and 24:
# median (from memory). Two weeks to four years the UK-WHO reference is the WHO standard.
@pytest.mark.parametrize(
    ("sex", "months", "kg"),
    [
        ("male", 1, "4.5"),
        ("male", 6, "7.9"),
        ("male", 12, "9.6"),
        ("male", 24, "12.2"),
        ("female", 1, "4.2"),
        ("female", 6, "7.3"),
        ("female", 12, "8.9"),
        ("female", 24, "11.5"),
    ],
)
def test_the_median_agrees_with_the_published_who_tables(sex: str, months: int, kg: str) -> None:
    days = round(months * Fraction("30.4375"))
    assert abs(on_table(sex, "0", days).value - Fraction(kg)) <= Fraction(1, 10)


# Five values each, run once with the reference package and kept: -4, -2.67, 0, +2.67, +4 SDS.
@pytest.mark.parametrize(
    ("sex", "years", "kg"),
    [
        ("male", 5, ("12.15", "13.85", "18.63", "26.63", "32.83")),
        ("female", 5, ("11.53", "13.26", "18.3", "27.34", "34.87")),
        ("male", 10, ("19.15", "21.95", "31.35", "56.78", "99.18")),
        ("female", 10, ("18.04", "21.34", "32.31", "58.63", "90.35")),
        ("male", 15, ("28.72", "35.29", "55.37", "92.3", "122.45")),
        ("female", 15, ("31.09", "36.77", "53.39", "82.45", "105.47")),
        ("male", 18, ("41.5", "47.91", "66.82", "101.28", "130.51")),
    ],
)
def test_kept_values_of_the_reference(sex: str, years: int, kg: tuple[str, ...]) -> None:
    days = round(years * Fraction("365.25"))
    for sds, weight in zip(("-4", "-2.67", "0", "2.67", "4"), kg, strict=True):
        assert abs(on_table(sex, sds, days).value / Fraction(weight) - 1) < Fraction(5, 1000)


def test_pounds_at_ten_lie_inside_four_sds_by_the_reference_itself() -> None:
    """Why the chart is not the only witness: 2.2046 times the median boy of ten is about +3.2 SDS."""
    pounds = float(on_table("male", "0", 3653).value * Fraction(100_000_000, 45_359_237))
    sds = float(sds_for_measurement("uk-who", 10.0, "weight", pounds, "male"))
    assert 2.67 < sds < 4
