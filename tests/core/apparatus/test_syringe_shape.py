"""Where readings lie in millimetres, and back: what the plunger setter drags by."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.apparatus.syringe_shape import position_at, reading_at, scale_place, shape_of
from kiosk.core.catalogue.devices import Tip
from kiosk.core.units import Measure
from tests.core.apparatus.samples import (
    ONE,
    THREE,
    TRAY,
    a_needle,
    a_syringe,
    an_insulin_syringe,
    ml,
    mm,
    units,
)


def test_the_scale_is_as_long_as_the_syringe_says() -> None:
    place = scale_place(THREE)
    assert place.axis == "y"
    assert place.scale_mm == Decimal("50.5")
    assert position_at(THREE, ml("3")) == Decimal("50.5")
    assert position_at(THREE, ml("1.5")) == Decimal("25.25")
    assert position_at(THREE, ml("0")) == 0


def test_units_lie_where_their_millilitres_would() -> None:
    assert position_at(an_insulin_syringe("100", scale="57"), units("50")) == Decimal("28.5")


@given(st.integers(0, 60), st.sampled_from(TRAY))
def test_a_reading_comes_back_from_its_place(half_lines: int, syringe: object) -> None:
    graduation = syringe.graduation  # type: ignore[attr-defined]
    reading = min(graduation.scaled(Fraction(half_lines, 2)), syringe.nominal)  # type: ignore[attr-defined]
    back = reading_at(syringe, position_at(syringe, reading))  # type: ignore[arg-type]
    assert abs(back - reading).value * 1000 < graduation.value


@pytest.mark.parametrize(("place", "reading"), [("-5", "0"), ("500", "3")])
def test_a_drag_beyond_the_scale_stays_on_it(place: str, reading: str) -> None:
    assert reading_at(THREE, Decimal(place)) == ml(reading)


def test_a_fixed_or_fitted_needle_moves_the_scale_down_by_its_length() -> None:
    bare, fitted = scale_place(THREE), scale_place(THREE, a_needle(23, "25"))
    assert fitted.zero_mm - bare.zero_mm == Decimal("35")  # 25 mm of steel and 10 mm of hub above the tip
    fixed = a_syringe("1", "0.01", tip=Tip.FIXED, needle=a_needle(29, "12.7"))
    longer = a_syringe("1", "0.01", tip=Tip.FIXED, needle=a_needle(29, "16"))
    assert scale_place(longer).zero_mm - scale_place(fixed).zero_mm == Decimal("3.3")


@pytest.mark.parametrize("syringe", [*TRAY, an_insulin_syringe("30", every="5", scale="43")])
def test_the_barrel_holds_what_its_scale_says(syringe: object) -> None:
    # Geometry: pi/4 x width^2 x scale length is the capacity, within the rounding of typical widths.
    shape = shape_of(syringe)  # type: ignore[arg-type]
    holds = Decimal("3.14159265") / 4 * shape.bore**2 * shape.scale / 1000
    assert abs(holds / syringe.capacity.decimal - 1) < Decimal("0.06")  # type: ignore[attr-defined]


def test_there_is_travel_beyond_the_last_line() -> None:
    shape = shape_of(ONE)
    assert shape.flange - shape.zero - shape.scale >= shape.scale * Decimal("0.1") + shape.stopper - 1
    assert shape.at(Measure.of("1", "mL")) == shape.zero + mm("57.6").decimal
