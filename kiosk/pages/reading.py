"""Setting and reading the plunger on the blank picture of the very syringe, by anyone who reads it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from kiosk.core.apparatus import drawing
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.units import Measure
from kiosk.pages.controls import number_entry
from kiosk.pages.parts import Ground, Key, NumberEntry, Page, PlungerSetter, Weight
from kiosk.pages.slip import framed
from kiosk.pages.view import View

STEPS = (-10, -1, 1, 10)


def half_line(syringe: Syringe) -> Measure:
    """Return the smallest step of the setter: half of one graduation."""
    return syringe.graduation.scaled(Fraction(1, 2))


def moved(syringe: Syringe, at: Measure, half_lines: int) -> Measure:
    """Return the plunger moved by so many half-lines, kept within the scale."""
    wanted = at + half_line(syringe).scaled(half_lines)
    nothing = Measure.of(0, at.unit)
    return max(nothing, min(wanted, syringe.nominal.to(at.unit)))


def dragged(syringe: Syringe, millimetres: Decimal) -> Measure:
    """Return the half-line nearest to a place ``millimetres`` along the scale from its zero line."""
    step = half_line(syringe)
    share = Fraction(millimetres) / syringe.scale_length.to("mm").value
    lines = round(share * syringe.nominal.ratio(step))
    return moved(syringe, Measure.of(0, step.unit), lines)


def plunger_setter(view: View, syringe: Syringe) -> PlungerSetter:
    """Return the blank syringe with its keys; it shows no figure and no line to reach."""
    words = view.words
    at = view.sitting.plunger or Measure.of(0, syringe.nominal.unit)
    scale = drawing.scale_place(syringe)
    keys = tuple(
        Key(f"plunger:{n}", words.say(f"plunger.{n}"), spoken=words.say(f"plunger.{n}_spoken")) for n in STEPS
    )
    return PlungerSetter(
        picture=drawing.syringe_picture(syringe, at, blank=True, lens=False, language=words.language),
        at_mm=drawing.position_at(syringe, at),
        axis=scale.axis,
        zero_mm=scale.zero_mm,
        scale_mm=scale.scale_mm,
        steps=keys,
        by_number=Key("by-number", words.say("key.by_number")),
        commit=Key(
            "commit",
            words.say("key.commit"),
            words.say("key.commit_hint"),
            weight=Weight.PRIMARY,
            enabled=at.value > 0,
        ),
    )


def plunger_control(view: View, syringe: Syringe) -> PlungerSetter | NumberEntry:
    """Return the setter, or the number pad when the reader prefers to type the reading."""
    if view.sitting.showing == "by-number":
        return number_entry(view, syringe.nominal.unit)
    return plunger_setter(view, syringe)


def reading(view: View, syringe: Syringe) -> Page:
    """The preparer commits where the plunger stands."""
    words = view.words
    page = Page(
        "reading",
        Ground.BENCH,
        words.say("reading.question"),
        words.say("reading.help"),
        plunger_control(view, syringe),
    )
    return framed(view, page)
