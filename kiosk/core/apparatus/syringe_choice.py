"""The syringe: what is on the counter, ranked for this volume, drug and route, each with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.setting import setting
from kiosk.core.apparatus.syringe_rules import MEASURE_RULES, SyringeCase, wrong_kind
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import Syringe, Tip
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Finding, Level, Refusal

Place: TypeAlias = tuple[bool, int, bool, Decimal, bool, bool, Fraction, Fraction, bool]


def rank_syringes(
    plan: VolumePlan,
    order: Order,
    syringes: Sequence[Syringe],
    tables: DeviceTables,
    policy: DevicePolicy | None = None,
) -> tuple[SyringeOption, ...]:
    """Return every syringe with its reasons: best first, refused ones last.

    Best is the smallest barrel that holds the volume with room for the bubble, keeps the dose inside the
    drug's allowed error by its published tolerance, and has a line at the volume. Where none keeps it
    inside, the one that strays least goes first.
    """
    cases = [SyringeCase(plan, order, s, None, tables, policy or tables.policy) for s in syringes]
    ranked = sorted((_placed(case) for case in cases), key=lambda placed: placed[0])
    return tuple(option for _, option in ranked)


def _placed(case: SyringeCase) -> tuple[Place, SyringeOption]:
    """Return one syringe with its findings, and where it ranks."""
    if wrong := wrong_kind(case):
        option = SyringeOption(case.syringe, None, (wrong,))
        return _place(case, option), option
    found = setting(case.syringe, case.plan, case.tables, case.policy)
    if isinstance(found, Refusal):
        option = SyringeOption(
            case.syringe, None, (Finding(found.code, Level.STOP, found.facts, found.source),)
        )
        return _place(case, option), option
    case = replace(case, setting=found)
    findings = tuple(finding for rule in MEASURE_RULES if (finding := rule(case)) is not None)
    option = SyringeOption(case.syringe, found, findings)
    return _place(case, option), option


def _beyond(case: SyringeCase) -> Decimal:
    """Return how far the worst case lies beyond the drug's allowed error; nothing when it is within."""
    at = case.setting
    return Decimal(0) if at is None else max(Decimal(0), at.worst - case.allowed_error)


def _place(case: SyringeCase, option: SyringeOption) -> Place:
    """Return what ranks syringes, weightiest first; the smallest value is the best."""
    at, syringe = option.setting, case.syringe
    return (
        not option.allowed,
        sum(finding.level in (Level.SECOND_PERSON, Level.CAUTION) for finding in option.findings),
        at is not None and case.lacks_room,
        _beyond(case),
        at is not None and at.off_by > 0,
        at is not None and case.fill > Fraction(case.policy.most_full_share),
        syringe.capacity.to("mL").value,
        syringe.graduation.ratio(syringe.nominal),
        syringe.tip is not Tip.LOCK,
    )
