"""The injection needle: what is on the counter, ranked for this patient, site and liquid."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from kiosk.core.apparatus.barrel import with_tubing
from kiosk.core.apparatus.choices import NeedleOption
from kiosk.core.apparatus.flow import one_figure
from kiosk.core.apparatus.needle_need import NeedleNeed, needed_needle, needs_needle
from kiosk.core.apparatus.needle_rules import NeedleCase, assess, force, seconds
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.dose.order import Order
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.units import Measure

__all__ = ["needs_needle", "rank_needles", "refuse_as_needle"]


def rank_needles(
    order: Order,
    volume: Measure,
    syringe: Syringe,
    needles: Sequence[InjectionNeedle],
    tables: DeviceTables,
    on: date,
    policy: DevicePolicy | None = None,
) -> tuple[NeedleOption, ...]:
    """Return every needle with its reasons, best first, refused ones last.

    A fixed needle is the only option of its syringe. Where the guides cannot answer (no site, no weight,
    a route that takes no needle) every needle is refused with that reason.
    """
    rules = policy or tables.policy
    offered = (syringe.fixed_needle,) if syringe.fixed_needle else tuple(needles)
    need = needed_needle(order, on, tables, rules)
    if isinstance(need, Refusal):
        stop = Finding(need.code, Level.STOP, need.facts, need.source)
        return tuple(NeedleOption(needle, (stop,)) for needle in offered)
    options = [
        _option(NeedleCase(order, volume, syringe, with_tubing(n, tables), need, on, tables, rules), n)
        for n in offered
    ]
    return tuple(sorted(options, key=lambda option: _order(option, need)))


def _option(case: NeedleCase, needle: InjectionNeedle) -> NeedleOption:
    """Return one needle with its findings, seconds and newtons."""
    newtons = force(case)
    return NeedleOption(needle, assess(case), seconds(case), None if newtons is None else one_figure(newtons))


def _order(option: NeedleOption, need: NeedleNeed) -> tuple[bool, int, Fraction, int, int]:
    """Return what ranks needles: allowed, few cautions, near the usual length, then the usual gauge."""
    cautions = sum(finding.level in (Level.SECOND_PERSON, Level.CAUTION) for finding in option.findings)
    off_length = abs(option.needle.length.to("mm").value - need.usual.to("mm").value)
    off_gauge = abs(option.needle.gauge - need.usual_gauge)
    return (not option.allowed, cautions, off_length, off_gauge, -option.needle.gauge)


def refuse_as_needle(device: DrawUpDevice) -> Finding:
    """Return the stop for a draw-up device held up as, or left on as, the needle for the patient."""
    facts = {"device": device.kind.value, "gauge": device.gauge, "length": device.length}
    return Finding("draw_up_device_as_needle", Level.STOP, facts, "common practice, no source")
