"""Setting and reading the plunger on the blank picture of the very syringe, by anyone who reads it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from kiosk.core.apparatus import drawing
from kiosk.core.apparatus.prefilled import is_own
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.units import Measure
from kiosk.pages.controls import number_entry
from kiosk.pages.parts import Choices, Ground, Key, NumberEntry, Page, PlungerSetter, Weight
from kiosk.pages.prefilled import SCALE, asks_for_content, content_control
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


def plunger_control(view: View, syringe: Syringe) -> PlungerSetter | NumberEntry | Choices:
    """Return the setter, or the number pad where the reader prefers to type; what it holds, if prefilled."""
    if asks_for_content(view, syringe):
        return content_control(view.words, syringe)
    if view.sitting.showing == "by-number":
        return number_entry(view, syringe.nominal.unit)
    return plunger_setter(view, syringe)


def back_from_scale(view: View, syringe: Syringe) -> tuple[Key, ...]:
    """Return the way back from reading a line of a prefilled syringe to what it holds."""
    on_scale = is_own(syringe.id) and view.sitting.showing in SCALE
    return (Key("back", view.words.say("key.back")),) if on_scale else ()


def reading(view: View, syringe: Syringe) -> Page:
    """The preparer commits where the plunger stands."""
    words = view.words
    asked = "content" if asks_for_content(view, syringe) else "reading"
    page = Page(
        asked,
        Ground.BENCH,
        words.say(f"{asked}.question"),
        words.say(f"{asked}.help"),
        plunger_control(view, syringe),
        keys=back_from_scale(view, syringe),
    )
    return framed(view, page)
