"""The inside of barrels and needles: widths from geometry, dead space, tubing by gauge."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kiosk.core.apparatus.barrel import (
    drawn_and_flushed,
    inner_width,
    needle_dead_space,
    syringe_dead_space,
    with_tubing,
)
from kiosk.core.apparatus.liquid import is_thick, liquid_of, viscosity_mpa_s
from kiosk.core.catalogue.device_tables import Liquid
from tests.core.apparatus.samples import (
    INSULIN,
    ONE,
    THREE,
    a_drug,
    a_needle,
    a_syringe,
    an_insulin_syringe,
    ml,
    mm,
    tables,
)


@pytest.mark.parametrize("row", tables().bores, ids=lambda row: str(row.capacity.value))
def test_capacity_over_scale_length_gives_the_width(row: object) -> None:
    # Geometry: volume = pi/4 x width^2 x length. From the typical bore the scale length, and back.
    capacity, bore = row.capacity, row.bore  # type: ignore[attr-defined]
    area = Decimal("3.14159265358979") / 4 * bore.decimal**2
    scale = (capacity.decimal * 1000 / area).quantize(Decimal("0.0001"))
    syringe = a_syringe(str(capacity.decimal), "0.1", scale=str(scale))
    assert abs(inner_width(syringe).decimal - bore.decimal) < Decimal("0.002")


def test_a_width_that_is_stocked_is_taken_at_its_word() -> None:
    assert inner_width(THREE) == mm("8.7")


def test_a_thin_insulin_barrel_is_narrow() -> None:
    # 0.3 mL over 43 mm: sqrt(4 x 300 / (pi x 43)) = 2.980 mm, by hand.
    assert inner_width(an_insulin_syringe("30", scale="43")) == mm("2.98")


def test_dead_space_is_the_stocked_one_else_the_most_the_standard_allows() -> None:
    assert syringe_dead_space(ONE, tables()) == ml("0.07")
    assert syringe_dead_space(a_syringe("5", "0.2"), tables()) == ml("0.075")


def test_a_gauge_that_was_not_measured_takes_its_nearest_neighbour() -> None:
    assert needle_dead_space(23, tables()) == ml("0.05")
    assert needle_dead_space(30, tables()) == ml("0.05")
    assert needle_dead_space(18, tables()) == ml("0.07")


def test_drawn_and_flushed_gives_the_dead_space_on_top() -> None:
    # 'Every bit counts: syringe dead space' (anaesthesia page): 0.05 + 0.07 = 0.12 mL; at 50 microgram/mL
    # that is 6 microgram, not 2.5.
    given = drawn_and_flushed(ml("0.05"), ONE, None, tables())
    assert given == ml("0.12")
    assert given.decimal * 50 == 6
    assert drawn_and_flushed(ml("0.05"), ONE, 23, tables()) == ml("0.17")


def test_tubing_is_filled_in_only_where_the_needle_states_none() -> None:
    assert with_tubing(a_needle(23, "25"), tables()).outer == mm("0.6414")
    assert with_tubing(a_needle(23, "25", outer="0.6"), tables()).outer == mm("0.6")
    assert with_tubing(a_needle(33, "13"), tables()).outer == mm("0.2")  # no nominal size: the metric one
    assert with_tubing(a_needle(33, "13"), tables()).bore is None
    assert with_tubing(a_needle(99, "13"), tables()).outer is None


def test_what_states_no_viscosity_is_taken_for_water() -> None:
    assert viscosity_mpa_s(a_drug(), tables()) == Decimal("1.002")
    assert viscosity_mpa_s(a_drug(viscosity="75"), tables()) == Decimal(75)


@pytest.mark.parametrize(
    ("drug", "liquid"),
    [
        (a_drug(), Liquid.AQUEOUS),
        (a_drug(viscosity="9.9"), Liquid.AQUEOUS),
        (a_drug(viscosity="10"), Liquid.VISCOUS),
        (INSULIN, Liquid.INSULIN),
        (a_drug(classes=frozenset({"vaccine"})), Liquid.VACCINE),
    ],
)
def test_kinds_of_liquid(drug: object, liquid: Liquid) -> None:
    assert liquid_of(drug, tables().policy) is liquid  # type: ignore[arg-type]
    assert is_thick(drug, tables().policy) is (liquid is Liquid.VISCOUS)  # type: ignore[arg-type]
