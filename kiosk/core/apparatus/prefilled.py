"""A prefilled syringe is its own syringe: nothing is drawn into another, its whole content is the usual dose.

Its maker fills it; the standards for empty syringes do not speak of it (ISO 7886-1:2017, scope), so no
published tolerance is counted for a whole one. Part of it is a dose only where it has lines for that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.apparatus.choices import Setting, SyringeOption
from kiosk.core.apparatus.setting import as_decimal
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.apparatus.syringe_rules import SyringeCase, wrong_kind
from kiosk.core.catalogue.container import Container, Form, PrefilledBarrel, Product
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import VolumePlan, error_share
from kiosk.core.findings import Fact, Finding, Level
from kiosk.core.units import Measure

OWN: Final = "prefilled:"
"""How the id of a syringe begins that is the container itself; the product's id follows."""

FILLED_BY_MAKER: Final = "filled by its maker; ISO 7886-1:2017 leaves prefilled syringes out"
PI: Final = Fraction(355, 113)
PRACTICE: Final = "common practice, no source"
ROOM_NOTES: Final = frozenset({"no_room_for_bubble", "nearly_full"})
"""What is to be minded when a barrel is filled; this one comes full."""


def is_prefilled(containers: Sequence[Container]) -> bool:
    """Say whether what was taken is a prefilled syringe, and nothing else."""
    return bool(containers) and all(c.product.form is Form.PREFILLED for c in containers)


def is_own(syringe: str) -> bool:
    """Say whether this id is that of a container that is its own syringe."""
    return syringe.startswith(OWN)


def own_syringe(product: Product, tables: DeviceTables) -> Syringe:
    """Return the syringe that a prefilled product is. Raises ``ValueError`` without labelled contents.

    One without lines has a single one, at its whole content.
    """
    if product.contents is None:
        raise ValueError(f"nobody knows how much {product.id} holds")
    barrel = product.barrel or PrefilledBarrel()
    contents = product.contents.to("mL")
    bore = (barrel.bore or _typical_bore(contents, tables)).to("mm")
    section = PI / 4 * bore.value**2
    return Syringe(
        id=f"{OWN}{product.id}",
        nominal=contents,
        graduation=barrel.graduation or contents,
        numbered_every=barrel.numbered_every or barrel.graduation or contents,
        capacity=contents,
        scale_length=Measure(Fraction(round(contents.value * 1000 / section * 10), 10), "mm"),
        tip=barrel.tip,
        barrel_bore=bore,
        fixed_needle=barrel.needle,
        gtin=product.gtin,
        source=FILLED_BY_MAKER,
    )


def _typical_bore(contents: Measure, tables: DeviceTables) -> Measure:
    """Return the bore of the smallest typical barrel that holds so much; the widest where none does."""
    rows = sorted(tables.bores, key=lambda row: row.capacity.value)
    return next((row.bore for row in rows if row.capacity >= contents), rows[-1].bore)


def is_graduated(syringe: Syringe) -> bool:
    """Say whether there are lines to set the plunger to before the last one."""
    return syringe.graduation < syringe.nominal


def own_option(
    plan: VolumePlan, order: Order, product: Product, tables: DeviceTables, policy: DevicePolicy | None = None
) -> SyringeOption:
    """Return the prefilled syringe as the one choice there is, set to the dose, or refused with the reason.

    Finding ``prefilled_part_dose``: the dose is less than it holds, and it has no line for that.
    """
    rules, syringe = policy or tables.policy, own_syringe(product, tables)
    wrong = wrong_kind(SyringeCase(plan, order, syringe, None, tables, rules))
    if wrong is not None:
        return SyringeOption(syringe, None, (wrong,))
    share = error_share(syringe.nominal, plan.volume)
    if share == 0 or (share <= Fraction(order.drug.allowed_error) and not order.drug.is_insulin):
        return SyringeOption(syringe, _whole(syringe, plan), tuple(_whole_notes(share, plan, syringe)))
    (option,) = rank_syringes(plan, order, (syringe,), tables, rules)
    if is_graduated(syringe) and option.allowed:
        kept = tuple(finding for finding in option.findings if finding.id not in ROOM_NOTES)
        return replace(option, findings=kept)
    facts: dict[str, Fact] = {
        "container": product.label_name,
        "contents": syringe.nominal,
        "volume": plan.volume,
    }
    return SyringeOption(syringe, None, (Finding("prefilled_part_dose", Level.STOP, facts, PRACTICE),))


def _whole(syringe: Syringe, plan: VolumePlan) -> Setting:
    """Return the setting of a whole content: nothing is set, nothing is read off a scale."""
    given = plan.dose.scaled(syringe.nominal.ratio(plan.volume))
    off = as_decimal(error_share(syringe.nominal, plan.volume))
    return Setting(
        line=syringe.nominal,
        volume=syringe.nominal,
        on_a_line=True,
        dose_given=given,
        off_by=off,
        tolerance=syringe.nominal.scaled(0),
        least=given,
        most=given,
        worst=off,
        source=FILLED_BY_MAKER,
    )


def _whole_notes(share: Fraction, plan: VolumePlan, syringe: Syringe) -> list[Finding]:
    """Note that the whole content is not quite the dose ordered."""
    if share == 0:
        return []
    given = plan.dose.scaled(syringe.nominal.ratio(plan.volume))
    percent = (as_decimal(share) * 100).quantize(Decimal("0.1")).normalize() + 0
    facts: dict[str, Fact] = {"given": given, "dose": plan.dose, "percent": percent}
    return [Finding("whole_not_exact", Level.NOTE, facts, PRACTICE)]


def is_whole(syringe: Syringe, line: Measure) -> bool:
    """Say whether a syringe set to ``line`` gives all that a prefilled one holds."""
    return is_own(syringe.id) and line.same(syringe.nominal)
