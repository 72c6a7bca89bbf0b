"""What the trade calls a device, from its id: as its pack says it."""

from __future__ import annotations

from kiosk.core.apparatus.prefilled import is_own
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.preparation.events import NeedleTaken
from kiosk.core.preparation.plans import Rules
from kiosk.pages.slip import shown_length
from kiosk.pages.words import Words


def device_name(words: Words, rules: Rules, id: str) -> str:
    """Return a syringe, draw-up device or needle in words; the id for one no longer kept, none for none."""
    if not id:
        return words.say("told.nothing")
    if is_own(id):
        return words.say("told.prefilled")
    for syringe in rules.syringes:
        if syringe.id == id:
            return syringe_said(words, syringe)
    for device in rules.draw_up_devices:
        if device.id == id:
            facts = {"kind": device.kind.value, "gauge": device.gauge, "length": shown_length(device.length)}
            return words.say("device.name", **facts)
    fixed = (syringe.fixed_needle for syringe in rules.syringes if syringe.fixed_needle is not None)
    for needle in (*rules.needles, *fixed):
        if needle.id == id:
            return words.say("needle.name_mm", gauge=needle.gauge, length=shown_length(needle.length))
    return id


def syringe_said(words: Words, syringe: Syringe) -> str:
    """Return what a syringe is: size, tip, lines."""
    key = "syringe.name_insulin" if syringe.is_insulin else "syringe.name"
    tip = words.entries[f"tip.{syringe.tip.value}".replace(" ", "_")]
    return words.say(key, size=syringe.capacity, tip=tip, lines=syringe.graduation)


def needle_taken(words: Words, taken: NeedleTaken) -> str:
    """Return a needle by the numbers it was taken with: it may be fixed, or no longer kept."""
    if not taken.gauge:
        return words.say("told.nothing")
    # A record from elsewhere may hold anything; what is no length is told as it stands.
    length = shown_length(taken.length) if taken.length.is_like("mm") else taken.length
    return words.say("needle.name_mm", gauge=taken.gauge, length=length)
