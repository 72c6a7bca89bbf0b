"""From a description to the syringes, needles and draw-up devices at hand."""

from __future__ import annotations

from kiosk.core.apparatus.tolerance import band_of
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import DrawUpDevice, DrawUpKind, InjectionNeedle, Syringe, Tip
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_builder import Builder
from kiosk.feeds.worksheet_form import MOST_DEVICES, DevicesIn, DrawUpIn, NeedleIn, SyringeIn
from kiosk.feeds.worksheet_read import BadInput
from kiosk.pages.worksheet_values import SHORTEST_SCALE

THICKEST, FINEST = 8, 34
"""The gauges of needle tubing that packs name."""


def syringes(the: Builder, said: DevicesIn, tables: DeviceTables) -> tuple[Syringe, ...]:
    """Return the syringes, each with a scale that fits itself."""
    _few(len(said.syringes), "devices.syringes")
    return tuple(
        _syringe(the, one, f"devices.syringes[{at}]", at, tables) for at, one in enumerate(said.syringes)
    )


def needles(the: Builder, said: DevicesIn) -> tuple[InjectionNeedle, ...]:
    """Return the injection needles."""
    _few(len(said.needles), "devices.needles")
    return tuple(_needle(the, one, f"devices.needles[{at}]") for at, one in enumerate(said.needles))


def draw_up(the: Builder, said: DevicesIn) -> tuple[DrawUpDevice, ...]:
    """Return the draw-up devices."""
    _few(len(said.draw_up), "devices.draw_up")
    return tuple(_draw_up(the, one, f"devices.draw_up[{at}]") for at, one in enumerate(said.draw_up))


def _few(number: int, path: str) -> None:
    """Refuse a list of devices longer than any counter."""
    if number > MOST_DEVICES:
        raise BadInput(path, "list_too_long", most=MOST_DEVICES)


def _need(the: Builder, node: object, path: str, like: str, default: str = "") -> Measure:
    """Return a measure that must be there."""
    found = the.measure(node, path, (like,), default)
    if found is None:
        raise BadInput(path, "missing")
    return found


def _gauge(gauge: int, path: str) -> int:
    """Return a gauge number that needle tubing has."""
    if not THICKEST <= gauge <= FINEST:
        raise BadInput(path, "not_a_gauge", thickest=THICKEST, finest=FINEST)
    return gauge


def _syringe(the: Builder, said: SyringeIn, path: str, at: int, tables: DeviceTables) -> Syringe:
    """Return one syringe; what only a drawing needs is filled in by the standard's figures."""
    strength = the.measure(said.insulin_strength, f"{path}.insulin_strength", ("units/mL",), "units/mL")
    strength = strength.to("units/mL") if strength else None
    scale = "units" if strength else "mL"
    nominal = _need(the, said.nominal, f"{path}.nominal", scale, scale).to(scale)
    graduation = _need(the, said.graduation, f"{path}.graduation", scale, scale).to(scale)
    if nominal.ratio(graduation).denominator != 1:
        raise BadInput(f"{path}.graduation", "not_a_scale", nominal=nominal, graduation=graduation)
    tip = the.word(said.tip, Tip, f"{path}.tip") or Tip.LOCK
    capacity = nominal.over(strength, "mL") if strength else nominal
    numbered = the.measure(said.numbered_every, f"{path}.numbered_every", (scale,), scale)
    return Syringe(
        id=said.id or f"syringe-{at + 1}",
        nominal=nominal,
        graduation=graduation,
        numbered_every=numbered or graduation.scaled(5),
        capacity=capacity,
        scale_length=the.measure(said.scale_length, f"{path}.scale_length", ("mm",))
        or _scale(capacity, tables, path),
        tip=tip,
        barrel_bore=the.measure(said.barrel_bore, f"{path}.barrel_bore", ("mm",)),
        dead_space=the.measure(said.dead_space, f"{path}.dead_space", ("mL",)),
        insulin_strength=strength,
        fixed_needle=_fixed(the, said, path, tip),
        source="" if said.scale_length else SHORTEST_SCALE,
    )


def _scale(capacity: Measure, tables: DeviceTables, path: str) -> Measure:
    """Return the shortest scale the standard allows a barrel of this capacity."""
    try:
        return band_of(capacity, tables).shortest_scale
    except LookupError as trouble:
        raise BadInput(f"{path}.nominal", "no_such_barrel", nominal=capacity) from trouble


def _fixed(the: Builder, said: SyringeIn, path: str, tip: Tip) -> InjectionNeedle | None:
    """Return the needle that cannot be taken off; it is there exactly on a fixed-needle barrel."""
    if (said.fixed_gauge is not None) is not (tip is Tip.FIXED):
        raise BadInput(f"{path}.fixed_gauge", "fixed_needle_or_not")
    if said.fixed_gauge is None:
        return None
    length = _need(the, said.fixed_length, f"{path}.fixed_length", "mm")
    return InjectionNeedle("fixed-needle", _gauge(said.fixed_gauge, f"{path}.fixed_gauge"), length.to("mm"))


def _needle(the: Builder, said: NeedleIn, path: str) -> InjectionNeedle:
    """Return one injection needle."""
    length = _need(the, said.length, f"{path}.length", "mm").to("mm")
    gauge = _gauge(said.gauge, f"{path}.gauge")
    return InjectionNeedle(
        said.id or f"{gauge}g-{float_free(length)}mm", gauge, length, inch_text=said.inch_text
    )


def float_free(length: Measure) -> str:
    """Return a length's number as plain text for an id."""
    return format(length.decimal.normalize(), "f")


def _draw_up(the: Builder, said: DrawUpIn, path: str) -> DrawUpDevice:
    """Return one draw-up device; exactly those that filter say how fine."""
    kind = the.word(said.kind, DrawUpKind, f"{path}.kind")
    assert kind is not None
    if (said.filter_micrometres is None) is not (kind is DrawUpKind.BLUNT_FILL):
        raise BadInput(f"{path}.filter_micrometres", "filter_or_not", kind=kind.value)
    pore = the.decimal(said.filter_micrometres, f"{path}.filter_micrometres")
    length = _need(the, said.length, f"{path}.length", "mm").to("mm")
    gauge = _gauge(said.gauge, f"{path}.gauge")
    name = said.id or f"{kind.value.replace(' ', '-')}-{gauge}g"
    return DrawUpDevice(name, kind, gauge, length, format(pore.normalize(), "f") if pore else "")
