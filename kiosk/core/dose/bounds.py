"""The bounds an order itself sets: so much a dose at most, so much a day at most, so much at least."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kiosk.core.dose.holds import shown
from kiosk.core.dose.order import DosePerBody
from kiosk.core.dose.plan import WorkingLine
from kiosk.core.dose.working import both
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.units import Measure, known_unit, same_kind


@dataclass(frozen=True, slots=True)
class Bounded:
    """A dose inside the order's bounds, in the unit it was reckoned in."""

    amount: Measure
    working: tuple[WorkingLine, ...] = ()
    findings: tuple[Finding, ...] = ()


def bounded(
    whole: Measure, ordered: DosePerBody, *, daily: bool, doses_per_day: int | None
) -> Bounded | Refusal:
    """Return one dose of ``whole`` (a day's amount when ``daily``, else a dose) inside the bounds.

    The day first: its maximum caps the day, or the dose's share of it, which without a number of doses
    is all of it. Then the dose: raised to the minimum, cut to the maximum. Refusals:
    ``bound_not_understood`` (another kind of unit, or not above zero), ``bounds_contradict``.
    """
    trouble = _bounds_trouble(whole, ordered) or _doses_trouble(doses_per_day)
    if trouble:
        return trouble
    doses = ordered.divided_into if daily else 1
    share = whole.scaled(Fraction(1, doses))
    lines = both("divided", whole, "/", Fraction(doses), "=", share) if doses > 1 else ()
    top = _top(ordered, whole.unit, doses if daily else doses_per_day or 1)
    bottom = ordered.minimum.to(whole.unit) if ordered.minimum else None
    if top and bottom and bottom > top:
        return Refusal("bounds_contradict", {"least": bottom, "most": top})
    return _within(share, bottom, top, lines)


def _bounds_trouble(whole: Measure, ordered: DosePerBody) -> Refusal | None:
    """Refuse a bound that cannot be compared with the dose."""
    for bound in (ordered.maximum, ordered.minimum, ordered.daily_maximum):
        if bound is None:
            continue
        known = known_unit(bound.unit) and same_kind(bound.unit, whole.unit)
        if not known or bound.value <= 0:
            return Refusal("bound_not_understood", {"bound": shown(bound)})
    return None


def _doses_trouble(doses_per_day: int | None) -> Refusal | None:
    """Refuse a number of doses a day below one."""
    if doses_per_day is None or doses_per_day >= 1:
        return None
    return Refusal("doses_per_day_not_understood", {"doses": doses_per_day})


def _top(ordered: DosePerBody, unit: str, doses: int) -> Measure | None:
    """Return the most one dose may be: its own maximum or its share of the day's, whichever is less."""
    tops = [ordered.maximum.to(unit)] if ordered.maximum else []
    if ordered.daily_maximum:
        tops.append(ordered.daily_maximum.to(unit).scaled(Fraction(1, doses)))
    return min(tops, key=lambda top: top.value, default=None)


def _within(
    dose: Measure, bottom: Measure | None, top: Measure | None, lines: tuple[WorkingLine, ...]
) -> Bounded:
    """Return the dose moved to the bound it lies beyond, with a note of it."""
    source = "the order's own bounds"
    if top and dose > top:
        note = Finding("dose_cut_to_maximum", Level.NOTE, {"reckoned": dose, "most": top}, source)
        return Bounded(top, lines + both("cut_to_maximum", top), (note,))
    if bottom and dose < bottom:
        note = Finding("dose_raised_to_minimum", Level.NOTE, {"reckoned": dose, "least": bottom}, source)
        return Bounded(bottom, lines + both("raised_to_minimum", bottom), (note,))
    return Bounded(dose, lines)
