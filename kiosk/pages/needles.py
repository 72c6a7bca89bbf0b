"""The two choices of needle, never confused: what fills the syringe, what goes into the patient."""

from __future__ import annotations

from kiosk.core.apparatus import drawing
from kiosk.core.apparatus.choices import NeedleOption
from kiosk.core.catalogue.devices import InjectionNeedle
from kiosk.core.findings import Level
from kiosk.core.preparation import plans
from kiosk.pages.making import said, syringe_in_hand
from kiosk.pages.parts import Choice, Choices, Ground, InHand, Key, Page
from kiosk.pages.slip import framed, shown_length
from kiosk.pages.view import View

SIDE_BY_SIDE = 3
"""How many needles stand life-size beside one another on the smallest screen meant."""


def draw_up_device(view: View) -> Page:
    """What fills the syringe; never what goes into the patient."""
    words = view.words
    options = plans.draw_up_options(view.the, view.rules)
    choices = tuple(
        Choice(
            Key(
                f"choose:{o.device.id if o.device else ''}",
                words.say(
                    "device.name",
                    kind=o.device.kind.value,
                    gauge=o.device.gauge,
                    length=shown_length(o.device.length),
                )
                if o.device
                else words.say("device.none"),
                enabled=o.allowed,
            ),
            said(view, o.findings, Level.CAUTION, Level.NOTE),
            " ".join(said(view, o.findings, Level.STOP)),
            words.say("choice.best") if o is options[0] and o.allowed else "",
        )
        for o in options
    )
    page = Page(
        "draw-up-device",
        Ground.BENCH,
        words.say("device.question"),
        words.say("device.help"),
        Choices(choices),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def needle(view: View) -> Page:
    """The needle for the patient, read off the pack by number."""
    words = view.words
    options = plans.needle_options(view.the, view.rules, view.now)
    allowed = [o for o in options if o.allowed]
    shown = tuple(o.needle for o in options)[:SIDE_BY_SIDE]
    page = Page(
        "needle",
        Ground.BENCH,
        words.say("needle.question"),
        words.say("needle.help"),
        Choices(tuple(_needle_choice(view, option, option is options[0]) for option in options)),
        in_hand=InHand(
            words.say("in_hand.needles"),
            words.say("in_hand.life_size"),
            drawing.needles_picture(shown, allowed[0].needle if allowed else None, language=words.language),
            needle_name(view, allowed[0]) if allowed else words.say("needle.none_fits"),
            reduced_word=words.say("in_hand.reduced"),
        ),
        keys=(Key("gauges", words.say("key.gauges")),),
    )
    return framed(view, page)


def needle_name(view: View, option: NeedleOption) -> str:
    """Return the needle of an option by its numbers."""
    return needle_words(view, option.needle)


def needle_words(view: View, needle: InjectionNeedle) -> str:
    """Return a needle by its numbers: gauge, length in mm and in inches as packs print them."""
    key = "needle.name" if needle.inch_text else "needle.name_mm"
    return view.words.say(
        key, gauge=needle.gauge, length=shown_length(needle.length), inches=needle.inch_text
    )


def _needle_choice(view: View, option: NeedleOption, first: bool) -> Choice:
    words = view.words
    flow: tuple[str, ...] = ()
    if option.seconds is not None and option.newtons is not None:
        flow = (words.say("needle.flow", seconds=option.seconds, newtons=option.newtons),)
    return Choice(
        Key(f"choose:{option.needle.id}", needle_name(view, option), enabled=option.allowed),
        flow + said(view, option.findings, Level.CAUTION, Level.NOTE),
        " ".join(said(view, option.findings, Level.STOP)),
        words.say("choice.best") if first and option.allowed else "",
    )
