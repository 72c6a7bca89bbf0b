"""Rules about doses: by the size of the body, by the day, capped, checked against a range, for a course."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from typing import Final

from kiosk.core.dose.follow import Rule, Stated, Worked
from kiosk.core.dose.follow_relations import divided, multiplied, rule, stands_for
from kiosk.core.dose.follow_units import combine, turn
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure, same_kind

DAY: Final = Measure.of(1, "day")
YES: Final = Measure.of(1, "1")
NO: Final = Measure.of(0, "1")

SIZES: Final = (("weight", "weight"), ("surface", "bsa"))


DOSED: Final = "dose daily_dose dose_per_weight dose_per_surface daily_per_weight daily_per_surface"
"""Every way in which a dose may be stated."""


def sized(gives: str, rate: str, unless: str = "") -> Iterator[Rule]:
    """Yield ``gives = rate × weight`` and ``gives = rate × body surface``."""
    for name, size in SIZES:
        yield rule(f"{gives} = {rate}_per_{name} × {size}", multiplied, unless=unless)


def _smaller(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the first value, or the second when that is less: a cap."""
    worked, most = values
    limit = turn(most, worked.unit, stated.bridges)
    return None if limit is None else min(worked, limit, key=lambda one: one.value)


def _larger(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the first value, or the second when that is more: a floor."""
    worked, least = values
    limit = turn(least, worked.unit, stated.bridges)
    return None if limit is None else max(worked, limit, key=lambda one: one.value)


def _between(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the first value held between the second (least) and the third (most)."""
    worked, least, most = values
    raised = _larger(stated, (worked, least))
    return _smaller(stated, (raised, most)) if isinstance(raised, Measure) else raised


def every_way(limit: str) -> str:
    """Return the names under which a limit may be stated: as such, by weight, by body surface."""
    return " ".join([limit, *(f"{limit}_per_{name}" for name, _ in SIZES)])


def _capped(dose: str, worked: str, least: str, most: str) -> Iterator[Rule]:
    """Yield how a worked-out dose becomes the dose: as it is, or held within what is stated of limits."""
    lows, highs = every_way(least), every_way(most)
    yield stands_for(f"{dose} = {worked}", unless=f"{lows} {highs}")
    yield rule(f"{dose} = min( {worked} , {most} )", _smaller, when=highs, unless=lows)
    yield rule(f"{dose} = max( {worked} , {least} )", _larger, when=lows, unless=highs)
    yield rule(f"{dose} = {worked} ∈ {least} … {most}", _between)


def _least_of(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return a rate times the body's size, or the last value when that is less."""
    worked = combine(values[:2], (), stated.bridges)
    return None if worked is None else _smaller(stated, (worked, values[2]))


def _held_at_most(limit: str) -> Iterator[Rule]:
    """Yield a limit by body size that is itself held under a fixed one: 3 mg/kg, at most 300 mg."""
    for name, size in SIZES:
        least = f"{limit} = min( {limit}_per_{name} × {size} , {limit}_at_most )"
        yield rule(least, _least_of, when=f"{limit}_at_most")


def _in_range(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return 1 when the first value lies from the second to the third, both ends included; else 0."""
    asked, *bounds = values
    turned = [turn(bound, asked.unit, stated.bridges) for bound in bounds]
    low, high = turned
    if low is None or high is None:
        return None
    if low > high:
        return Refusal("range_upside_down", {"low": low, "high": high})
    return YES if low <= asked <= high else NO


def _not_over(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return 1 when the first value is not above the second; else 0."""
    return _in_range(stated, (values[0], values[1].scaled(0), values[1]))


def _not_under(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return 1 when the first value is not below the second; else 0."""
    return _in_range(stated, (values[0], values[1], values[0]))


def _all_yes(_stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return 1 when every check is passed; else 0."""
    return min(values, key=lambda one: one.value)


LIMITED_BY: Final = {
    "dose_in_range": ("low_dose", "high_dose"),
    "day_in_range": ("low_day", "high_day"),
    "dose_not_over": ("max_dose",),
    "day_not_over": ("max_day",),
}
"""Every check of a dose or a day, and the limits for the sake of which it is made."""


def _checks() -> Iterator[Rule]:
    """Yield ``in_range``: all the checks that the stated limits ask for, and no other."""
    limits = {check: " ".join(map(every_way, by)) for check, by in LIMITED_BY.items()}
    for many in range(1, len(limits) + 1):
        for made in combinations(limits, many):
            others = " ".join(limit for check, limit in limits.items() if check not in made)
            yield rule(f"in_range = {' ∧ '.join(made)}", _all_yes, unless=others)


def _ranges() -> Iterator[Rule]:
    """Yield the checks of one dose and of a day's doses; what was capped is checked as it was before."""
    for amount, worked, of in (("dose", "worked_dose", "dose"), ("day_total", "worked_day", "day")):
        low, high, most, check = f"low_{of}", f"high_{of}", f"max_{of}", f"{of}_in_range"
        yield from sized(low, low)
        yield from sized(high, high)
        lows, highs = every_way(low), every_way(high)
        yield rule(f"{check} = {amount} ∈ {low} … {high}", _in_range)
        yield rule(f"{check} = {amount} ≤ {high}", _not_over, when=highs, unless=lows)
        yield rule(f"{check} = {amount} ≥ {low}", _not_under, when=lows, unless=highs)
        by_body = " ".join(every_way("daily" if of == "day" else "dose").split()[1:])
        yield rule(f"{of}_not_over = {worked} ≤ {most}", _not_over, when=by_body)
        yield rule(f"{of}_not_over = {amount} ≤ {most}", _not_over, unless=by_body)
    yield from _checks()
    for end in ("low", "high"):
        of_day = f"{end}_dose = {end}_day ÷ doses_per_day"
        yield rule(of_day, divided, unless=every_way(f"{end}_dose"), proves=False)


def _ordered_over(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Refuse an order that is above its stated maximum: an order is never capped in silence."""
    ordered, most = values
    limit = turn(most, ordered.unit, stated.bridges)
    if limit is not None and ordered > limit:
        return Refusal("ordered_over_maximum", {"dose": ordered, "most": limit})
    return ordered


def _doses_of_interval(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return doses per day: a day over the interval."""
    interval = turn(values[0], "day", stated.bridges)
    return None if interval is None or interval.value == 0 else Measure(1 / interval.value, "1/day")


def _doses_of_a_day(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return how many doses make a day's amount; None when the two are different kinds of amount."""
    many = combine(values[:1], values[1:], stated.bridges)
    return many if many is not None and same_kind(many.unit, "1/day") else None


def _interval_of_doses(_stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the hours between doses that are spread evenly over the day."""
    per_day = values[0].to("1/day").value
    return Measure(Fraction(24) / per_day, "h")


def _ambiguous(_stated: Stated, _values: tuple[Measure, ...]) -> Worked:
    """Refuse a rate that is not said to be per day but is to be divided over one."""
    return Refusal("per_dose_or_per_day")


def _days() -> Iterator[Rule]:
    """Yield doses, day totals and courses."""
    yield rule("doses_per_day = 24_h ÷ interval", _doses_of_interval)
    yield rule("interval = 24_h ÷ doses_per_day", _interval_of_doses, proves=False)
    yield rule("day_total = dose × doses_per_day", multiplied)
    yield stands_for("day_total = daily_dose", unless="dose doses_per_day interval", proves=False)
    yield rule("worked_dose = daily_dose ÷ doses_per_day", divided)
    apart = "doses_per_day interval"
    yield rule("doses_per_day = daily_dose ÷ dose", _doses_of_a_day, when="daily_dose", unless=apart)
    yield rule("number_of_doses = doses_per_day × duration", multiplied)
    yield rule("course_dose = dose × number_of_doses", multiplied)
    yield rule("course_dose = daily_dose × duration", multiplied)
    yield rule("course_volume = volume × number_of_doses", multiplied)
    yield rule("day_volume = volume × doses_per_day", multiplied)
    drawn = "drawn_volume"
    yield rule("course_volume = drawn_volume × number_of_doses", multiplied, when=drawn, unless=DOSED)
    yield rule("day_volume = drawn_volume × doses_per_day", multiplied, when=drawn, unless=DOSED)
    by_body = "dose_per_weight dose_per_surface"
    yield rule("worked_dose = worked_dose ÷ divided_into", _ambiguous, when=by_body, unless="daily_dose")


def _bodies() -> Iterator[Rule]:
    """Yield doses by the size of the body, and the rate that a dose amounts to."""
    yield from sized("worked_dose", "dose")
    yield from sized("worked_day", "daily")
    for limit in ("max_dose", "max_day", "min_dose", "min_day"):
        yield from sized(limit, limit, unless=f"{limit}_at_most")
    for limit in ("max_dose", "max_day"):
        yield from _held_at_most(limit)
    yield from _capped("daily_dose", "worked_day", "min_day", "max_day")
    yield from _capped("dose", "worked_dose", "min_dose", "max_dose")
    for name, size in (("weight", "weight_kg"), ("surface", "bsa")):
        yield rule(f"dose_for_{name} = dose ÷ {size}", divided)
        yield rule(f"day_for_{name} = day_total ÷ {size}", divided)


def rules() -> Iterator[Rule]:
    """Yield every rule about doses."""
    yield from _bodies()
    yield from _days()
    yield from _ranges()
    yield rule("dose = dose ≤ max_dose", _ordered_over, when="dose")
    yield rule("day_total = day_total ≤ max_day", _ordered_over, when="dose daily_dose")
