"""One multi-dose vial of a controlled drug from the delivery to the count, as a journey for any hand.

Received before a witness, opened, used twice with a second person, past its discard time, refused, thrown
away before a witness; then the cupboard is counted and agrees.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from kiosk.feeds.own_codes import ORDER, make_own
from kiosk.feeds.pack_code import pack_code
from kiosk.feeds.ward import Ward
from kiosk.pages.live import keys_of
from kiosk.walkthrough.journeys import Hand, choose, draw_up, type_figure

LOT, EXPIRY, PACKS = "TWB9001", date(2028, 2, 29), 2
DAYS_IN_USE = 28


@dataclass(frozen=True, slots=True)
class Play:
    """What the journey needs: the ward, and a way for an order to come in at the hand's own time."""

    ward: Ward
    order_comes: Callable[[str, str], None]

    def badge(self, person: str) -> str:
        """A person's badge."""
        return next(one.badge for one in self.ward.staff if one.person.id == person)

    def pin(self, person: str) -> str:
        """A person's PIN."""
        return next(one.pin for one in self.ward.staff if one.person.id == person)


KEEPER, WITNESS, PREPARER, CHECKER = "K01", "W01", "N01", "N02"
PRODUCT = "ketamine-200mg-20ml"


def a_vials_life(hand: Hand, play: Play) -> None:
    """The whole of it."""
    receive(hand, play)
    play.order_comes("S1", "P09")
    prepare(hand, play, "S1", pack(play), first=True)
    label = hand.label_code()
    play.order_comes("S2", "P03")
    prepare(hand, play, "S2", label)
    hand.pass_time(DAYS_IN_USE * 24 * 3600)
    refused(hand, play, label)
    waste(hand, play, label)
    count(hand, play)


def pack(play: Play) -> str:
    """The symbol on the packs that come in."""
    product = next(one for one in play.ward.products if one.id == PRODUCT)
    return pack_code(product.gtin, EXPIRY, LOT)


def proved(hand: Hand, play: Play, person: str, pad: str) -> None:
    """Hold up a badge and type its PIN."""
    hand.pass_time(2)
    hand.scan(play.badge(person))
    hand.wait(pad)
    type_figure(hand, play.pin(person))
    hand.press("commit")


def to_the_stock(hand: Hand, play: Play) -> None:
    """A keeper signs on and goes to the stock."""
    proved(hand, play, KEEPER, "pin")
    hand.wait("due")
    hand.press("keepers-desk")
    hand.wait("keepers-desk")
    hand.press("room:stock")
    hand.wait("keeping-stock")


def receive(hand: Hand, play: Play) -> None:
    """Two packs come in before a witness."""
    hand.wait("door")
    to_the_stock(hand, play)
    hand.look("the stock room")
    hand.press("receive")
    hand.wait("keeping-receive")
    hand.look("nothing scanned yet")
    for _ in range(PACKS):
        hand.pass_time(2)
        hand.scan(pack(play))
    hand.wait("keeping-receive")
    hand.look("what has come in")
    hand.press("take-in")
    hand.wait("keeping-receive-witness")
    hand.look("a controlled drug wants a witness")
    proved(hand, play, WITNESS, "keeping-receive-witness-pin")
    hand.wait("keeping-stock")
    hand.look("taken in")
    hand.press("sign-off")


def prepare(hand: Hand, play: Play, order: str, container: str, *, first: bool = False) -> None:
    """50 mg of ketamine for the vein: 5 mL of 10 mg/mL, with a second person, and the vial goes back."""
    proved(hand, play, PREPARER, "pin")
    hand.wait("due")
    hand.scan(make_own(ORDER, order))
    hand.wait("order")
    hand.press("take-up")
    hand.wait("stock")
    hand.pass_time(2)
    hand.scan(container)
    hand.wait("volume")
    if first:
        hand.look("the new pack is taken")
    type_figure(hand, "5")
    hand.press("commit")
    hand.wait("working")
    hand.press("go-on")
    choose(hand, "syringe")
    choose(hand, "draw-up-device")
    hand.wait("draw-up")
    draw_up(hand)
    hand.wait("reading")
    set_by_number(hand)
    check(hand, play, container)
    close(hand, first)


def set_by_number(hand: Hand) -> None:
    """Say where the plunger stands, by number."""
    hand.press("by-number")
    type_figure(hand, "5")
    hand.press("commit")


def check(hand: Hand, play: Play, container: str) -> None:
    """The second person reads everything for themselves."""
    hand.wait("call-second")
    proved(hand, play, CHECKER, "pin")
    hand.wait("check-container")
    hand.pass_time(2)
    hand.scan(container)
    hand.wait("check-figure")
    type_figure(hand, "5")
    hand.press("commit")
    hand.wait("check-needle")
    hand.press("choose:")  # into a cannula: the syringe is capped, there is no needle
    hand.wait("check-plunger")
    set_by_number(hand)
    hand.wait("compare")
    hand.press("go-on")


def close(hand: Hand, first: bool) -> None:
    """The label, its proof, and the vial back with what is left."""
    hand.wait("label")
    hand.press("print")
    hand.wait("scan-back")
    hand.scan(hand.label_code())
    hand.wait("rest")
    hand.look("what becomes of the vial" if first else "the second time")
    hand.press(next(k.name for k in keys_of(hand.page()) if k.name.startswith("rest:kept")))
    hand.wait("sharps")
    hand.press("finish")
    hand.wait("due")
    hand.press("sign-off")


def refused(hand: Hand, play: Play, label: str) -> None:
    """28 days later the vial is refused, and nothing is drawn."""
    play.order_comes("S3", "P09")
    proved(hand, play, PREPARER, "pin")
    hand.wait("due")
    hand.scan(make_own(ORDER, "S3"))
    hand.wait("order")
    hand.press("take-up")
    hand.wait("stock")
    hand.pass_time(2)
    hand.scan(label)
    hand.wait("stock")
    hand.look("past its discard time: refused")
    hand.press("stop")
    hand.wait("stopping")
    hand.press("discard:wrong_object")
    hand.wait("due")
    hand.press("sign-off")


def waste(hand: Hand, play: Play, label: str) -> None:
    """The keeper throws it away before a witness."""
    to_the_stock(hand, play)
    hand.pass_time(2)
    hand.scan(label)
    hand.wait("keeping-row")
    hand.look("the vial, past its time")
    hand.press("waste")
    hand.wait("keeping-waste-why")
    hand.look("why it goes")
    hand.press("one:in use over")
    hand.wait("keeping-waste-witness")
    hand.look("who sees it go")
    proved(hand, play, WITNESS, "keeping-waste-witness-pin")
    hand.wait("keeping-stock")
    hand.look("thrown away")


def count(hand: Hand, play: Play) -> None:
    """The cupboard is counted by two: seven sealed of the old lot and one of the new, none open."""
    hand.press("controlled")
    hand.wait("keeping-controlled")
    hand.look("the controlled drugs")
    hand.press(f"product:{PRODUCT}")
    hand.wait("keeping-controlled-product")
    hand.press("hand-over")
    hand.wait("keeping-hand-over-witness")
    proved(hand, play, WITNESS, "keeping-hand-over-witness-pin")
    hand.wait("keeping-hand-over-sealed")
    type_figure(hand, "8")
    hand.look("counted without seeing the book")
    hand.press("commit")
    hand.wait("keeping-hand-over-opened")
    type_figure(hand, "0")
    hand.press("commit")
    hand.wait("keeping-controlled-product")
    hand.look("the count agrees")
    hand.press("register")
    hand.wait("keeping-register")
    hand.look("the register")
