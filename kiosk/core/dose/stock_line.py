"""One container as the plan sees it: its strength in the terms of the order, and how much it holds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.catalogue.strength import AmountOnly, MakeUp, Powder
from kiosk.core.dose.bridge import MASS, VOLUME, in_unit, kind_of, positive
from kiosk.core.dose.holds import Have, is_volume, shown
from kiosk.core.dose.make_up import lines_for, made_up
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import RecipeStep
from kiosk.core.dose.strengths import have
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

NOTHING = Measure(Fraction(0), "mL")


@dataclass(frozen=True, slots=True)
class StockLine:
    """A container for one order.

    ``says`` is what the label says, None where no strength is needed and none is stated; ``amount`` the
    label's amount in the drug's unit and in the order's terms (base or salt); ``full`` what an unopened
    one yields, ``available`` what this one still holds (both mL); ``to_mix`` says it is still dry powder.
    """

    container: Container
    says: Have | None
    amount: Measure | None
    full: Measure
    available: Measure
    to_mix: bool

    @property
    def per_ml(self) -> Measure | None:
        """The strength in the drug's unit per mL, in the order's terms."""
        if self.says is None or self.amount is None:
            return None
        return self.amount.over(self.says.volume, f"{self.amount.unit}/mL")

    def recipe(self) -> tuple[RecipeStep, ...]:
        """Return how to make up this very vial, or nothing when that is done or not needed."""
        if self.says is None or not self.to_mix:
            return ()
        return tuple(replace(step, container=self.container.id) for step in self.says.recipe)


def stock_line(
    container: Container, order: Order, by_volume: bool, make_up: MakeUp | None
) -> StockLine | Refusal:
    """Return one container for this order; ``by_volume`` says that the order asks for millilitres.

    Refusals: ``different_drug``, ``contents_not_known``, ``left_not_understood``,
    ``make_up_not_on_label``, those of ``have``, ``in_unit`` and the base-and-salt ones.
    """
    product = container.product
    if product.drug.id != order.drug.id:
        return Refusal("different_drug", {"ordered": order.drug.name, "in_hand": product.drug.name})
    says = _label(container, order, by_volume, make_up)
    if isinstance(says, Refusal):
        return says
    amount = None if says is None else _in_order_terms(says.amount, product, order, by_volume)
    if isinstance(amount, Refusal):
        return amount
    return _with_volumes(container, says, amount)


def _label(
    container: Container, order: Order, by_volume: bool, make_up: MakeUp | None
) -> Have | Refusal | None:
    """Return what the label says; an order in mL needs no strength from a liquid."""
    strength = container.product.strength
    if by_volume and isinstance(strength, AmountOnly):
        return None
    if not isinstance(strength, Powder):
        return have(strength)
    line = chosen_line(strength, order, container.made_up or make_up)
    return line if isinstance(line, Refusal) else have(strength, line)


def chosen_line(powder: Powder, order: Order, chosen: MakeUp | None) -> MakeUp | Refusal:
    """Return the label line to make a powder up by.

    The one chosen, if it stands on the label for this route; else the only one there is; else the only
    one that gives the concentration the order asks for. Refusals: ``make_up_not_on_label``,
    ``make_up_not_for_route``, ``make_up_not_chosen``.
    """
    lines = lines_for(powder, order.route)
    if chosen is not None:
        return chosen if chosen in lines else Refusal("make_up_not_on_label", {"route": str(order.route)})
    if not lines and powder.make_ups:
        return Refusal("make_up_not_for_route", {"route": str(order.route)})
    if len(lines) > 1 and order.concentration_asked is not None:
        lines = tuple(line for line in lines if _gives_asked(powder, line, order))
    return lines[0] if len(lines) == 1 else Refusal("make_up_not_chosen", {"lines": len(lines)})


def _gives_asked(powder: Powder, line: MakeUp, order: Order) -> bool:
    """Say whether a line gives the concentration asked for, in the drug's unit per mL."""
    liquid = made_up(powder, line)
    if isinstance(liquid, Refusal):
        return False
    amount = in_unit(liquid.amount, order.drug.measured_in, order.drug)
    if isinstance(amount, Refusal):
        return False
    return amount.value / liquid.volume.value == positive(order.concentration_asked)


def _in_order_terms(amount: Measure, product: Product, order: Order, by_volume: bool) -> Measure | Refusal:
    """Return the label's amount in the drug's unit, counted as base or salt as the order counts it."""
    if by_volume and kind_of(order.drug.measured_in) == VOLUME:
        return amount  # nothing is told in the drug's unit; the label's own tells two strengths apart
    if by_volume:
        return in_unit(amount, order.drug.measured_in, order.drug)
    share = _counted(amount, product, order)
    if isinstance(share, Refusal):
        return share
    return in_unit(amount.scaled(share), order.drug.measured_in, order.drug)


def _counted(amount: Measure, product: Product, order: Order) -> Fraction | Refusal:
    """Return what the label's amount is multiplied by to count what the order counts.

    ``salt_to_base`` is the mass of base in a unit mass of salt. Refusals: ``base_or_salt_not_stated``,
    ``salt_equivalence_not_given``.
    """
    stated = {order.stated_as, product.stated_as}
    equivalence = positive(order.drug.salt_to_base)
    if stated == {""} and order.drug.salt_to_base is None:
        return Fraction(1)
    if not stated <= {"base", "salt"}:
        return Refusal("base_or_salt_not_stated", {"drug": order.drug.name})
    if len(stated) == 1:
        return Fraction(1)
    if equivalence is None or kind_of(amount.unit) != MASS or kind_of(order.drug.measured_in) != MASS:
        return Refusal("salt_equivalence_not_given", {"drug": order.drug.name})
    return equivalence if order.stated_as == "base" else 1 / equivalence


def _with_volumes(container: Container, says: Have | None, amount: Measure | None) -> StockLine | Refusal:
    """Return the line once it is known how much there is in the container."""
    made = says.contents if says else None
    full = made or container.product.contents or container.left
    if full is None or not is_volume(full):
        return Refusal("contents_not_known", {"container": container.id})
    left = container.left
    if left is not None and (left.value < 0 or kind_of(left.unit) != VOLUME):
        return Refusal("left_not_understood", {"container": container.id, "left": shown(left)})
    available = NOTHING if container.used_up else (full if left is None else left).to("mL")
    to_mix = made is not None and left is None and container.made_up is None
    return StockLine(container, says, amount, full.to("mL"), available, to_mix)
