"""The pages of the weaker forms of check: the pause before a self-check, and the call for a witness."""

from __future__ import annotations

import math

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.preparation.two_people import owed_form
from kiosk.pages.parts import Ground, Key, Page, ScanWanted, StepCard, Weight
from kiosk.pages.slip import framed
from kiosk.pages.view import View


def waiting(view: View) -> Page:
    """Return the page of a form that is still to be begun."""
    return pause(view) if owed_form(view.the) is CheckForm.SELF else call_witness(view)


def pause(view: View) -> Page:
    """One person checks alone: figures are gone, and so much time must pass that the eye is fresh."""
    words, until = view.words, view.the.pause_until
    whole = math.ceil(view.rules.self_check_pause.to("s").value)
    go_on = words.say("key.begin_check")
    left = max(0, math.ceil((until - view.now).total_seconds())) if until else 0
    page = Page(
        "self-check-pause",
        Ground.CHECKER,
        words.say("self_check.question"),
        words.say("self_check.help"),
        StepCard(
            count="",
            text=words.say("self_check.text"),
            detail=words.say("self_check.detail"),
            done=Key("begin-self-check", go_on, weight=Weight.PRIMARY, enabled=left == 0),
            wait_s=whole,
            left_s=min(left, whole),
        ),
    )
    return framed(view, page)


def call_witness(view: View) -> Page:
    """Another person looks at syringe, container and order together; they read nothing themselves."""
    words = view.words
    page = Page(
        "call-witness",
        Ground.CHECKER,
        words.say("witness.question"),
        words.say("witness.help"),
        ScanWanted(words.say("witness.scan"), words.say("witness.how")),
    )
    return framed(view, page)
