"""Can an entry of the drug list be meant? What makes one nonsense, found before anybody signs it.

The reader of a list and the keeper's desk ask the same functions. Each trouble names the column of the list
that it stands in, so that a row can be told as well as an entry.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import chain, combinations
from typing import Final

from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.strength import AmountInVolume, PercentWeightInVolume, Ratio, Strength
from kiosk.core.findings import Fact, Refusal
from kiosk.core.units import BASE_UNITS, Measure, known_unit

# What a limit goes by, and how its unit then ends.
LIMIT_PER: Final = {"dose": "", "day": "", "kg": "/kg", "kg/day": "/kg/day", "m2": "/m2", "m2/day": "/m2/day"}
WEIGHT_BASES: Final = ("actual", "ideal", "adjusted")
# One dose, and the same counted over a day.
_OVER_A_DAY: Final = {"dose": "day", "kg": "kg/day", "m2": "m2/day"}
_FIGURES: Final = ("viscosity_mpa_s", "salt_to_base", "valence", "molar_mass_g_per_mol")


@dataclass(frozen=True, slots=True)
class Nonsense:
    """What cannot be meant, and the column of the list that it stands in."""

    column: str
    why: Refusal


def entry_nonsense(drug: Drug) -> Nonsense | None:
    """Return the first thing about a drug and its limits that cannot be meant, or None."""
    limits = (found for limit in drug.limits for found in limit_nonsense(limit, drug))
    return next(chain(drug_nonsense(drug), limits, limits_nonsense(drug)), None)


def drug_nonsense(drug: Drug) -> Iterator[Nonsense]:
    """Yield what about a drug, apart from its limits, cannot be meant."""
    for field in ("id", "name", "source"):
        if not getattr(drug, field).strip():
            yield Nonsense(field, Refusal("entry_field_empty", {"drug": drug.id, "field": field}))
    if drug.measured_in not in BASE_UNITS:
        facts: dict[str, Fact] = {"drug": drug.id, "unit": drug.measured_in}
        yield Nonsense("measured_in", Refusal("entry_unit_unknown", facts))
    if drug.weight_basis not in WEIGHT_BASES:
        facts = {"drug": drug.id, "basis": drug.weight_basis}
        yield Nonsense("weight_basis", Refusal("entry_weight_basis", facts))
    if not drug.strengths or not all(map(_is_some, drug.strengths)):
        yield Nonsense("strengths", Refusal("entry_no_strength", {"drug": drug.name}))
    yield from _figures(drug)


def _figures(drug: Drug) -> Iterator[Nonsense]:
    """Yield the plain figures of a drug that cannot be."""
    if not 0 < drug.allowed_error < 1:
        facts: dict[str, Fact] = {"drug": drug.name, "share": drug.allowed_error}
        yield Nonsense("allowed_error", Refusal("entry_allowed_error", facts))
    if drug.least_interval is not None and not _is_time(drug.least_interval):
        yield Nonsense("least_interval", Refusal("entry_interval", {"drug": drug.name}))
    for field in _FIGURES:
        figure: Decimal | int | None = getattr(drug, field)
        if figure is not None and figure <= 0:
            facts = {"drug": drug.name, "field": field, "figure": figure}
            yield Nonsense(field, Refusal("entry_figure_nothing", facts))


def limit_nonsense(limit: DoseLimit, drug: Drug) -> Iterator[Nonsense]:
    """Yield what about one limit of a drug cannot be meant."""
    bounds = [bound for bound in (limit.low, limit.high) if bound is not None]
    facts: dict[str, Fact] = {"drug": drug.name, "per": limit.per}
    if not bounds:
        yield Nonsense("high", Refusal("entry_limit_nothing", {"drug": drug.name, "per": limit.per}))
        return
    wanted = drug.measured_in + LIMIT_PER.get(limit.per, "")
    if limit.per not in LIMIT_PER or not all(_fits(bound, limit.per, drug) for bound in bounds):
        unit = bounds[0].unit
        yield Nonsense("unit", Refusal("entry_limit_unit", {**facts, "unit": unit, "wanted": wanted}))
    elif bounds[-1].value <= 0 or bounds[0].value < 0:
        yield Nonsense("high", Refusal("entry_limit_below_nothing", {"drug": drug.name, "per": limit.per}))
    elif limit.low is not None and limit.high is not None and limit.high < limit.low:
        low, high = limit.low, limit.high
        yield Nonsense("high", Refusal("entry_limit_upside_down", {**facts, "low": low, "high": high}))
    yield from _ages(limit, drug)


def _ages(limit: DoseLimit, drug: Drug) -> Iterator[Nonsense]:
    """Yield ages, in days, between which nobody is."""
    youngest, oldest = limit.min_age_days or 0, limit.max_age_days
    if youngest < 0 or (oldest is not None and oldest < youngest):
        facts: dict[str, Fact] = {
            "drug": drug.name,
            "youngest": youngest,
            "oldest": oldest if oldest is not None else "",
        }
        yield Nonsense("max_age_days", Refusal("entry_limit_ages", facts))


def limits_nonsense(drug: Drug) -> Iterator[Nonsense]:
    """Yield limits that contradict one another: told twice, or more in one dose than in a day."""
    for one, other in combinations(drug.limits, 2):
        if _who(one) != _who(other):
            continue
        if one.per == other.per:
            yield Nonsense("per", Refusal("entry_limit_twice", {"drug": drug.name, "per": one.per}))
        dose, day = (one, other) if _OVER_A_DAY.get(one.per) == other.per else (other, one)
        if _OVER_A_DAY.get(dose.per) == day.per and _more(dose.high or dose.low, day.high):
            facts: dict[str, Fact] = {
                "drug": drug.name,
                "dose": dose.high or dose.low or "",
                "day": day.high or "",
            }
            yield Nonsense("high", Refusal("entry_dose_over_day", facts))


def _who(limit: DoseLimit) -> tuple[frozenset[str], int | None, int | None]:
    """Return whom a limit is for: by which routes, from which age to which."""
    return limit.routes, limit.min_age_days, limit.max_age_days


def _more(dose: Measure | None, day: Measure | None) -> bool:
    """Say whether one dose is more than a whole day may bring; units that do not fit are told elsewhere."""
    if dose is None or day is None:
        return False
    mine, whole = dose.unit.partition("/")[0], day.unit.partition("/")[0]
    known = known_unit(mine) and known_unit(whole)
    return (
        known
        and Measure(dose.value, mine).is_like(whole)
        and Measure(dose.value, mine) > Measure(day.value, whole)
    )


def _fits(bound: Measure, per: str, drug: Drug) -> bool:
    """Say whether a bound is in a unit of the drug's own kind, with the ending of what it goes by."""
    amount = bound.unit.removesuffix(LIMIT_PER[per])
    known = amount in BASE_UNITS and amount + LIMIT_PER[per] == bound.unit and drug.measured_in in BASE_UNITS
    return known and Measure.of(1, amount).is_like(drug.measured_in)


def _is_time(interval: Measure) -> bool:
    """Say whether an interval is some time."""
    return known_unit(interval.unit) and interval.is_like("h") and interval.value > 0


def _is_some(strength: Strength) -> bool:
    """Say whether a labelled strength says more than nothing."""
    return all(figure > 0 for figure in _said(strength))


def _said(strength: Strength) -> Iterable[Decimal | int]:
    """Return the figures of a strength, of measures only their sign."""
    if isinstance(strength, PercentWeightInVolume):
        return (strength.percent,)
    if isinstance(strength, Ratio):
        return strength.parts, strength.within
    if isinstance(strength, AmountInVolume):
        return _sign(strength.amount), _sign(strength.volume)
    return (_sign(strength.amount),)


def _sign(measure: Measure) -> int:
    """Return 1 for more than nothing, else 0."""
    return int(measure.value > 0)
