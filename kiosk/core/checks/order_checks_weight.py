"""Is the weight there, fresh and believable? Asked only where the dose or its limits go by body size.

A weight in pounds typed as kilograms passes the growth chart of a ten-year-old (2.2 times the median is
69 kg; the chart's outer line is 57 kg, but four SDS is 99 kg), so the chart is one of four witnesses: a
bound by age that no body passes, the weight before this one, the chart, and the height of an adult.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final, TypeAlias

from kiosk.core.catalogue.check_tables import CheckFigures, Figure, OrderTables
from kiosk.core.catalogue.people import Patient, Weighed
from kiosk.core.checks.amounts import applying_limits, by_surface, goes_by_body
from kiosk.core.checks.asking import saw
from kiosk.core.checks.check import OrderCase
from kiosk.core.checks.growth import FAR, RARE, age_days, growth_between, span_at
from kiosk.core.dose.order import DosePerBody
from kiosk.core.findings import Facts, Finding, Level
from kiosk.core.units import Measure

POUNDS_IN_A_KILOGRAM: Final = Fraction(100_000_000, 45_359_237)
TEN: Final = Fraction(10)
ADULT_DAYS: Final = 7305  # where the growth reference ends, 20 years
INFANT_DAYS: Final = 365
CHART: Final = "UK-WHO growth reference"


def weight_missing(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: the dose is so much per kilogram (or square metre) and there is no weight."""
    dose = case.order.dose
    if not isinstance(dose, DosePerBody) or case.order.patient.weighed is not None:
        return None
    return saw("no_weight_for_dose", Level.STOP, rate=dose.rate)


def height_missing(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: the dose goes by body surface and there is no height."""
    dose = case.order.dose
    if (
        not isinstance(dose, DosePerBody)
        or not by_surface(dose.rate)
        or case.order.patient.height is not None
    ):
        return None
    return saw("no_height_for_dose", Level.STOP, rate=dose.rate)


def limit_without_weight(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Caution: the drug list bounds this dose by body size, and without it the bound could not be tried."""
    order = case.order
    if isinstance(order.dose, DosePerBody):
        return None
    bounds = [limit for limit in applying_limits(order, case.now.date()) if limit.per not in ("dose", "day")]
    known = order.patient.weighed is not None and (
        order.patient.height is not None or all(not limit.per.startswith("m2") for limit in bounds)
    )
    if not bounds or known:
        return None
    return saw("limit_without_weight", Level.CAUTION, bounds[0].source, drug=order.drug.name)


def weight_old(tables: OrderTables, case: OrderCase) -> Finding | None:
    """The weight is older than a dose by weight may rest on at this age."""
    patient = case.order.patient
    if patient.weighed is None or not goes_by_body(case.order, case.now.date()):
        return None
    old = (case.now.date() - patient.weighed.on).days
    age = age_days(patient.born, case.now.date())
    for rule in tables.freshness:
        if rule.ages.holds(age) and old > rule.within.to("day").value:
            kind = "weight_too_old" if rule.level is Level.SECOND_PERSON else "weight_old"
            return saw(kind, rule.level, rule.source, weighed_on=patient.weighed.on, within=rule.within)
    return None


def weight_plausible(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Ask the four witnesses; the gravest objection speaks for all, the first of several as grave."""
    weighed = case.order.patient.weighed
    if weighed is None or not goes_by_body(case.order, case.now.date()):
        return None
    asked = (ask(tables, case.order.patient, weighed) for ask in _WITNESSES)
    objections = [answer for answer in asked if answer is not None]
    return min(objections, key=lambda found: list(Level).index(found.level), default=None)


def _beyond_any_body(tables: OrderTables, patient: Patient, weighed: Weighed) -> Finding | None:
    """The bound by age: a stop beyond what bodies weigh, a caution for an adult near it."""
    age = age_days(patient.born, weighed.on)
    for bound in tables.weight_bounds:
        if bound.ages.holds(age) and not bound.least <= weighed.weight <= bound.most:
            kind = "weight_impossible" if bound.level is Level.STOP else "weight_rare"
            return _off_span(kind, bound.level, weighed, bound.least, bound.most, bound.source)
    return None


def _off_span(
    kind: str, level: Level, weighed: Weighed, least: Measure, most: Measure, source: str
) -> Finding:
    """Return the finding that a weight is off a span of weights."""
    return saw(kind, level, source, weight=weighed.weight, least=least, most=most)


def last_before(patient: Patient, weighed: Weighed) -> Weighed | None:
    """Return the last usable weight before this one."""
    former = [w for w in patient.earlier if w.on <= weighed.on and w.weight.value > 0]
    return max(former, key=lambda w: w.on) if former else None


def _unlike_the_last(tables: OrderTables, patient: Patient, weighed: Weighed) -> Finding | None:
    """The weight before this one, grown as the median grows: pounds, a slipped point, or a big change."""
    before, figures = last_before(patient, weighed), tables.policy.figures
    if before is None or weighed.weight.value <= 0:
        return None
    then, now = age_days(patient.born, before.on), age_days(patient.born, weighed.on)
    counts = figures.earlier_weight_infant if now < INFANT_DAYS else figures.earlier_weight
    if now - then > counts.value.to("day").value:
        return None
    times = weighed.weight.ratio(before.weight) / growth_between(tables.growth, patient.sex, then, now)
    soon = now - then <= figures.weight_change_within.value.to("day").value
    found = _slip(times, figures, soon=soon)
    if found is None:
        return None
    kind, level, figure = found
    facts: Facts = {"weight": weighed.weight, "earlier": before.weight, "earlier_on": before.on}
    return Finding(kind, level, facts, figure.source)


def _slip(times: Fraction, figures: CheckFigures, *, soon: bool) -> tuple[str, Level, Figure] | None:
    """Name what a weight so many times the expected one looks like."""
    if _near(times, POUNDS_IN_A_KILOGRAM, figures.pounds_band):
        return "weight_like_pounds", Level.STOP, figures.pounds_band
    if _near(times, TEN, figures.tenfold_band):
        return "weight_tenfold", Level.STOP, figures.tenfold_band
    if soon and abs(times - 1) > figures.weight_change.value.value:
        return "weight_changed", Level.CAUTION, figures.weight_change
    return None


def _near(times: Fraction, slip: Fraction, band: Figure) -> bool:
    """Say whether a ratio looks like a slip by ``slip``, up or down."""
    width = band.value.value
    return any(abs(ratio / slip - 1) <= width for ratio in (times, 1 / times))


def _off_the_chart(tables: OrderTables, patient: Patient, weighed: Weighed) -> Finding | None:
    """The growth reference: beyond four SDS a second person, beyond the outer centile lines a caution."""
    age = age_days(patient.born, weighed.on)
    for sds, level, kind in (
        (FAR, Level.SECOND_PERSON, "weight_far_off_chart"),
        (RARE, Level.CAUTION, "weight_rare"),
    ):
        span = span_at(tables.growth, patient.sex, age, sds)
        if span is not None and not span.holds(weighed.weight):
            return _off_span(kind, level, weighed, _tenth(span.least), _tenth(span.most), CHART)
    return None


def _tenth(weight: Measure) -> Measure:
    """Return a weight of the chart to the nearest tenth of a kilogram, for reading."""
    return Measure(Fraction(round(weight.to("kg").value * 10), 10), "kg")


def _odd_for_height(tables: OrderTables, patient: Patient, weighed: Weighed) -> Finding | None:
    """An adult's weight over the square of the height, the one witness for a first weight in pounds."""
    grown = age_days(patient.born, weighed.on) >= ADULT_DAYS
    if not grown or patient.height is None or patient.height.value <= 0:
        return None
    index = weighed.weight.to("kg").value / patient.height.to("m").value ** 2
    figures = tables.policy.figures
    if figures.bmi_least.value.value <= index <= figures.bmi_most.value.value:
        return None
    source = figures.bmi_most.source
    return saw("weight_odd_for_height", Level.CAUTION, source, weight=weighed.weight, height=patient.height)


_Witness: TypeAlias = Callable[[OrderTables, Patient, Weighed], Finding | None]
_WITNESSES: Final[tuple[_Witness, ...]] = (
    _unlike_the_last,
    _beyond_any_body,
    _off_the_chart,
    _odd_for_height,
)
