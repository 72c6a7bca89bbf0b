"""Whole journeys at the counter, move by move: for the pictures, for tests, for anyone who wants to see.

A journey is written once, in the trade's order, for any ``Hand``: one that clicks a real window, or one
that speaks to the driver alone. It reads the page as a person would and touches only what is on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Protocol

from kiosk.core.catalogue.container import Container
from kiosk.feeds.ward import Ward
from kiosk.pages.parts import Choices, DueList, Page, StepCard


class Hand(Protocol):
    """What a person at the counter can do, and what they then see."""

    def page(self) -> Page:
        """Return the page that is on."""
        ...

    def press(self, name: str) -> None:
        """Touch a key that is on the page."""
        ...

    def scan(self, text: str) -> None:
        """Hold a code to the scanner."""
        ...

    def wait(self, page: str) -> Page:
        """Wait until the page of that id is on, and return it. Raises when it does not come."""
        ...

    def pass_time(self, seconds: int) -> None:
        """Let time go by at the counter."""
        ...

    def label_code(self) -> str:
        """Return what the scanner reads off the label that came out last."""
        ...

    def look(self, caption: str) -> None:
        """Keep a picture of the screen under a caption."""
        ...


@dataclass(frozen=True, slots=True)
class Cast:
    """The codes and answers a journey needs, read from the demo ward's own files."""

    badge: dict[str, str]
    pin: dict[str, str]
    given: dict[str, str]
    code: dict[str, str]


def cast(ward: Ward, given: dict[str, str]) -> Cast:
    """Return the cast of the demo's journeys; ``given`` is ``journeys.toml`` of the ward's folder."""
    staff = {one.person.id: one for one in ward.staff}
    who = {role: staff[given[role]] for role in ("preparer", "checker")}
    stock = {container.id: container for container in ward.containers}
    return Cast(
        badge={role: one.badge for role, one in who.items()},
        pin={role: one.pin for role, one in who.items()},
        given=given,
        code={what: symbol(stock[given[what]]) for what in ("ampoule", "insulin", "wrong")},
    )


def symbol(container: Container) -> str:
    """Return what the scanner sends for a container: a GS1 element string with GTIN, expiry, serial, lot."""
    parts = [f"]d201{container.product.gtin}17{container.expiry:%y%m%d}10{container.lot}"]
    if container.serial:
        parts.append(f"21{container.serial}")
    return "\x1d".join(parts)


@dataclass(frozen=True, slots=True)
class Journey:
    """One whole journey: its name, what it shows, and how it goes."""

    name: str
    shows: str
    goes: Callable[[Hand, Cast], None]


def sign_on(hand: Hand, cast: Cast, who: str) -> None:
    """Scan a badge and type its PIN."""
    hand.scan(cast.badge[who])
    hand.wait("pin")
    for digit in cast.pin[who]:
        hand.press(f"digit:{digit}")
    hand.press("commit")


def type_figure(hand: Hand, figure: str) -> None:
    """Type a figure on the number pad and commit it."""
    for character in figure:
        hand.press("point" if character == "." else f"digit:{character}")


def take_up(hand: Hand, order: str) -> None:
    """Find an order in the due list, page by page, and begin it."""
    page = hand.wait("due")
    while isinstance(page.control, DueList) and order not in _orders(page.control):
        assert page.control.later is not None
        hand.press("later")
        page = hand.page()
    hand.press(f"order:{order}")


def _orders(due: DueList) -> Iterator[str]:
    return (row.key.name.removeprefix("order:") for row in due.rows)


def choose(hand: Hand, page: str, containing: str = "") -> None:
    """Choose the first allowed choice of a page, or the first whose text contains some words."""
    control = hand.wait(page).control
    assert isinstance(control, Choices)
    allowed = [c for c in control.choices if c.key.enabled and containing in c.key.label]
    hand.press(allowed[0].key.name)


def draw_up(hand: Hand, watch: tuple[int, ...] = ()) -> None:
    """Do every step of drawing up, waiting where a step is timed; keep pictures of some."""
    turn = 0
    while isinstance(card := hand.page().control, StepCard):
        turn += 1
        if turn in watch:
            hand.look(f"draw up, step {turn}")
        if card.left_s:
            hand.pass_time(card.left_s)
        hand.press(card.done.name)


def set_plunger(hand: Hand, half_lines: int) -> None:
    """Move the plunger of the blank picture by so many half-lines, and commit."""
    for step in (10, 1):
        for _ in range(half_lines // step):
            hand.press(f"plunger:{step}")
        half_lines %= step


def ampoule_into_muscle(hand: Hand, cast: Cast) -> None:
    """An ampoule for an intramuscular dose, one person."""
    hand.wait("door")
    hand.look("nobody is signed on")
    sign_on(hand, cast, "preparer")
    hand.wait("due")
    hand.look("the doses due")
    take_up(hand, cast.given["ampoule_order"])
    hand.wait("order")
    hand.look("one order, whole")
    hand.press("take-up")
    hand.wait("stock")
    hand.look("find the container")
    hand.scan(cast.code["ampoule"])
    hand.wait("volume")
    type_figure(hand, cast.given["ampoule_figure"])
    hand.look("the preparer works it out")
    hand.press("commit")
    hand.wait("working")
    hand.look("then the kiosk shows its own")
    hand.press("go-on")
    hand.wait("syringe")
    hand.look("syringes, ranked")
    choose(hand, "syringe")
    hand.wait("draw-up-device")
    hand.look("glass wants a filter")
    choose(hand, "draw-up-device")
    hand.wait("needle")
    hand.look("the needle for the patient")
    choose(hand, "needle")
    hand.wait("draw-up")
    draw_up(hand, watch=(1, 5))
    hand.wait("reading")
    set_plunger(hand, int(cast.given["ampoule_half_lines"]))
    hand.look("where the plunger stands")
    hand.press("commit")
    _label_and_rest(hand)


def insulin_with_second_person(hand: Hand, cast: Cast) -> None:
    """A multi-dose vial of insulin under the skin, with an independent second person."""
    hand.wait("door")
    sign_on(hand, cast, "preparer")
    take_up(hand, cast.given["insulin_order"])
    hand.wait("order")
    hand.look("an insulin order")
    hand.press("take-up")
    hand.wait("stock")
    hand.scan(cast.code["insulin"])
    hand.wait("volume")
    type_figure(hand, cast.given["insulin_figure"])
    hand.look("units, not millilitres")
    hand.press("commit")
    hand.wait("working")
    hand.press("go-on")
    hand.wait("syringe")
    hand.look("only a barrel of the same units")
    choose(hand, "syringe")
    choose(hand, "needle")
    hand.wait("draw-up")
    draw_up(hand, watch=(3,))
    hand.wait("reading")
    set_plunger(hand, int(cast.given["insulin_half_lines"]))
    hand.look("the plunger in units")
    hand.press("commit")
    _second_person(hand, cast)
    hand.press("go-on")
    _label_and_rest(hand)


def _second_person(hand: Hand, cast: Cast) -> None:
    """The second person signs on and commits every reading blind."""
    hand.wait("call-second")
    hand.look("a second person is needed")
    sign_on(hand, cast, "checker")
    hand.wait("check-container")
    hand.look("the second person reads the container")
    hand.scan(cast.code["insulin"])
    hand.wait("check-figure")
    type_figure(hand, cast.given["insulin_figure"])
    hand.look("works it out alone")
    hand.press("commit")
    hand.wait("check-needle")
    hand.look("reads the needle off the pack")
    choose(hand, "check-needle")
    hand.wait("check-plunger")
    set_plunger(hand, int(cast.given["insulin_half_lines"]))
    hand.look("reads the plunger")
    hand.press("commit")
    hand.wait("compare")
    hand.look("where they agree")


def wrong_strength_refused(hand: Hand, cast: Cast) -> None:
    """The right drug in the wrong strength is held up and refused; the syringe is then given up."""
    hand.wait("door")
    sign_on(hand, cast, "preparer")
    take_up(hand, cast.given["wrong_order"])
    hand.wait("order")
    hand.press("take-up")
    hand.wait("stock")
    hand.scan(cast.code["wrong"])
    hand.wait("stock")
    hand.look("the wrong strength is refused")
    hand.press("stop")
    hand.wait("stopping")
    hand.look("why it is given up")
    hand.press("discard:wrong_object")
    hand.wait("due")
    hand.look("back at the list")


def _label_and_rest(hand: Hand) -> None:
    """Print, scan back from the barrel, account for the rest, sharps away."""
    hand.wait("label")
    hand.look("the label may be printed now")
    hand.press("print")
    hand.wait("scan-back")
    hand.look("scan it back from the barrel")
    hand.scan(hand.label_code())
    hand.wait("rest")
    hand.look("the rest of the container")
    page = hand.page()
    hand.press(next(k.name for k in getattr(page.control, "keys", ()) if k.name.startswith("rest:")))
    hand.wait("sharps")
    hand.look("sharps away")
    hand.press("finish")
    hand.wait("due")


JOURNEYS: tuple[Journey, ...] = (
    Journey("ampoule", "an ampoule for an intramuscular dose", ampoule_into_muscle),
    Journey("insulin", "insulin with an independent second person", insulin_with_second_person),
    Journey("refused", "the wrong strength, refused", wrong_strength_refused),
)
