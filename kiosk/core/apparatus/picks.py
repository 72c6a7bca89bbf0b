"""The best of a ranked choice, or a refusal that names what the counter lacks: never silence."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from kiosk.core.apparatus.choices import DrawUpOption, NeedleOption, SyringeOption
from kiosk.core.apparatus.needle_need import needed_needle
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Fact, Finding, Level, Refusal


def best_syringe(options: Sequence[SyringeOption], plan: VolumePlan) -> SyringeOption | Refusal:
    """Return the first allowed syringe. Codes: ``no_syringe_in_stock``, ``no_syringe_measures``."""
    if not options:
        return Refusal("no_syringe_in_stock")
    if options[0].allowed:
        return options[0]
    wanted = plan.dose if plan.dose.is_like("units") else plan.volume
    whys = tuple(dict.fromkeys(_stop(o.findings).id for o in options))
    return Refusal("no_syringe_measures", {"wanted": wanted, "volume": plan.volume, "whys": whys})


def best_draw_up(options: Sequence[DrawUpOption]) -> DrawUpOption | Refusal:
    """Return the first allowed draw-up device (or "none"); else what is missing."""
    found = next((option for option in options if option.allowed), None)
    if found is not None:
        return found
    stop = next((_stop(o.findings) for o in options if o.device is None), None)
    return Refusal(stop.id, stop.facts, stop.source) if stop else Refusal("no_draw_up_device")


def best_needle(
    options: Sequence[NeedleOption], order: Order, on: date, tables: DeviceTables
) -> NeedleOption | Refusal:
    """Return the first allowed needle; else the gauges and lengths that would have done.

    Codes: those of ``needed_needle``, and ``no_needle_fits``.
    """
    need = needed_needle(order, on, tables)
    if isinstance(need, Refusal):
        return need
    if options and options[0].allowed:
        return options[0]
    facts: dict[str, Fact] = {
        "thickest": need.thickest,
        "finest": need.finest,
        "shortest": need.shortest,
        "longest": need.longest,
    }
    return Refusal("no_needle_fits", facts, need.source)


def _stop(findings: Sequence[Finding]) -> Finding:
    """Return the first stop among the findings of a refused option."""
    return next(finding for finding in findings if finding.level is Level.STOP)
