"""What speaks against one needle, or is to be minded with it: length, gauge, push, footnotes, reach."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.apparatus.barrel import inner_width
from kiosk.core.apparatus.bodies import body_mass_index, of_age
from kiosk.core.apparatus.flow import Newtons, one_figure, pressure_drop, thumb_force
from kiosk.core.apparatus.liquid import viscosity_mpa_s
from kiosk.core.apparatus.needle_need import NeedleNeed
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables, NeedleNote
from kiosk.core.catalogue.devices import InjectionNeedle, Syringe
from kiosk.core.dose.order import Order
from kiosk.core.findings import Fact, Finding, Level
from kiosk.core.units import Measure

FOOTNOTES: Final = frozenset({"skin_stretched_flat", "longer_than_needed", "may_reach_muscle"})
"""The findings that needle_notes.csv may raise; each has its words."""


@dataclass(frozen=True, slots=True)
class NeedleCase:
    """One needle (its tubing filled in) held against an order: everything a rule may ask."""

    order: Order
    volume: Measure
    syringe: Syringe
    needle: InjectionNeedle
    need: NeedleNeed
    on: date
    tables: DeviceTables
    policy: DevicePolicy


def assess(case: NeedleCase) -> tuple[Finding, ...]:
    """Return everything the tables say about one needle."""
    return (*_length(case), *_gauge(case), *_push(case), *_notes(case), *_reach(case))


def _stop(id: str, case: NeedleCase, **facts: Fact) -> Finding:
    """Return a stop with the needle's numbers among its facts."""
    shown: dict[str, Fact] = {"gauge": case.needle.gauge, "length": case.needle.length, **facts}
    return Finding(id, Level.STOP, shown, case.need.source)


def _length(case: NeedleCase) -> Iterator[Finding]:
    """Too short stays in fat, too long goes through."""
    need = case.need
    if case.needle.length < need.shortest:
        yield _stop("needle_too_short", case, shortest=need.shortest, longest=need.longest)
    if case.needle.length > need.longest:
        yield _stop("needle_too_long", case, shortest=need.shortest, longest=need.longest)


def _gauge(case: NeedleCase) -> Iterator[Finding]:
    """A larger number is a finer needle."""
    need = case.need
    if case.needle.gauge > need.finest:
        yield _stop("needle_too_fine", case, thickest=need.thickest, finest=need.finest)
    if case.needle.gauge < need.thickest:
        yield _stop("needle_too_thick", case, thickest=need.thickest, finest=need.finest)


def force(case: NeedleCase) -> Newtons | None:
    """Return the thumb force to inject at the route's usual pace; None where the bore is not known."""
    if case.needle.bore is None:
        return None
    pace = case.tables.paces[case.order.route]
    flow = Measure(1 / Fraction(pace.seconds_per_ml), "mL/s")
    viscosity = viscosity_mpa_s(case.order.drug, case.tables)
    drop = pressure_drop(viscosity, case.needle.length, case.needle.bore, flow)
    return thumb_force(drop, inner_width(case.syringe), Newtons(case.policy.friction_n))


def seconds(case: NeedleCase) -> Decimal:
    """Return how long the injection takes at the route's usual pace, in whole seconds."""
    pace = case.tables.paces[case.order.route]
    exact = case.volume.to("mL").value * Fraction(pace.seconds_per_ml)
    rounded = Decimal(exact.numerator) / Decimal(exact.denominator)
    return max(Decimal(1), rounded.to_integral_value(rounding=ROUND_CEILING))


def _push(case: NeedleCase) -> Iterator[Finding]:
    """Too fine for this liquid: no thumb pushes it, or it is hard."""
    newtons = force(case)
    if newtons is None:
        return
    facts: dict[str, Fact] = {"gauge": case.needle.gauge, "newtons": one_figure(newtons)}
    if newtons > case.tables.force["most"]:
        source = case.tables.force_basis["most"].said
        yield Finding("needle_too_fine_for_liquid", Level.STOP, facts, source)
    elif newtons > case.tables.force["target"]:
        yield Finding("hard_to_push", Level.NOTE, facts, case.tables.force_basis["target"].said)


def _notes(case: NeedleCase) -> Iterator[Finding]:
    """The guide's own footnotes."""
    for note in case.tables.needle_notes:
        if note.guides & case.need.guides and _note_holds(note, case):
            facts: dict[str, Fact] = {"gauge": case.needle.gauge, "length": case.needle.length}
            yield Finding(note.finding, note.level, facts, note.basis.said)


def _note_holds(note: NeedleNote, case: NeedleCase) -> bool:
    """Say whether a footnote is about a needle of this length and a patient like this."""
    index = body_mass_index(case.order.patient)
    return (
        (note.longer_than is None or case.needle.length > note.longer_than)
        and (note.at_most is None or case.needle.length <= note.at_most)
        and of_age(note.ages, case.order.patient.born, case.on)
        and (note.bmi_below is None or (index is not None and index < Fraction(note.bmi_below)))
    )


def _reach(case: NeedleCase) -> Iterator[Finding]:
    """Above some body mass index even the long needle may end in fat."""
    patient, index = case.order.patient, body_mass_index(case.order.patient)
    for row in case.tables.muscle_reach:
        about = row.site == case.order.site and patient.sex in ("", row.sex)
        if about and index is not None and index > Fraction(row.bmi_above):
            facts: dict[str, Fact] = {"length": case.needle.length, "site": row.site.value}
            yield Finding("may_stay_in_fat", Level.CAUTION, facts, row.basis.said)
            return
