"""The one-page record of a syringe, from its entries in the ledger: what was done, with what, by whom."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Final, TypeVar

from kiosk.core.findings import Refusal
from kiosk.core.label.code import Kind, printed_code
from kiosk.core.label.sheet import PreparationSheet, SheetSection, WorkingColumn
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.checking import label_code
from kiosk.core.preparation.in_use_events import InUseLabelAsked, InUseLabelSaid
from kiosk.core.preparation.state import Preparation, fold
from kiosk.flow.ports import Recorded
from kiosk.pages.device_names import device_name, needle_taken
from kiosk.pages.record_words import Teller
from kiosk.pages.slip import slip

E = TypeVar("E")
Rows = tuple[tuple[str, str], ...]
FORMS: Final = {"dimensional": "working.dimensional", "desired over have": "working.desired_over_have"}
ODD: Final = (e.Refused, e.Acknowledged, e.Differed, e.ContainerSeenAgain, e.Resumed)


def preparation_sheet(
    preparation: str, entries: Sequence[Recorded], teller: Teller
) -> PreparationSheet | Refusal:
    """Return what the page says, or ``no_such_syringe`` when the record holds none of that id."""
    state = fold(preparation, (entry.event for entry in entries))
    if state is None:
        return Refusal("no_such_syringe", {"syringe": preparation})
    book = _Book(state, tuple(entries), teller)
    say = teller.words.say
    return PreparationSheet(
        title=f"{state.order.drug.name} {slip(state.order, teller.words).dose}",
        subtitle=", ".join((state.order.patient.name, *slip(state.order, teller.words).patient_lines[:1])),
        code=printed_code(Kind.SYRINGE, label_code(state)),
        sections=tuple(section for section in book.sections() if section.rows),
        working_heading=say("sheet.working") if book.working() else "",
        working=book.working(),
        foot=say("sheet.foot", first=entries[0].seq, last=entries[-1].seq, count=len(entries)),
    )


class _Book:
    """The entries of one syringe, asked for what each section needs."""

    def __init__(self, state: Preparation, entries: tuple[Recorded, ...], teller: Teller) -> None:
        self._state, self._entries, self._teller = state, entries, teller
        self._words = teller.words

    def sections(self) -> Iterator[SheetSection]:
        """Yield the sections in reading order; one with nothing in it has no rows."""
        parts = {
            "order": self._order(),
            "stock": self._stock(),
            "devices": self._devices(),
            "people": self._people(),
            "findings": self._findings(),
            "label": self._label(),
            "rest": self._rest(),
        }
        for name, rows in parts.items():
            yield SheetSection(self._words.say(f"sheet.{name}"), rows)

    def working(self) -> tuple[WorkingColumn, ...]:
        """Return the written forms of the working; none for a syringe that never had enough stock."""
        plan = plans.plan(self._state, self._entries[0].at) if self._state.enough else None
        if plan is None or isinstance(plan, Refusal):
            return ()
        return tuple(
            WorkingColumn(
                self._words.say(key), tuple(line.text for line in plan.working if line.form == form)
            )
            for form, key in FORMS.items()
        )

    def _order(self) -> Rows:
        order, shown = self._state.order, slip(self._state.order, self._words)
        return self._named(
            ("dose", ", ".join((shown.dose, *shown.lines))),
            ("due", self._when(order.due)),
            ("prescriber", order.prescriber),
            ("written", order.as_written),
            ("patient", "; ".join(shown.patient_lines[1:])),
            ("allergies", ", ".join(shown.allergies)),
        )

    def _stock(self) -> Rows:
        taken = [entry for entry in self._entries if isinstance(entry.event, e.ContainerTaken)]
        return tuple((self._time(entry.at), self._teller.sentence(entry.event)) for entry in taken)

    def _devices(self) -> Rows:
        state, rules = self._state, self._teller.rules
        rows = []
        if state.syringe is not None:
            name = device_name(self._words, rules, state.syringe.syringe)
            rows.append(("syringe", self._words.say("sheet.set_to", name=name, line=state.syringe.line)))
        if state.draw_up is not None and state.draw_up.device:
            rows.append(("draw_up", device_name(self._words, rules, state.draw_up.device)))
        if state.needle is not None:
            rows.append(("needle", needle_taken(self._words, state.needle)))
        if state.plunger is not None:
            rows.append(("plunger", self._words.write(state.plunger.position)))
        return self._named(*rows)

    def _people(self) -> Rows:
        rows = [("prepared", f"{self._teller.name(self._state.preparer)}, {self._when(self._entries[0].at)}")]
        for entry in self._entries:
            if isinstance(entry.event, e.Vouched):
                rows.append(("vouched", f"{self._teller.sentence(entry.event)} {self._when(entry.at)}"))
        checks = [one for one in self._of(e.Stated) if one.by != self._state.preparer]
        if checks:
            took = sum(one.took_s for one in checks)
            name = self._teller.name(checks[-1].by)
            rows.append(("checked", self._words.say("sheet.check_took", name=name, seconds=took)))
        return self._named(*rows)

    def _findings(self) -> Rows:
        odd = Counter(self._teller.sentence(x.event) for x in self._entries if isinstance(x.event, ODD))
        return tuple((self._words.say("sheet.times", count=count), said) for said, count in odd.items())

    def _label(self) -> Rows:
        kinds = (e.LabelEnded, e.LabelSeen, e.LabelScannedBack)
        return self._told(*kinds)

    def _rest(self) -> Rows:
        labels = (InUseLabelAsked, e.InUseLabelEnded, InUseLabelSaid)
        return self._told(e.RestAccounted, *labels, e.Finished, e.Discarded)

    def _told(self, *kinds: type[e.Event]) -> Rows:
        """Return the entries of these kinds, each with its time."""
        told = (entry for entry in self._entries if isinstance(entry.event, kinds))
        return tuple((self._time(entry.at), self._teller.sentence(entry.event)) for entry in told)

    def _of(self, kind: type[E]) -> list[E]:
        return [entry.event for entry in self._entries if isinstance(entry.event, kind)]

    def _named(self, *rows: tuple[str, str]) -> Rows:
        """Return rows with their names in words; an empty one is left out."""
        return tuple((self._words.say(f"sheet.{name}"), text) for name, text in rows if text)

    def _when(self, at: datetime) -> str:
        return self._words.write(at.astimezone(self._teller.zone))

    def _time(self, at: datetime) -> str:
        return self._words.time(at.astimezone(self._teller.zone))
