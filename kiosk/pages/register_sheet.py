"""A sheet of the register of controlled drugs in words: what moved, for whom, before whom, the balance."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Final

from kiosk.core.label.table_sheet import TableSheet
from kiosk.core.stock.holding import WHOLE
from kiosk.core.stock.waste import Reason
from kiosk.core.units import Measure
from kiosk.flow.stock_keeping import Controlled, LastCount, RegisterLine
from kiosk.pages.words import Words

HEADINGS: Final = ("number", "at", "what", "lot", "came", "used", "gone", "balance", "people")
Name = Callable[[str], str]


def register_sheet(
    one: Controlled,
    lines: Sequence[RegisterLine],
    counts: Sequence[LastCount],
    words: Words,
    name: Name,
    now: datetime,
) -> TableSheet:
    """Return the sheet of one drug and strength, oldest entry first; ``name`` gives a person's name by id.

    The counts at hand-over stand between the lines, where they were made.
    """
    unit = words.say("keeping.pieces") if one.sheet.unit == WHOLE else one.sheet.unit
    headings = tuple(words.say(f"register.{heading}", unit=unit) for heading in HEADINGS)
    balance = lines[-1].balance if lines else one.balance
    moved = [((line.entry, line.number), _row(line, words, name, now)) for line in lines]
    counted = [((count.entry, 0), _counted(count, words, name, now)) for count in counts]
    return TableSheet(
        title=sheet_name(one),
        subtitle=words.say("register.subtitle", at=now, balance=bare(words, balance), unit=unit),
        headings=headings,
        rows=tuple(row for _, row in sorted((*moved, *counted), key=lambda found: found[0])),
        foot=words.say("register.foot"),
        page=words.entries["register.page"],
        empty=words.say("register.empty"),
    )


def sheet_name(one: Controlled) -> str:
    """Return the name of a sheet for people: the drug as the list writes it, and the strength."""
    return one.product.drug.name + one.sheet.id.removeprefix(one.sheet.drug)


def bare(words: Words, amount: Measure | None) -> str:
    """Return an amount without its unit, which stands over the column; nothing for none."""
    return "" if amount is None else words.write(amount.decimal)


def _row(line: RegisterLine, words: Words, name: Name, now: datetime) -> tuple[str, ...]:
    """Return the cells of one line."""
    gone = line.wasted if line.wasted is not None else line.sent
    return (
        str(line.number),
        words.write(line.at.astimezone(now.tzinfo)),
        _what(line, words),
        line.lot,
        bare(words, line.came),
        bare(words, line.used),
        bare(words, gone),
        bare(words, line.balance),
        words.say("register.two", one=name(line.person), other=name(line.other)),
    )


def _counted(count: LastCount, words: Words, name: Name, now: datetime) -> tuple[str, ...]:
    """Return the cells of a count: it moves nothing and has no number of its own."""
    at = words.write(count.at.astimezone(now.tzinfo))
    people = words.say("register.two", one=name(count.said.by), other=name(count.said.witness))
    return ("", at, count_said(count, words), "", "", "", "", "", people)


def count_said(count: LastCount, words: Words) -> str:
    """Return what a count said: how many there were and, where it did not agree, how many were booked."""
    said = count.said
    facts = {name: getattr(said, name) for name in ("sealed", "opened", "sealed_booked", "opened_booked")}
    return words.say("register.count_agrees" if said.agrees else "register.count_differs", **facts)


def _what(line: RegisterLine, words: Words) -> str:
    """Return what happened: for whom, under which label, why."""
    said = [words.say(f"register.move.{line.move}".replace(" ", "_"))]
    if line.patient:
        said.append(words.say("register.whom", patient=line.patient, code=line.code))
    if line.reason and line.move not in ("received", "put back"):
        said.append(reason_said(words, line.reason))
    return ", ".join(said)


def reason_said(words: Words, reason: str) -> str:
    """Return a reason in words: one of waste, or one that was chosen; anything else as it stands."""
    of_waste = next((f"waste_reason.{one.name.lower()}.text" for one in Reason if one.value == reason), "")
    keys = (of_waste, f"keeping.because.{reason.replace(' ', '_')}")
    return next((words.entries[key] for key in keys if key in words.entries), reason)
