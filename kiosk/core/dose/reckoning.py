"""The figures of a plan told: the two written forms of the working, and what was noticed on the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.core.dose.bridge import VOLUME, kind_of
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import WorkingLine
from kiosk.core.dose.stock_line import StockLine
from kiosk.core.dose.takes import Drawn
from kiosk.core.dose.working import both, desired_over_have, dimensional
from kiosk.core.findings import Facts, Finding, Level
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Reckoning:
    """Dose in the drug's unit, strength per mL and volume in mL; dose = strength x volume exactly."""

    dose: Measure
    strength: Measure
    volume: Measure


def working(order: Order, ordered: Measure, reckoning: Reckoning, line: StockLine) -> tuple[WorkingLine, ...]:
    """Return the lines from the ordered dose and the label to the volume, in both written forms."""
    told = line.says.working if line.says else ()
    if kind_of(ordered.unit) == VOLUME:
        return told + _by_volume(reckoning)
    assert line.says is not None
    assert line.amount is not None
    desired, bridged = _desired(ordered, reckoning.dose)
    amount, counted = _amount(order, line.says.amount, line.amount)
    volume = line.says.volume
    return (
        *told,
        *bridged,
        *counted,
        dimensional(desired, amount, volume, reckoning.volume),
        *desired_over_have(desired, amount, volume, reckoning.volume),
    )


def _by_volume(reckoning: Reckoning) -> tuple[WorkingLine, ...]:
    """Return the line of an order in mL: the volume as ordered, or the amount it carries."""
    if reckoning.dose == reckoning.volume:
        return both("volume_as_ordered", reckoning.volume)
    return both("amount_in_volume", reckoning.volume, "×", reckoning.strength, "=", reckoning.dose)


def _desired(ordered: Measure, dose: Measure) -> tuple[Measure, tuple[WorkingLine, ...]]:
    """Return the dose to reckon with: as ordered, or in the drug's unit when that is another kind."""
    if kind_of(ordered.unit) == kind_of(dose.unit):
        return ordered, ()
    return dose, both("same_amount_of_drug", ordered, "=", dose)


def _amount(order: Order, label: Measure, in_terms: Measure) -> tuple[Measure, tuple[WorkingLine, ...]]:
    """Return the label's amount to reckon with: as printed, or as the order counts it."""
    if kind_of(label.unit) == kind_of(in_terms.unit) and label.same(in_terms):
        return label, ()
    note = "same_amount_of_drug"
    if kind_of(label.unit) == kind_of(in_terms.unit):
        note = "salt_as_base" if order.stated_as == "base" else "base_as_salt"
    return in_terms, both(note, label, "=", in_terms)


def noticed(lines: Sequence[StockLine], drawn: Sequence[Drawn]) -> tuple[Finding, ...]:
    """Return what the containers give cause to say."""
    label = lines[0].says.findings if lines[0].says else ()
    return label + _idle(lines, drawn) + _overfilled(drawn)


def _idle(lines: Sequence[StockLine], drawn: Sequence[Drawn]) -> tuple[Finding, ...]:
    """Note a container that was taken and is not drawn from."""
    used = [draw.line for draw in drawn]
    idle = [line for line in lines if not any(line is other for other in used)]
    return tuple(
        Finding("container_not_needed", Level.NOTE, {"container": line.container.id}) for line in idle
    )


def _overfilled(drawn: Sequence[Drawn]) -> tuple[Finding, ...]:
    """Note that more than the figures say will remain in a container, when the maker overfills it."""
    found = []
    for draw in drawn:
        overfill = draw.line.container.product.overfill
        if overfill is not None and kind_of(overfill.unit) == VOLUME and overfill.value > 0:
            facts: Facts = {"container": draw.take.container, "overfill": overfill}
            found.append(Finding("overfill_not_counted", Level.NOTE, facts, "the label"))
    return tuple(found)
