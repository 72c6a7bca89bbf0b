"""From a vouched syringe to a print job: the label's fields, then one job for the printer.

The job runs after the request is durable and outside the interface thread. It touches no state: what came
of it goes back to the desk as an action.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

from kiosk.core.catalogue.container import Container
from kiosk.core.findings import Refusal
from kiosk.core.label.discard_after import DiscardAfter, ImmediateUse, discard_after
from kiosk.core.label.fields import InSyringe, in_use_fields, label_fields
from kiosk.core.label.placement import Placement, shape_for
from kiosk.core.label.says import InUseFields, LabelFields
from kiosk.core.preparation.checking import label_code, proof
from kiosk.core.preparation.events import Opened, PlungerRead, RestAccounted
from kiosk.core.preparation.plans import Rules, sure_plan, syringe_taken
from kiosk.core.preparation.state import Preparation, papers
from kiosk.core.stock.moments import in_zone
from kiosk.flow.ports import LabelPrinter, Ledger, Printed

Job: TypeAlias = Callable[[], Printed]


@dataclass(frozen=True, slots=True)
class PressRoom:
    """What is needed to make labels at this counter, in its language."""

    ledger: Ledger
    printer: LabelPrinter
    words: Mapping[str, str]
    language: str
    immediate: ImmediateUse
    placement: Placement
    training: bool = False

    def job(self, state: Preparation, rules: Rules, now: datetime) -> Job | Refusal:
        """Return the print job of the label just asked for, or why its label cannot be made."""
        fields = self.fields(state, rules, now)
        if isinstance(fields, Refusal):
            return fields
        name = f"{state.syringe_code}-{len(state.labels)}"
        return lambda: self.printer.print(fields, name)

    def limits(self, state: Preparation, now: datetime) -> DiscardAfter:
        """Return until when a syringe may be used, and every limit it goes by, the earliest first."""
        started, drawn = self._moments(state, now)
        return discard_after(state.taken, state.order.route.value, started, drawn, self.immediate)

    def fields(self, state: Preparation, rules: Rules, now: datetime) -> LabelFields | Refusal:
        """Return what the label of a vouched syringe says, or why there is none."""
        owed = proof(state, now)
        if owed is None:
            return Refusal("not_vouched")
        assert state.syringe is not None
        plan = sure_plan(state, now)
        _, drawn = self._moments(state, now)
        held = InSyringe(
            names=label_code(state),
            order=state.order,
            dose=plan.dose,
            volume=state.syringe.line_volume,
            strength=plan.strength,
            made_at=drawn,
            discard=self.limits(state, now),
            shape=shape_for(syringe_taken(state, rules), self.placement),
            copy=papers(state),
            training=self.training,
            warnings=self._which_part(state),
            asked_at=now,
        )
        initials = {person.id: person.initials for person in rules.people.values()}
        return label_fields(held, owed, initials, self.words, self.language)

    def _which_part(self, state: Preparation) -> tuple[str, ...]:
        """Return which of several syringes that share a dose this is; nothing where it is whole."""
        order = state.order
        text = self.words["label.part"].format(part=order.part, parts=order.parts)
        return (text,) if order.parts > 1 else ()

    def in_use_says(self, state: Preparation, vial: Container, opened_by: str, now: datetime) -> InUseFields:
        """Return what the in-use label of a vial says, as it stands opened; ``opened_by`` are initials."""
        strength, vial = sure_plan(state, now).strength, in_zone(vial, now)
        return in_use_fields(vial, strength, opened_by, self.words, self.language, training=self.training)

    def in_use_job(self, fields: InUseFields, vial: str, copy: int) -> Job:
        """Return the print job of an in-use label; ``copy`` counts the labels of this vial asked for."""
        name = f"in-use-{vial}" if copy == 1 else f"in-use-{vial}-{copy}"
        return lambda: self.printer.print_in_use(fields, name)

    def kept_at(self, state: Preparation, container: str) -> datetime:
        """Return when the rest of a container was accounted for: a vial counts as opened then."""
        return next(
            entry.at
            for entry in self.ledger.events(state.id)
            if isinstance(entry.event, RestAccounted) and entry.event.container == container
        )

    def _moments(self, state: Preparation, now: datetime) -> tuple[datetime, datetime]:
        """Return when the preparation began and when the plunger was last read, in the counter's zone."""
        began, read = now, now
        for entry in self.ledger.events(state.id):
            if isinstance(entry.event, Opened):
                began = entry.at
            elif isinstance(entry.event, PlungerRead):
                read = entry.at
        return began.astimezone(now.tzinfo), read.astimezone(now.tzinfo)
