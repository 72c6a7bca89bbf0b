"""Which label suits a barrel: by its girth, so that the scale stays free."""

from __future__ import annotations

import math

import pytest

from kiosk.core.catalogue.devices import Syringe, Tip
from kiosk.core.label.placement import shape_for, stout_bore
from kiosk.core.label.says import Shape
from kiosk.core.units import Measure
from kiosk.tables.label_limits import placement


def barrel(nominal: str, bore: str | None, scale: str = "60") -> Syringe:
    ml = Measure.of(nominal, "mL")
    return Syringe(
        id=f"s{nominal}",
        nominal=ml,
        graduation=Measure.of("0.1", "mL"),
        numbered_every=Measure.of(1, "mL"),
        capacity=ml,
        scale_length=Measure.of(scale, "mm"),
        tip=Tip.LOCK,
        barrel_bore=None if bore is None else Measure.of(bore, "mm"),
    )


# Bores of typical plastic barrels: common practice, no source.
@pytest.mark.parametrize(
    ("nominal", "bore", "shape"),
    [
        ("1", "4.7", "flag"),
        ("3", "8.7", "flag"),
        ("5", "12.1", "along"),
        ("10", "14.6", "along"),
        ("20", "19.2", "along"),
    ],
)
def test_thin_barrels_take_the_flag_and_stout_ones_the_label_along(
    nominal: str, bore: str, shape: str
) -> None:
    assert shape_for(barrel(nominal, bore), placement()) is Shape(shape)


def test_the_label_along_leaves_the_window_the_scale_needs() -> None:
    sizes = placement()
    bore = float(stout_bore(sizes).value)
    girth = math.pi * (bore + 2 * float(sizes.wall.value))
    assert girth - float(sizes.label_height.value) == pytest.approx(
        float(sizes.scale_window.value), abs=0.001
    )


def test_where_no_bore_is_listed_it_follows_from_the_scale() -> None:
    # 1 mL over 57 mm of scale: 1000 / 57 = 17.5 mm2, a bore of 4.7 mm. 10 mL over 60 mm: 167 mm2, 14.6 mm.
    assert shape_for(barrel("1", None, "57"), placement()) is Shape.FLAG
    assert shape_for(barrel("10", None, "60"), placement()) is Shape.ALONG
