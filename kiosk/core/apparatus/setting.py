"""Where the plunger is set on one syringe, what dose that really gives, and how far off it may be."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from kiosk.core.apparatus.choices import Setting
from kiosk.core.apparatus.tolerance import shares_of, tolerance
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.dose.plan import VolumePlan, error_share
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


def setting(
    syringe: Syringe, plan: VolumePlan, tables: DeviceTables, policy: DevicePolicy | None = None
) -> Setting | Refusal:
    """Return the setting for a plan: the nearest line, or half-line where policy allows.

    Codes: ``wrong_insulin_scale`` (units of another concentration, or none), ``too_small`` (the volume is
    more than the scale), ``below_first_line``.
    """
    rules = policy or tables.policy
    if refusal := wrong_scale(syringe, plan):
        return refusal
    exact = figure_on(syringe, plan)
    if exact > syringe.nominal:
        return Refusal("too_small", {"wanted": exact, "nominal": syringe.nominal})
    line = nearest(exact, syringe.graduation.scaled(Fraction(1, 2) if rules.half_lines else 1))
    if line.value == 0:
        return Refusal("below_first_line", {"wanted": exact, "graduation": syringe.graduation})
    if line > syringe.nominal:
        return Refusal("too_small", {"wanted": exact, "nominal": syringe.nominal})
    return _at(syringe, plan, line, exact, tables, rules)


def wrong_scale(syringe: Syringe, plan: VolumePlan) -> Refusal | None:
    """Say why a barrel's units do not fit the liquid: only the same units per mL will do."""
    if syringe.insulin_strength is None:
        return None
    fits = plan.dose.is_like("units") and syringe.insulin_strength.same(plan.strength)
    facts = {"scale": syringe.insulin_strength, "strength": plan.strength}
    return None if fits else Refusal("wrong_insulin_scale", facts)


def figure_on(syringe: Syringe, plan: VolumePlan) -> Measure:
    """Return the exact figure to set in the scale's own unit: the dose in units, or the volume."""
    return plan.dose.to("units") if syringe.is_insulin else plan.volume.to(syringe.nominal.unit)


def volume_at(syringe: Syringe, reading: Measure) -> Measure:
    """Return the volume (mL) that a scale reading stands for."""
    return Measure(syringe.capacity.to("mL").value * reading.ratio(syringe.nominal), "mL")


def nearest(exact: Measure, step: Measure) -> Measure:
    """Return the multiple of ``step`` nearest to ``exact``; halfway goes to the lower one."""
    steps = exact.ratio(step)
    below = steps.numerator // steps.denominator
    return step.scaled(below if steps - below <= Fraction(1, 2) else below + 1)


def _at(
    syringe: Syringe,
    plan: VolumePlan,
    line: Measure,
    exact: Measure,
    tables: DeviceTables,
    rules: DevicePolicy,
) -> Setting:
    """Return the setting at one line with everything that follows from it."""
    volume, given = volume_at(syringe, line), plan.dose.scaled(line.ratio(exact))
    off, reading = tolerance(syringe, volume, tables, rules), volume_at(syringe, syringe.graduation)
    share, half = off.ratio(volume), reading.scaled(Fraction(1, 2))
    rounding = error_share(given, plan.dose)
    return Setting(
        line=line,
        volume=volume,
        on_a_line=line.ratio(syringe.graduation).denominator == 1,
        dose_given=given,
        off_by=as_decimal(rounding),
        tolerance=off,
        least=given.scaled(1 - share),
        most=given.scaled(1 + share),
        reading=half,
        worst=as_decimal(rounding + max(share, half.ratio(volume))),
        source=shares_of(syringe, tables, rules).basis.said,
    )


def as_decimal(share: Fraction) -> Decimal:
    """Return a share as a Decimal, exact where it has a finite decimal form, else to 28 digits."""
    return Decimal(share.numerator) / Decimal(share.denominator)
