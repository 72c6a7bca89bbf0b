"""When the container is its own syringe: what cannot be done with it, and how its content is read."""

from __future__ import annotations

from typing import Final

from kiosk.core.apparatus.prefilled import is_own, is_prefilled, own_option
from kiosk.core.catalogue.container import Form
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Refusal
from kiosk.core.preparation.actions import ReadPlunger
from kiosk.core.preparation.plans import Rules, syringe_taken
from kiosk.core.preparation.state import Preparation
from kiosk.core.preparation.stops import first_stop
from kiosk.core.units import Measure

WHOLE: Final = "whole content"
MISSING: Final = "content missing"
SPOILT: Final = "content spoilt"
CONTENTS: Final = (WHOLE, MISSING, SPOILT)
"""What may be said of a prefilled syringe instead of a line: all is there, not all, not as it should look."""


def prefilled_trouble(state: Preparation, plan: VolumePlan | Refusal, rules: Rules) -> Refusal | None:
    """Say what stands against a prefilled syringe among the containers taken; nothing where none is.

    Codes: ``prefilled_stands_alone``, ``prefilled_holds_too_little``, those of ``own_option``.
    """
    if all(c.product.form is not Form.PREFILLED for c in state.taken):
        return None
    product = state.taken[-1].product
    if len(state.taken) > 1 or not is_prefilled(state.taken):
        return Refusal("prefilled_stands_alone", {"container": product.label_name})
    if isinstance(plan, Refusal):
        if plan.code != "more_containers_needed":
            return None
        facts = {"container": product.label_name, "needed": plan.facts["needed"]}
        return Refusal("prefilled_holds_too_little", {**facts, "in_hand": plan.facts["in_hand"]})
    return first_stop(own_option(plan, state.order, product, rules.tables).findings)


def position_read(state: Preparation, action: ReadPlunger, rules: Rules) -> Measure | None:
    """Return where the plunger was read: as said, or what the content of a prefilled syringe amounts to.

    None where a content is said of another syringe, or one that nobody may say.
    """
    if not action.content:
        return action.position
    syringe = syringe_taken(state, rules)
    if action.content not in CONTENTS or not is_own(syringe.id):
        return None
    return syringe.nominal if action.content == WHOLE else syringe.nominal.scaled(0)
