"""What speaks against one syringe, or is to be minded with it: kind, tip, fixed needle, scale, fill."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final, TypeAlias

from kiosk.core.apparatus.barrel import syringe_dead_space
from kiosk.core.apparatus.choices import Setting
from kiosk.core.apparatus.liquid import is_thick
from kiosk.core.apparatus.needle_need import NeedleNeed, needed_needle, needs_needle
from kiosk.core.apparatus.setting import figure_on, wrong_scale
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import Syringe, Tip
from kiosk.core.catalogue.routes import Route
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Fact, Finding, Level

PRACTICE: Final = "common practice, no source"
INSULIN_ALERT: Final = "national patient safety alert NPSA/2010/RRR013"


@dataclass(frozen=True, slots=True)
class SyringeCase:
    """One syringe held against a plan; ``setting`` is None while or where it cannot be set."""

    plan: VolumePlan
    order: Order
    syringe: Syringe
    setting: Setting | None
    tables: DeviceTables
    policy: DevicePolicy

    @property
    def allowed_error(self) -> Decimal:
        """The largest error of a measured dose, as a share."""
        return self.order.drug.allowed_error

    @property
    def fill(self) -> Fraction:
        """How full the scale is at the exact figure, as a share of nominal."""
        return figure_on(self.syringe, self.plan).ratio(self.syringe.nominal)

    @property
    def lacks_room(self) -> bool:
        """Whether too little of the scale is left to clear the bubble."""
        return self.fill > 1 - Fraction(self.policy.bubble_room_share)


Rule: TypeAlias = Callable[[SyringeCase], Finding | None]


def oral_for_injection(case: SyringeCase) -> Finding | None:
    """An oral syringe never injects, and an injection syringe never feeds."""
    oral_tip, by_mouth = case.syringe.tip is Tip.ORAL, case.order.route is Route.ORAL
    if oral_tip and not by_mouth:
        return Finding("oral_for_injection", Level.STOP, source=PRACTICE)
    if by_mouth and not oral_tip:
        return Finding("injection_syringe_by_mouth", Level.STOP, source=PRACTICE)
    return None


def insulin_in_ml_syringe(case: SyringeCase) -> Finding | None:
    """Insulin is measured in an insulin syringe and in nothing else."""
    wrong = case.order.drug.is_insulin and not case.syringe.is_insulin
    return Finding("insulin_in_ml_syringe", Level.STOP, source=INSULIN_ALERT) if wrong else None


def other_drug_in_insulin_syringe(case: SyringeCase) -> Finding | None:
    """Nothing but insulin goes into an insulin syringe."""
    wrong = case.syringe.is_insulin and not case.order.drug.is_insulin
    facts: dict[str, Fact] = {"drug": case.order.drug.name}
    return Finding("other_drug_in_insulin_syringe", Level.STOP, facts, PRACTICE) if wrong else None


def wrong_insulin_scale(case: SyringeCase) -> Finding | None:
    """Units of one concentration read on the scale of another are a fivefold error."""
    refusal = wrong_scale(case.syringe, case.plan)
    return Finding(refusal.code, Level.STOP, refusal.facts, INSULIN_ALERT) if refusal else None


def fixed_needle_unfit(case: SyringeCase) -> Finding | None:
    """A needle that cannot be changed must suit the route from the start."""
    needle = case.syringe.fixed_needle
    if needle is None:
        return None
    facts: dict[str, Fact] = {"gauge": needle.gauge, "length": needle.length, "route": case.order.route.value}
    if not needs_needle(case.order):
        return Finding("fixed_needle_for_route", Level.STOP, facts, PRACTICE)
    need = needed_needle(case.order, case.order.due.date(), case.tables, case.policy)
    if not isinstance(need, NeedleNeed):
        return None
    facts |= {"shortest": need.shortest, "longest": need.longest}
    if not need.shortest <= needle.length <= need.longest:
        return Finding("fixed_needle_wrong_length", Level.STOP, facts, need.source)
    facts |= {"thickest": need.thickest, "finest": need.finest}
    if not need.thickest <= needle.gauge <= need.finest:
        return Finding("fixed_needle_wrong_gauge", Level.STOP, facts, need.source)
    return None


def slip_tip_for_viscous(case: SyringeCase) -> Finding | None:
    """A thick liquid needs a hard push, and a slip tip may let go."""
    warned = case.syringe.tip is Tip.SLIP and is_thick(case.order.drug, case.policy)
    return Finding("slip_tip_for_viscous", Level.CAUTION, source=PRACTICE) if warned else None


def scale_too_coarse(case: SyringeCase) -> Finding | None:
    """No line near enough: an insulin dose must stand on a line, any other within the allowed error."""
    at = case.setting
    if at is None or at.off_by == 0 or (not case.syringe.is_insulin and at.off_by <= case.allowed_error):
        return None
    facts: dict[str, Fact] = {
        "wanted": figure_on(case.syringe, case.plan),
        "nearest": at.line,
        "graduation": case.syringe.graduation,
    }
    return Finding("scale_too_coarse", Level.STOP, facts, PRACTICE)


def not_measured_well(case: SyringeCase) -> Finding | None:
    """The barrel itself may be so far off that the dose is not measured at all."""
    at = case.setting
    factor = 1 if case.policy.strict_tolerance else case.policy.worst_case_factor
    limit = min(case.allowed_error * factor, case.policy.worst_case_most)
    if at is None or case.syringe.is_insulin or at.worst <= min(case.allowed_error, limit):
        return None
    stop = at.worst > limit
    facts: dict[str, Fact] = {"least": at.least, "most": at.most, "percent": _percent(at.worst)}
    id, level = ("not_measured_well", Level.STOP) if stop else ("may_be_off", Level.NOTE)
    return Finding(id, level, facts, at.source)


def rounded_to_line(case: SyringeCase) -> Finding | None:
    """The dose is set on the nearest line, which is not quite the dose ordered."""
    at = case.setting
    if at is None or at.off_by == 0:
        return None
    facts: dict[str, Fact] = {"line": at.line, "given": at.dose_given, "percent": _percent(at.off_by)}
    return Finding("rounded_to_line", Level.NOTE, facts, PRACTICE)


def under_fifth_of_barrel(case: SyringeCase) -> Finding | None:
    """A small measure in a large barrel is easily off."""
    small = not case.syringe.is_insulin and case.fill < Fraction(case.policy.least_barrel_share)
    facts: dict[str, Fact] = {"nominal": case.syringe.nominal}
    source = case.tables.rules["least_barrel_share"].said
    return Finding("under_fifth_of_barrel", Level.NOTE, facts, source) if small else None


def small_insulin_dose(case: SyringeCase) -> Finding | None:
    """Very few units are measured badly by any insulin barrel."""
    plan = case.plan.dose
    small = case.syringe.is_insulin and plan.is_like("units") and plan < case.policy.small_insulin
    source = case.tables.rules["small_insulin_units"].said
    return Finding("small_insulin_dose", Level.NOTE, {"dose": plan}, source) if small else None


def flush_adds_dose(case: SyringeCase) -> Finding | None:
    """Into a cannula: what the dead space keeps is a second dose if the same syringe flushes."""
    if case.order.route is not Route.INTRAVENOUS:
        return None
    kept = syringe_dead_space(case.syringe, case.tables)
    matters = kept.ratio(case.plan.volume) > Fraction(case.allowed_error)
    facts: dict[str, Fact] = {"kept": kept, "volume": case.plan.volume}
    source = "page 'Every bit counts: syringe dead space' (anaesthesia)"
    return Finding("flush_adds_dose", Level.NOTE, facts, source) if matters else None


def fill_of_barrel(case: SyringeCase) -> Finding | None:
    """No room for the bubble, or fuller than a barrel is best used."""
    if case.setting is None:
        return None
    facts: dict[str, Fact] = {"nominal": case.syringe.nominal}
    if case.lacks_room:
        return Finding("no_room_for_bubble", Level.NOTE, facts, PRACTICE)
    full = case.fill > Fraction(case.policy.most_full_share)
    return (
        Finding("nearly_full", Level.NOTE, facts, case.tables.rules["most_full_share"].said) if full else None
    )


def _percent(share: Decimal) -> Decimal:
    """Return a share in percent to one place, for a sentence."""
    return (share * 100).quantize(Decimal("0.1")).normalize() + 0


KIND_RULES: Final[tuple[Rule, ...]] = (
    oral_for_injection,
    insulin_in_ml_syringe,
    other_drug_in_insulin_syringe,
    wrong_insulin_scale,
    fixed_needle_unfit,
)
"""A syringe of the wrong kind is refused for that alone: what its scale would do matters to nobody."""

MEASURE_RULES: Final[tuple[Rule, ...]] = (
    slip_tip_for_viscous,
    scale_too_coarse,
    not_measured_well,
    rounded_to_line,
    under_fifth_of_barrel,
    small_insulin_dose,
    flush_adds_dose,
    fill_of_barrel,
)


def wrong_kind(case: SyringeCase) -> Finding | None:
    """Return the first reason why this kind of syringe is out of the question."""
    found = (rule(case) for rule in KIND_RULES)
    return next((finding for finding in found if finding is not None), None)
