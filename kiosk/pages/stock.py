"""The preparer's pages of the stock: find the container, read it, show it again after a gap."""

from __future__ import annotations

from dataclasses import replace

from kiosk.core.apparatus import drawing
from kiosk.core.catalogue.container import Container
from kiosk.core.findings import Refusal
from kiosk.core.preparation import plans
from kiosk.core.preparation.at_the_shelf import look_alikes_beside, take_first
from kiosk.pages.parts import Choice, Choices, FindingCard, Ground, InHand, Key, Page, ScanWanted
from kiosk.pages.slip import framed
from kiosk.pages.view import View
from kiosk.pages.words import Words

MOST_PRODUCTS = 3


def stock(view: View) -> Page:
    """Find the container: scan it, or pick it from the drawer list."""
    words, state = view.words, view.the
    found = plans.plan(state, view.now) if state.taken else None
    more = isinstance(found, Refusal)
    help_key = "stock.more_help" if more else "stock.help"
    facts = dict(found.facts) if isinstance(found, Refusal) else {}
    page = Page(
        "stock",
        Ground.BENCH,
        words.say("stock.more_question" if more else "stock.question", drug=state.order.drug.name),
        words.say(help_key, **facts),
        ScanWanted(
            words.say("stock.scan"), words.say("stock.how"), (Key("by-hand", words.say("key.by_hand")),)
        ),
        findings=_beside_said(view),
        in_hand=_to_take(view),
        keys=(Key("split", words.say("key.split")),) if view.sitting.too_much is not None else (),
    )
    return framed(view, page)


def _beside_said(view: View) -> tuple[FindingCard, ...]:
    """Return the word on what looks like the ordered drug, unless something weightier is on the screen."""
    notes = () if view.sitting.cards else look_alikes_beside(view.the, view.beside)
    return tuple(view.words.finding(note) for note in notes)


def _to_take(view: View) -> InHand:
    """Return what is to be taken first, by lot, expiry and drawer, as a picture with its words."""
    words, state = view.words, view.the
    found = take_first(state, view.beside, view.rules, view.now)[:MOST_PRODUCTS]
    if not found:
        return container_in_hand(view)
    first = found[0]
    lines = [line for one in found for line in _where(words, one, name=one is not first)]
    return InHand(
        words.say("take_first.next" if state.taken else "take_first.heading"),
        words.say("in_hand.not_to_scale"),
        drawing.container_picture(first.product.form),
        first.product.label_name,
        tuple(lines),
        words.say("in_hand.not_to_scale"),
        to_scale=False,
    )


def _where(words: Words, one: Container, *, name: bool) -> tuple[str, ...]:
    """Return which of a product to take and where it is; with its name where that stands nowhere else."""
    return (
        *((one.product.label_name,) if name else ()),
        words.say("in_hand.lot", lot=one.lot, expiry=one.expiry),
        words.say("take_first.open" if one.opened_at else "take_first.drawer", drawer=one.drawer),
    )


def best_first(view: View, choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
    """Return choices of containers with those to be taken first in front, and marked so."""
    keys = [f"choose:{one.id}" for one in take_first(view.the, view.beside, view.rules, view.now)]
    mark = view.words.say("take_first.mark")
    front = {c.key.name: replace(c, badge=mark) for c in choices if c.key.name in keys}
    return (*(front[key] for key in keys if key in front), *(c for c in choices if c.key.name not in front))


def verify(view: View) -> Page:
    """After a gap: show the containers again, or discard."""
    words = view.words
    page = Page(
        "verify",
        Ground.BENCH,
        words.say("verify.question"),
        words.say("verify.help"),
        ScanWanted(
            words.say("verify.scan"), words.say("stock.how"), (Key("by-hand", words.say("key.by_hand")),)
        ),
        in_hand=container_in_hand(view),
    )
    return framed(view, page)


def container_in_hand(view: View) -> InHand:
    """Return the container last taken, as a picture with its words."""
    words, state = view.words, view.the
    if not state.taken:
        return InHand(words.say("in_hand.heading"), "", None, words.say("in_hand.nothing"))
    container = state.taken[-1]
    return InHand(
        words.say("in_hand.heading"),
        words.say("in_hand.not_to_scale"),
        drawing.container_picture(container.product.form),
        container.product.label_name,
        (
            words.say("in_hand.form", form=container.product.form.value),
            words.say("in_hand.lot", lot=container.lot, expiry=container.expiry),
        ),
        words.say("in_hand.not_to_scale"),
        to_scale=False,
    )


def by_hand(view: View, containers: tuple[Choice, ...]) -> Page:
    """The containers of this drug in the drawers, to be picked without a scanner."""
    words = view.words
    page = Page(
        "by-hand",
        Ground.BENCH,
        words.say("by_hand.question"),
        words.say("by_hand.help"),
        Choices(containers),
        keys=(Key("back", words.say("key.back_to_scan")),),
    )
    return framed(view, page)


def container_choices(view: View, containers: tuple[Container, ...]) -> tuple[Choice, ...]:
    """Return containers as choices by what their labels say; the checks decide when one is held up."""
    words = view.words
    return tuple(
        Choice(
            Key(f"choose:{c.id}", c.product.label_name),
            (
                words.say("in_hand.form", form=c.product.form.value),
                words.say("in_hand.lot", lot=c.lot, expiry=c.expiry),
                *(
                    (words.say("in_hand.opened", opened=c.opened_at.astimezone(view.now.tzinfo)),)
                    if c.opened_at
                    else ()
                ),
            ),
        )
        for c in containers
    )
