"""Turning the entries of the record into sentences: every kind has its own, in every language.

The words stand under ``event.<Kind>`` and may ask for any field of the kind by its name. A person is said
by name, a device as its pack says it, a reading as a quantity; a code has its words under
``told.<field>.<code>``. What has no words, for it was written by an earlier kiosk, stands as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import datetime, tzinfo
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final, TypeAlias, cast

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.drug import Drug
from kiosk.core.dose.order import Order
from kiosk.core.preparation.drug_list_events import DrugListRefused
from kiosk.core.preparation.events import ContainerTaken, Event, NeedleTaken, Refused
from kiosk.core.preparation.house_events import HouseEvent, PolicyChanged
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.stock_events import StockRefused
from kiosk.core.units import Measure, UnknownUnit
from kiosk.flow.ports import People, Recorded
from kiosk.pages.device_names import device_name, needle_taken
from kiosk.pages.parts import Line
from kiosk.pages.slip import dose_text
from kiosk.pages.words import Words

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

AnyEvent: TypeAlias = Event | HouseEvent
PEOPLE: Final = frozenset({"by", "person", "people", "witness", "second"})
_HOLE: Final = re.compile(r"\{\w+\}")
"""A sentence may ask for an amount that the entry itself does not hold: the entries around it do."""
DEVICES: Final = frozenset({"syringe", "device", "needle"})


@dataclass(frozen=True, slots=True)
class Teller:
    """Tells entries in one language. ``names`` are people by id, those who left too; ``containers`` also."""

    words: Words
    rules: Rules
    names: Mapping[str, str]
    zone: tzinfo | None
    containers: Mapping[str, str] = field(default_factory=dict)

    def line(self, at: datetime, event: AnyEvent) -> Line:
        """Return an entry as a line: its time by the counter's clock, and its sentence."""
        return Line(self.words.time(at.astimezone(self.zone)), self.sentence(event))

    def sentence(self, event: AnyEvent) -> str:
        """Return the sentence of an entry."""
        facts = {one.name: self._said(one.name, getattr(event, one.name)) for one in fields(event)}
        if isinstance(event, (Refused, StockRefused, DrugListRefused)):
            facts["code"] = self._refusal(event.code, dict(event.facts))
        if isinstance(event, NeedleTaken):
            facts["needle"] = needle_taken(self.words, event)
        key = f"event.{type(event).__name__}"
        if isinstance(event, PolicyChanged):
            key = key if event.by else "told.policy_found"
            facts |= {"was": self._policy(event.was), "now": self._policy(event.now)}
        return " ".join(self.words.entries[key].format_map(facts).split())

    def _policy(self, value: str) -> str:
        """Return the value of a policy: a quantity as people write it, other text as it stands."""
        figure = _measure(value.split())
        return self.words.write(figure) if figure is not None else value or self.words.say("policy.site.none")

    def name(self, person: str) -> str:
        """Return a person's name; the id where nobody of that id is known any more."""
        return self.names.get(person, person) if person else self.words.say("told.nobody")

    def _said(self, field: str, value: Any) -> str:
        """Return one field of an entry as text."""
        if isinstance(value, tuple):
            return ", ".join(self._said(field, one) for one in value)
        if field in PEOPLE:
            return self.name(value)
        if isinstance(value, bool):
            return self._code(field, "yes" if value else "no")
        if isinstance(value, Drug):
            return value.name
        if field == "drug_version":
            return self.words.say("told.drug_version", version=value) if value else ""
        if isinstance(value, Order):
            dose, patient = dose_text(value, self.words), value.patient.name
            return self.words.say("told.order", drug=value.drug.name, dose=dose, patient=patient)
        if isinstance(value, Container):
            return self.words.say("told.container", name=value.product.label_name, lot=value.lot)
        if field == "drug":  # entries about the drug list name a drug by its id: its words joined
            return str(value).replace("_", " ")
        if field == "container":
            return self.containers.get(value, value)
        if field == "name":
            return policy_name(self.words, value)
        if field in DEVICES:
            return device_name(self.words, self.rules, value)
        if field == "value":
            return self._reading(value)
        if isinstance(value, datetime):
            value = value.astimezone(self.zone)
        return self._code(field, value) if isinstance(value, str) else self.words.write(value)

    def _code(self, field: str, code: str) -> str:
        """Return the words of a code; the code itself where it has none."""
        slug = code.replace(" ", "_")
        shared = (f"{table}.{slug}" for table in ("second", "discard", "matter", "copy"))
        keys = (f"told.{field}.{slug}", *shared, f"step.{slug}.text", f"finding.{slug}.what")
        said = next((self.words.entries[key] for key in keys if key in self.words.entries), code)
        return _HOLE.sub("…", said).replace("….", "…")

    def _refusal(self, code: str, facts: Mapping[str, str]) -> str:
        """Return what was refused, in the words the person saw, or its code where they have changed."""
        for kind in ("refusal", "finding"):
            template = self.words.entries.get(f"{kind}.{code}.what")
            if template is not None:
                try:
                    return template.format_map(facts)
                except KeyError:
                    break
        return code.replace("_", " ")

    def _reading(self, value: str) -> str:
        """Return what somebody stated, for people: a quantity, a needle, or containers."""
        if "|" in value:
            return value.replace("|", " ")
        words = value.split()
        figure = _measure(words[-2:])
        if len(words) == 4 and figure is not None:
            return f"{words[0]} {words[1]} {self.words.write(figure)}"
        figure = _measure(words) if len(words) == 2 else None
        return self.words.write(figure) if figure is not None else self._code("content", value)


def teller(
    words: Words, rules: Rules, people: People, entries: Sequence[Recorded], zone: tzinfo | None
) -> Teller:
    """Return who tells these entries: with the names of everybody and every container in them.

    ``zone`` is that of the counter's clock; None means the machine's own.
    """
    ids = {id for entry in entries for id in _people_in(entry.event)}
    known = {id: people.person(id) for id in ids}
    names = {id: person.name for id, person in known.items() if person is not None}
    taken = (entry.event.container for entry in entries if isinstance(entry.event, ContainerTaken))
    containers = {c.id: words.say("told.container", name=c.product.label_name, lot=c.lot) for c in taken}
    return Teller(words, rules, names, zone, containers)


def teller_of(driver: Driver, events: Sequence[AnyEvent]) -> Teller:
    """Return who tells some entries at a counter, with the names of everybody in them."""
    now = driver.desk.now()
    entries = [Recorded(0, now, cast(Event, event)) for event in events]
    return teller(driver.words, driver.desk.rules, driver.people, entries, now.tzinfo)


def policy_name(words: Words, name: str) -> str:
    """Return what a policy is called: by its words, or the site's file and the row in it."""
    if f"policy.{name}.text" in words.entries:
        return words.entries[f"policy.{name}.text"]
    kind, _, rest = name.partition(".")
    table, _, row = rest.partition(".")
    return words.say("policy.site.text", table=table, row=row) if kind == "site" else name


def _people_in(event: AnyEvent) -> Iterator[str]:
    """Yield the ids of the people an entry names."""
    for one in fields(event):
        value = getattr(event, one.name)
        if one.name in PEOPLE:
            yield from value if isinstance(value, tuple) else (value,)


def _measure(words: list[str]) -> Measure | None:
    """Return a quantity from its canonical two words, or None."""
    try:
        number, unit = words
        measure = Measure(Fraction(number), unit)
        measure.is_like(unit)
    except (ValueError, UnknownUnit, ZeroDivisionError):
        return None
    return measure
