"""Deciding to share a dose out over several syringes, one after the other: one site takes too little."""

from __future__ import annotations

from datetime import datetime

from kiosk.core.apparatus.needle_need import needs_needle
from kiosk.core.apparatus.site_limits import Split, splits
from kiosk.core.catalogue.container import Container, Form
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.dose_events import SplitTaken
from kiosk.core.preparation.events import ContainerTaken, Event
from kiosk.core.preparation.plans import Rules, plan
from kiosk.core.preparation.state import Preparation, apply
from kiosk.core.units import Measure

Answer = tuple[Event, ...] | Refusal


def volume_of(state: Preparation, container: Container, now: datetime) -> Measure | None:
    """Return the volume that the dose has from containers like this one; None where there is no plan."""
    answer = plan(apply(state, ContainerTaken(state.preparer, container)), now)
    if not isinstance(answer, Refusal):
        return answer.volume
    needed = answer.facts.get("needed") if answer.code == "more_containers_needed" else None
    return needed if isinstance(needed, Measure) else None


def split_offers(state: Preparation, container: Container, rules: Rules, now: datetime) -> tuple[Split, ...]:
    """Return the ways to share the dose out that the site asks for; none where it need not or cannot be.

    A prefilled syringe cannot be shared, a dose is shared once, and only before anything was taken.
    """
    order = state.order
    if order.parts > 1 or state.taken or not needs_needle(order) or container.product.form is Form.PREFILLED:
        return ()
    volume = volume_of(state, container, now)
    return splits(order, volume, now.date(), rules.tables) if volume is not None else ()


def take_split(state: Preparation, action: a.TakeSplit, rules: Rules, now: datetime) -> Answer:
    """Accept a number of equal parts that the site asks for."""
    offers = split_offers(state, action.container, rules, now)
    chosen = next((offer for offer in offers if offer.parts == action.parts), None)
    volume = volume_of(state, action.container, now)
    if chosen is None or volume is None:
        return Refusal("no_such_split")
    return (SplitTaken(action.by, chosen.parts, volume, chosen.each),)
