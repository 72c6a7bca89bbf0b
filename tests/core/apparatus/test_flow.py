"""Hagen-Poiseuille in the trade's units: the laws it obeys, and rounding for show."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.apparatus.flow import Newtons, mean_speed, one_figure, pressure_drop, reynolds, thumb_force
from kiosk.core.units import Measure
from tests.core.apparatus.samples import mm

ONE_ML_S = Measure.of("1", "mL/s")


@given(st.integers(1, 200), st.integers(1, 100), st.integers(10, 200))
def test_twice_the_length_flow_or_viscosity_is_twice_the_drop(length: int, viscosity: int, bore: int) -> None:
    long, wide = Measure.of(length, "mm"), Measure(Fraction(bore, 100), "mm")
    drop = pressure_drop(Decimal(viscosity), long, wide, ONE_ML_S)
    for twice in (
        pressure_drop(Decimal(2 * viscosity), long, wide, ONE_ML_S),
        pressure_drop(Decimal(viscosity), long.scaled(2), wide, ONE_ML_S),
        pressure_drop(Decimal(viscosity), long, wide, ONE_ML_S.scaled(2)),
    ):
        assert abs(twice / drop - 2) < Decimal("1e-20")


def test_half_the_bore_is_sixteen_times_the_drop() -> None:
    drops = [pressure_drop(Decimal(1), mm("25"), mm(b), ONE_ML_S) for b in ("0.2", "0.4")]
    assert abs(drops[0] / drops[1] - 16) < Decimal("1e-20")


def test_units_convert_before_they_meet() -> None:
    per_minute = Measure.of("60", "mL/min")
    assert pressure_drop(Decimal(1), Measure.of("2.5", "cm"), mm("0.4"), per_minute) == pressure_drop(
        Decimal(1), mm("25"), mm("0.4"), ONE_ML_S
    )


def test_a_thumb_pushes_pressure_times_area_and_the_friction() -> None:
    # By hand: 100 kPa on a 10 mm barrel: pi/4 x 100 mm2 x 0.1 MPa = 7.854 N, and 6 N of friction.
    drop = pressure_drop(Decimal(1), mm("1"), mm("1"), ONE_ML_S)
    scaled = type(drop)(Decimal(100000))
    force = thumb_force(scaled, mm("10"), Newtons(Decimal(6)))
    assert round(force, 3) == Decimal("13.854")


def test_speed_and_reynolds_follow_the_bore() -> None:
    # By hand: 1 mL/s through 1 mm: 4 x 1e-6 / (pi x 1e-6) = 1.2732 m/s; Re = 1273 for water of 1 mPa s.
    assert round(mean_speed(mm("1"), ONE_ML_S), 4) == Decimal("1.2732")
    assert round(reynolds(Decimal(1), mm("1"), ONE_ML_S)) == 1273


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("29.47", "30"),
        ("0.94", "0.9"),
        ("6.26", "6"),
        ("9.6", "10"),
        ("0.05", "0.05"),
        ("0", "0"),
        ("145", "100"),
    ],
)
def test_a_force_is_shown_to_one_figure(value: str, shown: str) -> None:
    assert one_figure(Decimal(value)) == Decimal(shown)
    assert "E" not in str(one_figure(Decimal(value)))  # 10 N is written 10, not 1E+1
