"""The second person's pages. They are built from a ``CheckSheet`` alone: no figure of anybody's in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from kiosk.core.catalogue.devices import InjectionNeedle
from kiosk.core.preparation.check_sheet import CheckSheet
from kiosk.core.preparation.two_people import CONTAINER, FIGURE, NEEDLE
from kiosk.pages.closing import needs_witness
from kiosk.pages.controls import number_entry
from kiosk.pages.needles import needle_words
from kiosk.pages.parts import (
    Choice,
    Choices,
    Comparison,
    Foot,
    Ground,
    Key,
    Page,
    ScanWanted,
    Statement,
    Weight,
)
from kiosk.pages.prefilled import asks_for_content
from kiosk.pages.reading import back_from_scale, plunger_control
from kiosk.pages.slip import foot, framed, slip
from kiosk.pages.view import View
from kiosk.pages.words import Words


@dataclass(frozen=True, slots=True)
class CheckView:
    """What a blind page is built from. ``bare`` is a view without the syringe's state."""

    bare: View
    sheet: CheckSheet

    @property
    def words(self) -> Words:
        """The sentences."""
        return self.bare.words


def blind(view: View, sheet: CheckSheet) -> Page:
    """Return the page of the matter that is asked of the person whose turn it is."""
    bare = View(view.words, view.now, view.rules, view.sitting, None, (), view.devices)
    look = CheckView(bare, sheet)
    pages = {CONTAINER: _container, FIGURE: _figure, NEEDLE: _needle}
    return _around(look, pages.get(sheet.matter, _plunger)(look))


def by_hand(view: View, sheet: CheckSheet, choices: tuple[Choice, ...]) -> Page:
    """The containers of this drug in the drawers, for the checker to pick the one that was read."""
    words = view.words
    bare = View(words, view.now, view.rules, view.sitting, None, (), view.devices)
    page = Page(
        "check-by-hand",
        Ground.CHECKER,
        words.say("by_hand.question"),
        words.say("by_hand.help"),
        Choices(choices),
    )
    return replace(_around(CheckView(bare, sheet), page), keys=(Key("back", words.say("key.back_to_scan")),))


def _around(look: CheckView, page: Page) -> Page:
    """Put slip and foot around a blind page: from the order and the person alone."""
    words, sitting = look.words, look.bare.sitting
    who = sitting.guest or sitting.person
    return Page(
        id=page.id,
        ground=Ground.CHECKER,
        question=page.question,
        help=words.say("check.again_help") if look.sheet.again else page.help,
        control=page.control,
        slip=slip(look.sheet.order, words),
        findings=sitting.cards,
        foot=Foot(
            words.say("foot.checking"),
            who.name if who else "",
            words.time(look.bare.now),
            look.bare.devices,
            Key("leave-check", words.say("key.leave_check"), weight=Weight.GRAVE),
        ),
        heard=sitting.heard,
        sound=sitting.sound,
        keys=page.keys,
    )


def _container(look: CheckView) -> Page:
    words, seen = look.words, len(look.bare.sitting.seen)
    return Page(
        "check-container",
        Ground.CHECKER,
        words.say("check.container_question"),
        words.say("check.container_help", seen=seen, count=look.sheet.containers),
        ScanWanted(
            words.say("check.container_scan"),
            words.say("stock.how"),
            (Key("by-hand", words.say("key.by_hand")),),
        ),
    )


def _figure(look: CheckView) -> Page:
    words = look.words
    unit = "units" if look.sheet.order.drug.is_insulin else "mL"
    return Page(
        "check-figure",
        Ground.CHECKER,
        words.say("volume.question_units" if unit == "units" else "volume.question"),
        words.say("check.figure_help"),
        number_entry(look.bare, unit),
    )


def _needle(look: CheckView) -> Page:
    words = look.words
    read = tuple((n.id, needle_words(look.bare, n)) for n in sorted(look.sheet.needles, key=_by_numbers))
    choices = tuple(Choice(Key(f"choose:{id}", said)) for id, said in (*read, ("", words.say("needle.none"))))
    return Page(
        "check-needle",
        Ground.CHECKER,
        words.say("check.needle_question"),
        words.say("check.needle_help"),
        Choices(choices),
    )


def _by_numbers(needle: InjectionNeedle) -> tuple[int, Fraction]:
    return needle.gauge, needle.length.to("mm").value


def _plunger(look: CheckView) -> Page:
    words, syringe = look.words, look.sheet.syringe
    content = asks_for_content(look.bare, syringe)
    return Page(
        "check-content" if content else "check-plunger",
        Ground.CHECKER,
        words.say("content.question" if content else "reading.question"),
        words.say("content.help" if content else "check.plunger_help"),
        plunger_control(look.bare, syringe),
        keys=back_from_scale(look.bare, syringe),
    )


def _figureless(view: View, page: Page) -> Page:
    """Frame a page between two people's readings: no stage row, no marks; the foot keeps its way to stop."""
    bare = View(view.words, view.now, view.rules, view.sitting, None, (), view.devices)
    return replace(framed(bare, page), foot=foot(view))


def call_second(view: View) -> Page:
    """A second person is needed: who calls, what for, and a badge to scan. Figures already hidden."""
    words, state = view.words, view.the
    known = words.entries
    reasons = tuple(known.get(f"second.{r}", known["second.site_rule"]) for r in state.second_reasons)
    page = Page(
        "call-second",
        Ground.CHECKER,
        words.say("second.question"),
        "  ".join(reasons),
        ScanWanted(words.say("second.scan"), words.say("second.how")),
        slip=slip(state.order, words),
    )
    return _figureless(view, page)


def call_back(view: View, name: str) -> Page:
    """It is somebody else's turn: their badge is wanted."""
    words, state = view.words, view.the
    page = Page(
        "call-back",
        Ground.CHECKER,
        words.say("turn.question", name=name),
        words.say("turn.help"),
        ScanWanted(words.say("door.badge"), words.say("turn.how")),
        slip=slip(state.order, words),
    )
    return _figureless(view, page)


def comparison(view: View) -> Page:
    """Where the readings agree or differ; never what they were."""
    words, state = view.words, view.the
    last = state.differences[-1].matters if state.differences and state.vouched is None else ()
    rows = tuple(
        (
            words.say(f"matter.{m}"),
            words.say("compare.differ" if m in last else "compare.agree"),
            m not in last,
        )
        for m in ("container", "figure", "needle", "plunger")
    )
    agreed, alone = state.vouched is not None, "" if state.needs_second else "alone_"
    page = Page(
        "compare",
        Ground.CHECKER,
        words.say(f"compare.{alone}agreed" if agreed else f"compare.{alone}differed"),
        words.say("compare.agreed_help" if agreed else f"compare.{alone}differed_help"),
        Comparison(rows, Key("go-on", words.say("key.go_on"), weight=Weight.PRIMARY)),
        slip=slip(state.order, words),
    )
    return _figureless(view, page)


def must_discard(view: View) -> Page:
    """Differed twice: this syringe is given up."""
    words, state = view.words, view.the
    page = Page(
        "must-discard",
        Ground.TROUBLE,
        words.say("discard.twice_question"),
        words.say("discard.twice_help"),
        ScanWanted(words.say("rest.witness_scan"), words.say("stopping.witness_how"))
        if needs_witness(view)
        else Statement(
            (words.say("discard.how"),),
            (Key("discard:differed twice", words.say("key.discard"), weight=Weight.PRIMARY),),
        ),
        slip=slip(state.order, words),
    )
    return _figureless(view, page)


def seconds_taken(since: datetime | None, now: datetime) -> int:
    """Return how long a reading took, in whole seconds."""
    return max(0, int((now - since).total_seconds())) if since else 0
