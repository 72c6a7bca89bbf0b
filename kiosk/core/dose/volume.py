"""The first computation: from an order and containers to the exact volume, through ``Measure``."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.strength import MakeUp
from kiosk.core.dose.bridge import VOLUME, in_unit, kind_of
from kiosk.core.dose.order import Order
from kiosk.core.dose.ordered import OneDose, one_dose
from kiosk.core.dose.parts import part_of
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.dose.reckoning import Reckoning, noticed, working
from kiosk.core.dose.stock_line import StockLine, stock_line
from kiosk.core.dose.takes import containers_like_first, draws, same_container_twice
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

ONE_ML_PER_ML = Measure(Fraction(1), "mL/mL")


def volume_plan(
    order: Order, containers: Sequence[Container], at: datetime, make_up: MakeUp | None = None
) -> VolumePlan | Refusal:
    """Return the exact volume that carries the dose, and how it is drawn from these containers in order.

    ``make_up`` is the label line chosen for powders still to be made up. ``at`` is the moment the plan is
    for; the arithmetic does not depend on it: whether a container may be used then is for the checks.
    ``dose`` x 1 = ``strength`` x ``volume`` holds exactly. An order in mL of a drug whose strength is
    known is answered with the amount that volume carries.

    Refusals: ``no_container_yet``, ``same_container_twice``, ``mixed_strengths``, ``strength_on_one_only``,
    ``more_containers_needed`` (facts ``needed``, ``in_hand`` in mL, ``containers`` like the first), those
    of ``one_dose``, ``stock_line`` and ``in_unit``.
    """
    whole = one_dose(order)
    if isinstance(whole, Refusal):
        return whole
    wanted = part_of(whole, order)
    lines = _stock_lines(order, containers, _by_volume(wanted), make_up)
    if isinstance(lines, Refusal):
        return lines
    return _plan(order, wanted, lines)


def _by_volume(wanted: OneDose) -> bool:
    """Say whether the order asks for so many millilitres."""
    return kind_of(wanted.amount.unit) == VOLUME


def _stock_lines(
    order: Order, containers: Sequence[Container], by_volume: bool, make_up: MakeUp | None
) -> tuple[StockLine, ...] | Refusal:
    """Return the containers in the order's terms, all of one strength."""
    if not containers:
        return Refusal("no_container_yet")
    twice = same_container_twice(containers)
    if twice:
        return twice
    lines: list[StockLine] = []
    for container in containers:
        line = stock_line(container, order, by_volume, make_up)
        if isinstance(line, Refusal):
            return line
        lines.append(line)
    return _mixed(lines) or tuple(lines)


def _mixed(lines: list[StockLine]) -> Refusal | None:
    """Refuse two strengths in one syringe, and one that is not stated beside one that is."""
    first = lines[0].per_ml
    for line in lines[1:]:
        other = line.per_ml
        if first is not None and other is not None and not _same_strength(first, other):
            return Refusal("mixed_strengths", {"first": first, "other": other})
        if (first is None) != (other is None):
            ids = lines[0].container.id, line.container.id
            return Refusal("strength_on_one_only", {"first": ids[0], "other": ids[1]})
    return None


def _same_strength(one: Measure, other: Measure) -> bool:
    """Say whether two strengths are the same, whatever the unit."""
    return one.is_like(other) and one.same(other)


def _plan(order: Order, wanted: OneDose, lines: tuple[StockLine, ...]) -> VolumePlan | Refusal:
    """Return the plan for one strength."""
    strength = lines[0].per_ml
    if _by_volume(wanted):
        volume = wanted.amount.to("mL")
        if strength is None or kind_of(order.drug.measured_in) == VOLUME:
            return _drawn(order, wanted, Reckoning(volume, ONE_ML_PER_ML, volume), lines)
        dose = volume.times(strength, strength.unit.removesuffix("/mL"))
        return _drawn(order, wanted, Reckoning(dose, strength, volume), lines)
    asked = in_unit(wanted.amount, order.drug.measured_in, order.drug)
    if isinstance(asked, Refusal):
        return asked
    if strength is None:
        return Refusal("strength_not_stated", {"amount": order.drug.name})
    return _drawn(order, wanted, Reckoning(asked, strength, asked.over(strength, "mL")), lines)


def _drawn(
    order: Order, wanted: OneDose, reckoning: Reckoning, lines: tuple[StockLine, ...]
) -> VolumePlan | Refusal:
    """Return the plan once the containers hold the volume."""
    drawn = draws(reckoning.volume, lines)
    if isinstance(drawn, Refusal):
        return drawn
    return VolumePlan(
        dose=reckoning.dose,
        strength=reckoning.strength,
        volume=reckoning.volume,
        takes=tuple(draw.take for draw in drawn),
        working=wanted.working + working(order, wanted.amount, reckoning, lines[0]),
        recipe=tuple(step for draw in drawn for step in draw.line.recipe()),
        containers_needed=containers_like_first(reckoning.volume, lines),
        findings=wanted.findings + noticed(lines, drawn),
    )
