"""The second computation's reading of a container: an amount in a volume, and how much is there."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.strength import (
    AmountInVolume,
    AmountOnly,
    MakeUp,
    PercentWeightInVolume,
    Powder,
    Ratio,
)
from kiosk.core.dose.order import Order
from kiosk.core.dose.second_table import (
    MICROLITRES_PER_ML,
    NANOGRAMS_PER_MG,
    Stuck,
    above_zero,
    size,
    smallest,
)
from kiosk.core.units import Measure

_LABELS_AGREE = Fraction(1, 20)
_ONE_GRAM_IN_100_ML = Fraction(10_000)  # nanograms in a microlitre


@dataclass(frozen=True, slots=True)
class Label:
    """``amount`` (smallest units of ``kind``, as the order counts) in ``microlitres``; None when unsaid.

    ``full`` is what a new one holds and ``holds`` what this one does, in microlitres.
    """

    kind: str
    amount: Fraction | None
    microlitres: Fraction
    full: Fraction
    holds: Fraction

    @property
    def sure_amount(self) -> Fraction:
        """The amount, where one is needed. Raises ``Stuck`` when the label states none."""
        if self.amount is None:
            raise Stuck("strength")
        return self.amount

    @property
    def strength(self) -> tuple[str, Fraction] | None:
        """What two containers must have in common."""
        return None if self.amount is None else (self.kind, self.amount / self.microlitres)


def read_label(container: Container, order: Order, by_volume: bool, make_up: MakeUp | None) -> Label:
    """Return one container for this order. Raises ``Stuck``."""
    product = container.product
    if product.drug.id != order.drug.id:
        raise Stuck("drug")
    kind, amount, volume, yields = _printed(container, order, by_volume, make_up)
    new = yields or _contents(container)
    left = container.left
    if left is not None and (size(left.unit)[0] != "volume" or left.value < 0):
        raise Stuck("left")
    holds = new if left is None else left.value * size(left.unit)[1]
    held = Fraction(0) if container.used_up else holds
    if amount is None:
        return Label("", None, Fraction(1), new, held)
    if by_volume and size(order.drug.measured_in)[0] == "volume":
        return Label(kind, amount, volume, new, held)
    share = Fraction(1) if by_volume else _share(kind, product, order)
    counted = across(amount * share, kind, order.drug)
    return Label(size(order.drug.measured_in)[0], counted, volume, new, held)


def _contents(container: Container) -> Fraction:
    """Return the labelled contents in microlitres; of an opened one without, what is left."""
    stated = container.product.contents or container.left
    if stated is None:
        raise Stuck("contents")
    return smallest(stated.value, stated.unit, "volume")


def _printed(
    container: Container, order: Order, by_volume: bool, make_up: MakeUp | None
) -> tuple[str, Fraction | None, Fraction, Fraction | None]:
    """Return kind, amount, microlitres it is in, and what a powder yields, as the label prints them."""
    printed = container.product.strength
    if isinstance(printed, AmountInVolume):
        kind, amount = _drug_amount(printed.amount)
        return kind, amount, smallest(printed.volume.value, printed.volume.unit, "volume"), None
    if isinstance(printed, PercentWeightInVolume):
        return _dissolved(above_zero(printed.percent, "percent"), Fraction(100))
    if isinstance(printed, Ratio):
        return _dissolved(above_zero(printed.parts, "ratio"), above_zero(printed.within, "ratio"))
    if isinstance(printed, AmountOnly):
        if not by_volume:
            raise Stuck("strength")
        return "", None, Fraction(1), None
    kind, amount = _drug_amount(printed.amount)
    made = _mixed(printed, amount, _line(printed, container.made_up or make_up, order))
    return kind, amount, made, made


def _drug_amount(amount: Measure) -> tuple[str, Fraction]:
    """Return kind and size of so much drug; millilitres are none."""
    kind = size(amount.unit)[0]
    if kind in ("volume", "length"):
        raise Stuck("amount")
    return kind, smallest(amount.value, amount.unit)


def _dissolved(grams: Fraction, millilitres: Fraction) -> tuple[str, Fraction, Fraction, None]:
    """Return grams in millilitres."""
    if grams > millilitres:
        raise Stuck("denser than itself")
    nanograms = grams / millilitres * 100 * _ONE_GRAM_IN_100_ML
    return "mass", nanograms, Fraction(1), None


def _line(powder: Powder, chosen: MakeUp | None, order: Order) -> MakeUp:
    """Return the one label line that can be meant."""
    for_route = [line for line in powder.make_ups if order.route in line.routes or not line.routes]
    if chosen is not None:
        for_route = [line for line in for_route if line == chosen][:1]
    elif len(for_route) > 1 and order.concentration_asked is not None:
        for_route = [line for line in for_route if _as_asked(powder, line, order)]
    if len(for_route) != 1:
        raise Stuck("make up")
    return for_route[0]


def _as_asked(powder: Powder, line: MakeUp, order: Order) -> bool:
    """Say whether a line gives so much of the drug's unit per mL as the order asks for."""
    try:
        kind, amount = _drug_amount(powder.amount)
        millilitres = _mixed(powder, amount, line) / MICROLITRES_PER_ML
        in_drug_unit = across(amount, kind, order.drug) / size(order.drug.measured_in)[1]
        return in_drug_unit == above_zero(order.concentration_asked, "asked") * millilitres
    except Stuck:
        return False


def _per_microlitre(strength: Measure, kind: str) -> Fraction:
    """Return a strength such as mg/mL in smallest units per microlitre."""
    unit, _, per = strength.unit.partition("/")
    return smallest(strength.value, unit, kind) / smallest(Fraction(1), per, "volume")


def _mixed(powder: Powder, amount: Fraction, line: MakeUp) -> Fraction:
    """Return the microlitres the whole amount is in once made up."""
    kind = size(powder.amount.unit)[0]
    added = None if line.diluent is None else smallest(line.diluent.value, line.diluent.unit, "volume")
    taken_up = None if line.displacement is None else _taken_up(line.displacement, powder, amount)
    ends: list[Fraction] = []
    if line.final_strength is not None:
        ends.append(amount / _per_microlitre(line.final_strength, kind))
    if line.final_volume is not None:
        ends.append(smallest(line.final_volume.value, line.final_volume.unit, "volume"))
    if added is not None and taken_up is not None:
        ends.append(added + taken_up)
    if not ends or any(abs(end / ends[0] - 1) > _LABELS_AGREE for end in ends):
        raise Stuck("label")
    too_much_added = added is not None and added / ends[0] - 1 > _LABELS_AGREE
    if too_much_added or (added is None and taken_up is not None and taken_up >= ends[0]):
        raise Stuck("label")
    return ends[0]


def _taken_up(displacement: Measure, powder: Powder, amount: Fraction) -> Fraction:
    """Return the powder's own microlitres, stated for the vial or for so much drug."""
    unit, _, per = displacement.unit.partition("/")
    kind, each = size(unit)
    if kind != "volume" or displacement.value < 0:
        raise Stuck("displacement")
    if not per:
        return displacement.value * each
    if size(per)[0] != "mass" or size(powder.amount.unit)[0] != "mass":
        raise Stuck("displacement")
    return displacement.value * each * amount / size(per)[1]


def _share(kind: str, product: Product, order: Order) -> Fraction:
    """Return the share of the label's amount that the order counts."""
    both = (order.stated_as, product.stated_as)
    if both == ("", "") and order.drug.salt_to_base is None:
        return Fraction(1)
    if not all(stated in ("base", "salt") for stated in both):
        raise Stuck("base or salt")
    if both[0] == both[1]:
        return Fraction(1)
    if kind != "mass" or size(order.drug.measured_in)[0] != "mass":
        raise Stuck("base or salt")
    share = above_zero(order.drug.salt_to_base, "base or salt")
    return share if both == ("base", "salt") else 1 / share


def across(amount: Fraction, kind: str, drug: Drug) -> Fraction:
    """Return an amount of one kind in smallest units of the kind the drug is measured in."""
    wanted = size(drug.measured_in)[0]
    if wanted == kind:
        return amount
    per_mmol = {"substance": Fraction(1)}
    if "mass" in (kind, wanted):
        if drug.salt_to_base is not None:
            raise Stuck("molar mass")
        per_mmol["mass"] = above_zero(drug.molar_mass_g_per_mol, "molar mass") * NANOGRAMS_PER_MG
    if "charge" in (kind, wanted):
        per_mmol["charge"] = above_zero(drug.valence, "valence")
    if kind not in per_mmol or wanted not in per_mmol:
        raise Stuck("kind")
    return amount * per_mmol[wanted] / per_mmol[kind]
