"""The weight an order is reckoned on: actual, ideal or adjusted, as the drug list asks."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.core.catalogue.people import Patient
from kiosk.core.dose.body import ADJUSTED_SHARE, adjusted_weight, ideal_weight, is_weight
from kiosk.core.dose.holds import shown
from kiosk.core.dose.plan import Term, WorkingLine
from kiosk.core.dose.working import both
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class DosingWeight:
    """A weight above zero, with how it was come by."""

    weight: Measure
    working: tuple[WorkingLine, ...] = ()
    findings: tuple[Finding, ...] = ()


def dosing_weight(patient: Patient, basis: str) -> DosingWeight | Refusal:
    """Return the weight to reckon on; ``basis`` is ``actual``, ``ideal`` or ``adjusted``.

    A patient lighter than the ideal is reckoned on the actual weight (common practice, no source), with
    a note. Refusals: ``weight_missing``, ``weight_not_understood``, ``weight_basis_unknown``,
    ``height_missing`` and those of ``ideal_weight``.
    """
    if patient.weighed is None:
        return Refusal("weight_missing")
    actual = patient.weighed.weight
    if not is_weight(actual):
        return Refusal("weight_not_understood", {"weight": shown(actual)})
    if basis == "actual":
        return DosingWeight(actual)
    if basis not in ("ideal", "adjusted"):
        return Refusal("weight_basis_unknown", {"basis": basis})
    return _by_height(patient, actual, basis)


def _by_height(patient: Patient, actual: Measure, basis: str) -> DosingWeight | Refusal:
    """Return the ideal or adjusted weight, or the actual one when that is less than the ideal."""
    if patient.height is None:
        return Refusal("height_missing")
    ideal = ideal_weight(patient.height, patient.sex)
    if isinstance(ideal, Refusal):
        return ideal
    if actual <= ideal:
        facts = {"actual": actual, "ideal": ideal}
        note = Finding("actual_weight_below_ideal", Level.NOTE, facts, "common practice, no source")
        return DosingWeight(actual, (), (note,))
    if basis == "ideal":
        return DosingWeight(ideal, both("ideal_weight", ideal))
    adjusted = adjusted_weight(actual, ideal)
    return DosingWeight(adjusted, both("adjusted_weight", *_adjusting(actual, ideal), "=", adjusted))


def _adjusting(actual: Measure, ideal: Measure) -> tuple[Term, ...]:
    """Return the terms of the adjusted weight."""
    return ideal, "+", ADJUSTED_SHARE, "×", "(", actual.to("kg"), "-", ideal, ")"
