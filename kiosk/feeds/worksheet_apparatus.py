"""The apparatus of a worksheet: syringe, draw-up device, needle, steps, the rounded volume and its split."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.drawup_choice import rank_draw_up
from kiosk.core.apparatus.measurable import dilution_offer
from kiosk.core.apparatus.needle_choice import needs_needle, rank_needles
from kiosk.core.apparatus.picks import best_draw_up, best_needle, best_syringe
from kiosk.core.apparatus.prefilled import is_prefilled, own_option
from kiosk.core.apparatus.site_limits import volume_at_site
from kiosk.core.apparatus.steps import draw_up_steps
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.dose.measurable import Measurable, measurable_dilution
from kiosk.core.dose.plan import RecipeStep
from kiosk.core.dose.rounding import BY_ID, RoundingPolicy, rounded, rounding_finding
from kiosk.core.dose.split import split
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_build_devices import draw_up, needles, syringes
from kiosk.feeds.worksheet_builder import Builder
from kiosk.feeds.worksheet_form import Description
from kiosk.feeds.worksheet_read import BadInput
from kiosk.pages.worksheet_values import Planned


@dataclass(frozen=True, slots=True)
class Counter:
    """What is at hand, with the published figures of devices and the site's ways."""

    tables: DeviceTables
    syringes: tuple[Syringe, ...]
    draw_up: tuple[DrawUpDevice, ...]
    needles: tuple[InjectionNeedle, ...]
    rounding: RoundingPolicy | None = None
    largest: Measure | None = None


def counter_of(the: Builder, described: Description, tables: DeviceTables) -> Counter:
    """Return what a description says is at hand. Raises ``BadInput``."""
    devices, policy = described.devices, described.policy
    rule = None if policy.rounding is None else BY_ID.get(policy.rounding)
    if policy.rounding is not None and rule is None:
        raise BadInput("policy.rounding", "unknown_word", text=policy.rounding[:40], known=tuple(BY_ID))
    return Counter(
        tables,
        syringes(the, devices, tables),
        draw_up(the, devices),
        needles(the, devices),
        rule,
        the.measure(policy.max_injection_volume, "policy.max_injection_volume", ("mL",), "mL"),
    )


@dataclass(frozen=True, slots=True)
class Fitted:
    """A plan with apparatus; ``refusal`` when nothing at hand will do, ``missing`` when nothing is named."""

    planned: Planned
    findings: tuple[Finding, ...] = ()
    refusal: Refusal | None = None
    missing: tuple[str, ...] = ()


def fitted(the: Builder, made: Planned, stock: Sequence[Container], counter: Counter) -> Fitted:
    """Return the plan with every choice that what is at hand allows, each best first."""
    order = made.order
    found = _at_site(the, made, counter)
    if is_prefilled(stock):
        return _own_syringe(the, found, stock, counter)
    if not counter.syringes:
        return _rounded(replace(found, missing=("devices.syringes",)), counter, None)
    options = rank_syringes(made.volume, order, counter.syringes, counter.tables)
    found = replace(found, planned=replace(made, syringes=options))
    best = best_syringe(options, made.volume)
    if isinstance(best, Refusal):
        return replace(found, refusal=best, planned=replace(found.planned, dilution=_thinned(made, counter)))
    return _rounded(_with_needles(the, found, stock, counter, best), counter, best)


def _at_site(the: Builder, made: Planned, counter: Counter) -> Fitted:
    """Return the plan with what the site takes of it: too much in one go is refused, unless it is split."""
    if made.order.site is None or "patient.born" in the.unsaid:
        return Fitted(made)
    parts = split(made.volume.volume, counter.largest) if counter.largest else ()
    volume = parts[0] if parts and not isinstance(parts, Refusal) else made.volume.volume
    findings = volume_at_site(made.order, volume, the.now.date(), counter.tables)
    stop = next((finding for finding in findings if finding.level is Level.STOP), None)
    return Fitted(made, findings, Refusal(stop.id, stop.facts, stop.source) if stop else None)


def _own_syringe(the: Builder, found: Fitted, stock: Sequence[Container], counter: Counter) -> Fitted:
    """Return the plan with the prefilled syringe as the syringe, whatever else is at hand."""
    made = found.planned
    option = own_option(made.volume, made.order, stock[0].product, counter.tables)
    found = replace(found, planned=replace(made, syringes=(option,)))
    stop = next((finding for finding in option.findings if finding.level is Level.STOP), None)
    if stop is not None:
        return replace(found, refusal=Refusal(stop.id, stop.facts, stop.source))
    return _with_needles(the, found, stock, counter, option)


def _thinned(made: Planned, counter: Counter) -> tuple[RecipeStep, ...]:
    """Return a dilution that makes a dose measurable which no syringe at hand measures, or nothing.

    Best one that some syringe at hand then measures within the allowed error, by its published tolerance;
    else one by which the dose is so large that one line more or less is an allowed error.
    """
    offer = dilution_offer(made.volume, made.order, counter.syringes, counter.tables)
    if not isinstance(offer, Refusal):
        return offer.dilution.recipe
    scales = [syringe for syringe in counter.syringes if not syringe.is_insulin]
    if not scales or made.order.drug.is_insulin or made.volume.volume > _largest(scales):
        return ()
    finest = min((syringe.graduation for syringe in scales), key=lambda step: step.to("mL").value)
    allowed = Fraction(made.order.drug.allowed_error)
    least = finest.scaled(1 / (2 * allowed)) if allowed else finest.scaled(10)
    limits = Measurable(least, finest, _largest(scales), stock_name=made.order.drug.name)
    found = measurable_dilution(made.volume.dose, made.volume.strength, limits)
    return () if isinstance(found, Refusal) else found.recipe


def _largest(syringes: Sequence[Syringe]) -> Measure:
    """Return the largest capacity at hand."""
    return max((syringe.capacity for syringe in syringes), key=lambda size: size.to("mL").value)


def _with_needles(
    the: Builder, found: Fitted, stock: Sequence[Container], counter: Counter, best: SyringeOption
) -> Fitted:
    """Return the plan with draw-up device, needle and steps for the best syringe."""
    made, syringe, on = found.planned, best.syringe, the.now.date()
    assert best.setting is not None
    devices = rank_draw_up(stock, syringe, counter.draw_up, counter.tables)
    device = best_draw_up(devices)
    made = replace(made, draw_up=devices)
    if isinstance(device, Refusal):
        return _lacks(replace(found, planned=made), device, counter.draw_up, "devices.draw_up")
    needle: InjectionNeedle | None = None
    if needs_needle(made.order):
        if "patient.born" in the.unsaid:
            return replace(found, planned=made, missing=(*found.missing, "patient.born"))
        options = rank_needles(made.order, best.setting.volume, syringe, counter.needles, counter.tables, on)
        made = replace(made, needles=options)
        chosen = best_needle(options, made.order, on, counter.tables)
        if isinstance(chosen, Refusal):
            return _lacks(replace(found, planned=made), chosen, counter.needles, "devices.needles")
        needle = chosen.needle
    steps = draw_up_steps(stock, syringe, device.device, needle, made.volume, best.setting, counter.tables)
    return replace(found, planned=replace(made, steps=steps))


def _lacks(found: Fitted, refusal: Refusal, at_hand: Sequence[object], path: str) -> Fitted:
    """Return a refusal of what is at hand, or, where nothing was named, that it is missing."""
    if at_hand:
        return replace(found, refusal=refusal)
    return replace(found, missing=(*found.missing, path))


def _rounded(found: Fitted, counter: Counter, best: SyringeOption | None) -> Fitted:
    """Return the plan with its volume rounded by the site's policy, and split where it is too much."""
    line = best.syringe.graduation if best and not best.syringe.is_insulin else None
    if counter.rounding is not None:
        found = _by_policy(found, counter.rounding, line)
    if counter.largest is None:
        return found
    made = found.planned
    parts = split(made.rounded or made.volume.volume, counter.largest, line)
    if isinstance(parts, Refusal):
        parts = split(made.volume.volume, counter.largest)
    if isinstance(parts, Refusal):
        return replace(found, refusal=found.refusal or parts)
    return replace(found, planned=replace(made, split=parts))


def _by_policy(found: Fitted, rule: RoundingPolicy, line: Measure | None) -> Fitted:
    """Return the plan with its volume rounded; a rounding that changes the dose too much is a stop."""
    made = found.planned
    if rule.by_scale and line is None:
        return replace(found, missing=tuple(dict.fromkeys((*found.missing, "devices.syringes"))))
    volume = rounded(made.volume.volume, rule, line)
    stop = rounding_finding(made.volume.volume, volume, made.order.drug, rule)
    made = replace(made, rounded=volume, rounding=rule.id)
    if stop is None:
        return replace(found, planned=made)
    refusal = found.refusal or Refusal(stop.id, stop.facts, stop.source)
    return replace(found, planned=made, findings=(*found.findings, stop), refusal=refusal)
