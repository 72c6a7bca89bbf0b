"""Rows of the lists of devices: syringes, injection needles, draw-up devices."""

from __future__ import annotations

from typing import Final

from kiosk.core.catalogue.devices import DrawUpDevice, DrawUpKind, InjectionNeedle, Syringe, Tip
from kiosk.core.units import Measure
from kiosk.feeds.cells import Cells
from kiosk.feeds.written import write_measure

SYRINGES: Final = (
    "id",
    "nominal",
    "graduation",
    "numbered_every",
    "capacity",
    "scale_length",
    "tip",
    "barrel_bore",
    "dead_space",
    "insulin_strength",
    "fixed_gauge",
    "fixed_length",
    "gtin",
    "source",
)
NEEDLES: Final = ("id", "gauge", "length", "outer", "bore", "inch_text", "gtin")
DRAW_UP: Final = ("id", "kind", "gauge", "length", "filter_micrometres", "inch_text", "gtin")


def read_syringe(cells: Cells) -> Syringe:
    """Return a syringe whose scale fits itself: lines divide the nominal, insulin units fit the capacity."""
    strength = cells.if_any("insulin_strength", lambda column: cells.measure(column, "units/mL"))
    scale = "units" if strength else "mL"
    nominal, graduation = cells.measure("nominal", scale), cells.measure("graduation", scale)
    numbered, capacity = cells.measure("numbered_every", scale), cells.measure("capacity", "mL")
    if graduation.value <= 0 or nominal.ratio(graduation).denominator != 1:
        cells.bad("graduation", "cell_not_a_scale")
    if numbered.ratio(graduation).denominator != 1:
        cells.bad("numbered_every", "cell_not_a_scale")
    if not (capacity.times(strength, scale) if strength else capacity).same(nominal):
        cells.bad("capacity", "cell_not_a_scale")
    return Syringe(
        id=cells.text("id"),
        nominal=nominal,
        graduation=graduation,
        numbered_every=numbered,
        capacity=capacity,
        scale_length=cells.measure("scale_length", "mm"),
        tip=cells.choice("tip", Tip),
        barrel_bore=cells.if_any("barrel_bore", lambda column: cells.measure(column, "mm")),
        dead_space=cells.if_any("dead_space", lambda column: cells.measure(column, "mL")),
        insulin_strength=strength,
        fixed_needle=_fixed(cells),
        gtin=cells.gtin("gtin"),
        source=cells.text("source"),
    )


def _fixed(cells: Cells) -> InjectionNeedle | None:
    """Return the needle that cannot be taken off; it must be there exactly on a fixed-needle barrel."""
    wanted = cells.choice("tip", Tip) is Tip.FIXED
    if bool(cells.maybe("fixed_gauge")) is not wanted:
        cells.bad("fixed_gauge", "cell_not_of_the_tip")
    if not wanted:
        return None
    name = f"{cells.text('id')}-needle"
    return InjectionNeedle(name, cells.whole("fixed_gauge"), cells.measure("fixed_length", "mm"))


def read_needle(cells: Cells) -> InjectionNeedle:
    """Return an injection needle."""
    return InjectionNeedle(
        id=cells.text("id"),
        gauge=cells.whole("gauge"),
        length=cells.measure("length", "mm"),
        outer=cells.if_any("outer", lambda column: cells.measure(column, "mm")),
        bore=cells.if_any("bore", lambda column: cells.measure(column, "mm")),
        inch_text=cells.maybe("inch_text"),
        gtin=cells.gtin("gtin"),
    )


def read_draw_up(cells: Cells) -> DrawUpDevice:
    """Return a draw-up device; one that filters says how fine."""
    kind = cells.choice("kind", DrawUpKind)
    filters = cells.maybe("filter_micrometres")
    if bool(filters) is (kind is DrawUpKind.BLUNT_FILL):
        cells.bad("filter_micrometres", "cell_not_of_the_kind", kind=kind.value)
    if filters:
        cells.number("filter_micrometres")
    return DrawUpDevice(
        id=cells.text("id"),
        kind=kind,
        gauge=cells.whole("gauge"),
        length=cells.measure("length", "mm"),
        filter_micrometres=filters,
        inch_text=cells.maybe("inch_text"),
        gtin=cells.gtin("gtin"),
    )


def write_syringe(syringe: Syringe) -> dict[str, str]:
    """Return the cells of a syringe."""
    fixed = syringe.fixed_needle
    return {
        "id": syringe.id,
        "nominal": write_measure(syringe.nominal),
        "graduation": write_measure(syringe.graduation),
        "numbered_every": write_measure(syringe.numbered_every),
        "capacity": write_measure(syringe.capacity),
        "scale_length": write_measure(syringe.scale_length),
        "tip": syringe.tip.value,
        "barrel_bore": _written(syringe.barrel_bore),
        "dead_space": _written(syringe.dead_space),
        "insulin_strength": _written(syringe.insulin_strength),
        "fixed_gauge": str(fixed.gauge) if fixed else "",
        "fixed_length": write_measure(fixed.length) if fixed else "",
        "gtin": syringe.gtin,
        "source": syringe.source,
    }


def write_needle(needle: InjectionNeedle) -> dict[str, str]:
    """Return the cells of an injection needle."""
    return {
        "id": needle.id,
        "gauge": str(needle.gauge),
        "length": write_measure(needle.length),
        "outer": _written(needle.outer),
        "bore": _written(needle.bore),
        "inch_text": needle.inch_text,
        "gtin": needle.gtin,
    }


def write_draw_up(device: DrawUpDevice) -> dict[str, str]:
    """Return the cells of a draw-up device."""
    return {
        "id": device.id,
        "kind": device.kind.value,
        "gauge": str(device.gauge),
        "length": write_measure(device.length),
        "filter_micrometres": device.filter_micrometres,
        "inch_text": device.inch_text,
        "gtin": device.gtin,
    }


def _written(value: Measure | None) -> str:
    """Return a measure as text, or nothing."""
    return "" if value is None else write_measure(value)
