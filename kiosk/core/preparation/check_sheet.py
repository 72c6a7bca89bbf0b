"""What the second person is given: the order and the objects, and nobody's figures.

This is the only thing the checker's screens are built from. It has no field that could hold a figure, a
line, a reading or a choice of the preparer or of the kiosk; that it stays so is tested by its types.
"""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.core.catalogue.devices import InjectionNeedle, Syringe
from kiosk.core.dose.order import Order
from kiosk.core.preparation.checking import pending, turn
from kiosk.core.preparation.plans import Rules, syringe_taken
from kiosk.core.preparation.state import Preparation


@dataclass(frozen=True, slots=True)
class CheckSheet:
    """The order, the barrel in hand, all needles of the counter, and which matter is asked of whom.

    ``matter`` is empty when this person has said everything; ``again`` marks a second round.
    """

    order: Order
    syringe: Syringe
    needles: tuple[InjectionNeedle, ...]
    containers: int
    person: str
    matter: str
    again: bool


def check_sheet(state: Preparation, rules: Rules) -> CheckSheet:
    """Return the sheet of the person whose turn it is."""
    syringe = syringe_taken(state, rules)
    person = turn(state)
    open_matters = pending(state, person) if person else ()
    fixed = (syringe.fixed_needle,) if syringe.fixed_needle else rules.needles
    return CheckSheet(
        order=state.order,
        syringe=syringe,
        needles=fixed,
        containers=len(state.taken),
        person=person,
        matter=open_matters[0] if open_matters else "",
        again=state.round > 1,
    )
