"""Before a syringe: the door, the PIN, the due list, the order to take up."""

from __future__ import annotations

from dataclasses import replace

from kiosk.core.catalogue.people import Role
from kiosk.core.checks.check import OrderCase, run
from kiosk.core.dose.order import DoseRange, Order
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.preparation.listing import as_listed
from kiosk.pages.controls import number_entry, pin_entry
from kiosk.pages.parts import (
    DueList,
    DueRow,
    FindingCard,
    Ground,
    Key,
    Page,
    ScanWanted,
    Statement,
    Weight,
)
from kiosk.pages.slip import dose_text, foot, framed, slip
from kiosk.pages.view import View

ROWS = 4


def door(view: View) -> Page:
    """Nobody is signed on: a badge is wanted, no figure is on the screen."""
    words = view.words
    return Page(
        id="door",
        ground=Ground.DOOR,
        question=words.say("door.question"),
        help=words.say("door.help"),
        control=ScanWanted(words.say("door.badge"), words.say("door.how")),
        findings=view.sitting.cards,
        foot=foot(view),
        heard=view.sitting.heard,
        sound=view.sitting.sound,
    )


def pin(view: View, ground: Ground = Ground.DOOR) -> Page:
    """A badge was read: its PIN is wanted."""
    words, who = view.words, view.sitting.badge_of
    return Page(
        id="pin",
        ground=ground,
        question=words.say("pin.question"),
        help=words.say("pin.help"),
        control=pin_entry(view, who.name if who else words.say("pin.somebody")),
        findings=view.sitting.cards,
        foot=replace(foot(view), stop=None),
        keys=(Key("back", words.say("key.back")),),
        sound=view.sitting.sound,
    )


def _note(order: Order, view: View) -> str:
    """Return what is to be said of a due order: which part of a dose it is, that it is late."""
    words = view.words
    part = words.say("due.part", part=order.part, parts=order.parts) if order.parts > 1 else ""
    late = words.say("due.late") if order.due < view.now else ""
    return ", ".join(text for text in (part, late) if text)


def due(view: View) -> Page:
    """The orders due, earliest first."""
    words, orders, first = view.words, view.due, view.sitting.due_from
    shown = orders[first : first + ROWS]
    rows = tuple(
        DueRow(
            key=Key(f"order:{order.id}", words.say("key.take_up")),
            due=words.time(order.due),
            patient=order.patient.name,
            place=order.patient.place,
            drug=order.drug.name,
            dose=dose_text(order, words),
            note=_note(order, view),
        )
        for order in shown
    )
    control = DueList(
        rows=rows,
        earlier=Key("earlier", words.say("key.earlier"), enabled=first > 0),
        later=Key("later", words.say("key.later"), enabled=first + ROWS < len(orders)),
        position=words.say("due.position", first=first + 1, last=first + len(shown), count=len(orders)),
        empty=words.say("due.empty") if not orders else "",
    )
    page = Page(
        "due", Ground.BENCH, words.say("due.question"), words.say("due.help"), control, keys=_beside(view)
    )
    return framed(view, page)


def _beside(view: View) -> tuple[Key, ...]:
    """Return what a person can do here besides taking up a dose."""
    person, words = view.sitting.person, view.words
    own_pin = Key("own-pin", words.say("key.own_pin"))
    if person is None or Role.KEEPER not in person.roles:
        return (own_pin,)
    left = tuple(
        Key(f"left:{s.id}", words.say("key.left", drug=s.order.drug.name, patient=s.order.patient.name))
        for s in view.left[:1]
    )
    return (own_pin, Key("keepers-desk", words.say("key.keepers_desk")), *left)


def order_findings(view: View) -> tuple[Finding, ...]:
    """Return what the checks say of the order on the screen, heaviest first."""
    order = view.sitting.order
    assert order is not None
    known = as_listed(order, view.rules.listed, view.now)
    found = run(view.rules.order_checks, OrderCase(known, view.now))
    weight = list(Level)
    return tuple(sorted(found, key=lambda f: weight.index(f.level)))


def _not_listed(view: View, order: Order) -> tuple[FindingCard, ...]:
    """Return a card that says why the drug has no entry in force, where it has none."""
    found = view.rules.listed(order.drug, view.now)
    return (view.words.refusal(found),) if isinstance(found, Refusal) else ()


def order(view: View) -> Page:
    """One order, whole, to be read and taken up; a range asks for the dose first."""
    words, chosen = view.words, view.sitting.order
    assert chosen is not None
    cards = _not_listed(view, chosen) + tuple(words.finding(f) for f in order_findings(view))
    chosen = as_listed(chosen, view.rules.listed, view.now)
    stopped = any(card.level == "stop" for card in cards)
    open_range = isinstance(chosen.dose, DoseRange) and chosen.dose.chosen is None
    back = Key("back", words.say("key.back_to_list"))
    if open_range and not stopped:
        assert isinstance(chosen.dose, DoseRange)
        page = Page(
            "order-range",
            Ground.BENCH,
            words.say("order.range_question"),
            words.say("order.range_help", low=chosen.dose.low, high=chosen.dose.high),
            number_entry(view, chosen.dose.low.unit),
            slip=slip(chosen, words),
            keys=(back,),
            findings=cards,
        )
        return framed(view, page)
    careful = any(card.level == "caution" for card in cards)
    go = Key(
        "take-up",
        words.say("key.dealt_with") if careful else words.say("key.begin"),
        weight=Weight.PRIMARY,
        enabled=not stopped,
    )
    lines = tuple(words.say(f"order.read_{n}") for n in (1, 2, 3))
    page = Page(
        "order",
        Ground.BENCH,
        words.say("order.stopped" if stopped else "order.question"),
        words.say("order.stopped_help" if stopped else "order.help"),
        Statement(() if stopped else lines, (back,) if stopped else (go, back)),
        slip=slip(chosen, words),
        findings=cards,
    )
    return framed(view, page)
