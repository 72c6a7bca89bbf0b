"""The pages of a syringe that came filled: what it is, and what is asked of it instead of a line."""

from __future__ import annotations

from kiosk.core.apparatus import drawing
from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.prefilled import is_graduated, is_own, is_whole
from kiosk.core.catalogue.container import Form
from kiosk.core.catalogue.devices import Syringe
from kiosk.core.preparation.prefilled import CONTENTS
from kiosk.pages.parts import Choice, Choices, InHand, Key
from kiosk.pages.view import View
from kiosk.pages.words import Words

SCALE = ("by-scale", "by-number")
"""What is showing while a line of a prefilled syringe is read."""


def asks_for_content(view: View, syringe: Syringe) -> bool:
    """Say whether the question is what it holds, not where a plunger stands."""
    return is_own(syringe.id) and view.sitting.showing not in SCALE


def content_control(words: Words, syringe: Syringe) -> Choices:
    """Return what may be said of its content, none of it preferred; with lines, a line may be read instead.

    Whether the dose is all of it or part of it is not told.
    """
    said = [Choice(Key(f"choose:{one}", words.say(f"content.{one}".replace(" ", "_")))) for one in CONTENTS]
    if is_graduated(syringe):
        said.append(Choice(Key("by-scale", words.say("content.by_scale"))))
    return Choices(tuple(said))


def in_hand(view: View, option: SyringeOption) -> InHand:
    """Return the prefilled syringe as it lies in the hand: with its line where part of it is the dose."""
    words, setting, syringe = view.words, option.setting, option.syringe
    product = view.the.taken[0].product
    assert setting is not None
    if is_whole(syringe, setting.line):
        return InHand(
            words.say("in_hand.heading"),
            words.say("in_hand.not_to_scale"),
            drawing.container_picture(Form.PREFILLED),
            product.label_name,
            (words.say("prefilled.whole", dose=setting.dose_given), words.say("prefilled.by_maker")),
            words.say("in_hand.not_to_scale"),
            to_scale=False,
        )
    known = product.barrel is not None and product.barrel.bore is not None
    return InHand(
        words.say("in_hand.heading"),
        words.say("in_hand.life_size" if known else "in_hand.not_to_scale"),
        drawing.syringe_picture(syringe, setting.line, language=words.language),
        product.label_name,
        (words.say("syringe.line", line=setting.line),),
        words.say("in_hand.reduced" if known else "in_hand.not_to_scale"),
        to_scale=known,
    )
