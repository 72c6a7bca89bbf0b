"""When no syringe at hand measures a volume well enough: the dilution that would, or a refusal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.setting import setting
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import Syringe, Tip
from kiosk.core.dose.dilution import Dilution
from kiosk.core.dose.measurable import Measurable, measurable_dilution
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class DilutionOffer:
    """A dilution, and the syringe that then measures the dose, at what setting and how well."""

    dilution: Dilution
    option: SyringeOption


def dilution_offer(
    plan: VolumePlan,
    order: Order,
    syringes: Sequence[Syringe],
    tables: DeviceTables,
    policy: DevicePolicy | None = None,
    diluent_name: str = "",
) -> DilutionOffer | Refusal:
    """Return the simplest dilution that some syringe at hand measures within the allowed error.

    Whether the drug may be diluted is the drug list's business, not decided here. Codes:
    ``insulin_not_diluted``, ``no_dilution_measures``.
    """
    if order.drug.is_insulin:
        return Refusal("insulin_not_diluted")
    rules = policy or tables.policy
    vessels = [s for s in syringes if not s.is_insulin and s.fixed_needle is None and s.tip is not Tip.ORAL]
    for limits in _limits(plan, order, vessels, tables, rules, diluent_name):
        found = measurable_dilution(plan.dose, plan.strength, limits)
        if isinstance(found, Refusal) or found.draw is None:
            continue
        diluted = replace(plan, strength=found.strength, volume=found.draw)
        best = next(iter(rank_syringes(diluted, order, vessels, tables, rules)), None)
        if best is not None and _good(best, order):
            return DilutionOffer(found, best)
    return Refusal("no_dilution_measures", {"volume": plan.volume})


def _good(option: SyringeOption, order: Order) -> bool:
    """Say whether a syringe measures within the allowed error in the worst case."""
    at = option.setting
    return option.allowed and at is not None and at.worst <= order.drug.allowed_error


def _limits(
    plan: VolumePlan,
    order: Order,
    vessels: Sequence[Syringe],
    tables: DeviceTables,
    rules: DevicePolicy,
    diluent_name: str,
) -> Iterator[Measurable]:
    """Yield what each syringe at hand can measure, smallest first, with the largest to mix in."""
    if not vessels:
        return
    most = max((s.capacity.to("mL") for s in vessels), key=lambda m: m.value)
    stock = [take.volume + take.left for take in plan.takes]
    available = stock[0] if len(stock) == 1 else None
    for syringe in sorted(vessels, key=lambda s: s.capacity.to("mL").value):
        least = least_measured(syringe, plan, order, tables, rules)
        if least is not None:
            graduation = syringe.graduation.to("mL")
            yield Measurable(least, graduation, most, available, order.drug.name, diluent_name)


def least_measured(
    syringe: Syringe, plan: VolumePlan, order: Order, tables: DeviceTables, rules: DevicePolicy
) -> Measure | None:
    """Return the smallest line at which the worst case stays within the allowed error; None if none does."""
    lines = int(syringe.nominal.ratio(syringe.graduation))
    for step in range(1, lines + 1):
        volume = syringe.graduation.scaled(step).to("mL")
        at = setting(syringe, replace(plan, volume=volume), tables, rules)
        if not isinstance(at, Refusal) and at.worst <= order.drug.allowed_error:
            return volume
    return None
