"""The in-use label of a vial that goes back: on its way, did it come out, print again or write by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.catalogue.container import Container
from kiosk.core.label.says import InUseFields
from kiosk.core.preparation import in_use_labels as labels
from kiosk.core.preparation.state import Preparation
from kiosk.pages.parts import Ground, Key, Page, Statement, Weight
from kiosk.pages.slip import framed
from kiosk.pages.stock import container_in_hand
from kiosk.pages.view import View

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

COPY_BECAUSE = ("unreadable", "lost", "spoiled")


def owed(state: Preparation) -> tuple[Container, ...]:
    """Return the vials that go back and whose label is not on them yet."""
    return labels.owed(state.taken, state.rest, state.in_use)


def as_it_stands(driver: Driver, state: Preparation, container: str) -> Container:
    """Return the vial as it stands opened: of that lot, and opened when its rest was accounted for."""
    taken = next(c for c in state.taken if c.id == container)
    at = driver.press_room.kept_at(state, container)
    held = driver.shelf.containers_of(taken.product.drug.id, driver.desk.now())
    return next(c for c in held if (c.product.id, c.lot, c.opened_at) == (taken.product.id, taken.lot, at))


def says(driver: Driver, state: Preparation, vial: Container) -> InUseFields:
    """Return what the label of a vial says; it names whoever opened it."""
    initials = driver.desk.rules.people[state.preparer].initials
    return driver.press_room.in_use_says(state, vial, initials, driver.desk.now())


def page(driver: Driver, view: View) -> Page:
    """Return the page for the first vial whose label is not on it."""
    vial = owed(view.the)[0]
    outcome = labels.label_of(vial.id, view.the.in_use).outcome
    if view.sitting.printing:
        return _framed(view, "in-use-printing", "in_use_printing", Statement((), ()), Ground.BENCH)
    if outcome in labels.OPEN:
        return _unknown(view, vial)
    return _again(driver, view, vial)


def _unknown(view: View, vial: Container) -> Page:
    """Nobody knows whether the label came out: ask, never repeat."""
    words = view.words
    keys = (
        Key(f"in-use-said:{labels.ON_PAPER}:{vial.id}", words.say("key.on_paper"), weight=Weight.PRIMARY),
        Key(f"in-use-said:{labels.NO_PAPER}:{vial.id}", words.say("key.no_paper")),
    )
    look = (words.say("label_unknown.look"),)
    return _framed(view, "in-use-unknown", "in_use_unknown", Statement(look, keys), Ground.TROUBLE)


def _again(driver: Driver, view: View, vial: Container) -> Page:
    """The label did not come out: print it again, or write on the vial what it would have said."""
    words = view.words
    said = says(driver, view.the, as_it_stands(driver, view.the, vial.id))
    lines = (
        words.say("in_use_label.write", drug=said.drug, strength=said.strength),
        words.say("in_use_label.until", until=said.discard_after),
        words.say("in_use_label.opened", opened=said.opened, by=said.opened_by, left=said.left),
    )
    keys = (
        Key(f"in-use-again:{vial.id}", words.say("key.print_in_use"), weight=Weight.PRIMARY),
        Key(f"in-use-said:{labels.BY_HAND}:{vial.id}", words.say("key.written_by_hand")),
    )
    return _framed(view, "in-use-label", "in_use_label", Statement(lines, keys), Ground.TROUBLE)


def why_again(view: View) -> Page:
    """A further copy of an in-use label is asked for: why?"""
    words = view.words
    keys = tuple(Key(f"in-use-copy:{reason}", words.say(f"copy.{reason}")) for reason in COPY_BECAUSE)
    back = Key("back", words.say("key.back"))
    return _framed(view, "in-use-copy", "in_use_copy", Statement((), (*keys, back)), Ground.BENCH)


def again_key(view: View) -> tuple[Key, ...]:
    """Return the key that asks for the label of a vial once more, where one of this syringe goes back."""
    back = labels.newly_opened(view.the.taken, view.the.rest)
    return (Key("in-use-spoilt", view.words.say("key.print_in_use_again")),) if back else ()


def _framed(view: View, id: str, key: str, control: Statement, ground: Ground) -> Page:
    """Return a page of the in-use label with slip, stages and foot around it."""
    words = view.words
    lots = tuple(vial.lot for vial in owed(view.the))
    question, helped = words.say(f"{key}.question"), words.say(f"{key}.help", lots=lots)
    made = Page(id, ground, question, helped, control, in_hand=container_in_hand(view))
    return framed(view, made)
