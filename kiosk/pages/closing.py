"""The label, its proof on the barrel, the rest, the sharps; and the pages of stopping and of trouble."""

from __future__ import annotations

from dataclasses import replace

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.label.dates import written_limit
from kiosk.core.label.discard_after import DiscardAfter
from kiosk.core.preparation import plans
from kiosk.core.stock.expiry import may_be_kept
from kiosk.core.units import Measure
from kiosk.pages.in_use_label import again_key
from kiosk.pages.last_look import last_look, leaves_sharps
from kiosk.pages.making import syringe_in_hand
from kiosk.pages.parts import Ground, Key, Page, ScanWanted, Statement, Weight
from kiosk.pages.slip import foot, framed
from kiosk.pages.view import View
from kiosk.pages.words import Words

DISCARD_REASONS = (
    "dropped",
    "contaminated",
    "wrong_object",
    "not_measurable",
    "order_stopped",
    "left_alone",
    "other",
)


def label(view: View, until: DiscardAfter) -> Page:
    """Everything is vouched for: the label may be printed, and only now.

    Until when the syringe may be used stands beside it: each limit it goes by with its source.
    """
    words = view.words
    key = Key("print", words.say("key.print"), weight=Weight.PRIMARY, enabled=not view.sitting.printing)
    page = Page(
        "label",
        Ground.BENCH,
        words.say("label.question"),
        words.say("label.help"),
        Statement((*limits_said(until, words), words.say("label.once")), (key,)),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def limits_said(until: DiscardAfter, words: Words) -> tuple[str, ...]:
    """Return the limits in words, the one that governs first, each said once."""
    found = dict.fromkeys((limit.name, limit.at, limit.source) for limit in until.limits)
    return tuple(
        words.say(
            "label.limit" if n else "label.until",
            at=written_limit(at, words.entries),
            limit=words.entries[f"name.{name}"],
            source=source,
        )
        for n, (name, at, source) in enumerate(found)
    )


def printing(view: View) -> Page:
    """The label is on its way."""
    words = view.words
    page = Page(
        "printing",
        Ground.BENCH,
        words.say("printing.question"),
        words.say("printing.help"),
        Statement((), ()),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def label_unknown(view: View) -> Page:
    """Nobody knows whether the label came out: ask, never repeat."""
    words = view.words
    keys = (
        Key("label:on paper", words.say("key.on_paper"), weight=Weight.PRIMARY),
        Key("label:no paper", words.say("key.no_paper")),
    )
    page = Page(
        "label-unknown",
        Ground.TROUBLE,
        words.say("label_unknown.question"),
        words.say("label_unknown.help"),
        Statement((words.say("label_unknown.look"),), keys),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def scan_back(view: View) -> Page:
    """The label is scanned from the barrel."""
    words = view.words
    page = Page(
        "scan-back",
        Ground.BENCH,
        words.say("scan_back.question"),
        words.say("scan_back.help"),
        ScanWanted(
            words.say("scan_back.scan"),
            words.say("scan_back.how"),
            (Key("again-label", words.say("key.print_again")),),
        ),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def copy_reason(view: View) -> Page:
    """A further copy of a label is asked for: why?"""
    words = view.words
    keys = tuple(
        Key(f"copy:{reason}", words.say(f"copy.{reason}")) for reason in ("unreadable", "lost", "spoiled")
    )
    page = Page(
        "copy-reason",
        Ground.BENCH,
        words.say("copy.question"),
        words.say("copy.help"),
        Statement((), (*keys, Key("back", words.say("key.back")))),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def next_rest(view: View) -> Container:
    """Return the container whose rest is to be accounted for now."""
    done = {entry.container for entry in view.the.rest}
    return next(c for c in view.the.taken if c.id not in done)


def rest(view: View) -> Page:
    """What becomes of the remainder of one container."""
    words, container = view.words, next_rest(view)
    left = plans.left_in(view.the, container.id, view.now)
    keep = may_be_kept(container) and left > view.rules.in_use.nearly_empty
    key = f"rest.{_rest_is(container, left, keep=keep)}"
    facts = {"left": left, "form": container.product.form.value, "lot": container.lot}
    fate = "kept" if keep else "wasted"
    unseen = (not keep and left.value > 0) or not view.the.checker
    controlled = container.product.drug.controlled and unseen
    done = "go_on" if key == "rest.whole" else fate
    keys = [Key(f"rest:{fate}:{container.id}", words.say(f"key.{done}"), weight=Weight.PRIMARY)]
    if keep:
        keys.append(Key(f"rest:wasted:{container.id}", words.say("key.wasted_instead")))
    page = Page(
        "rest",
        Ground.BENCH,
        words.say(f"{key}_question", **facts),
        words.say("rest.witness_help" if controlled else f"{key}_help", **facts),
        ScanWanted(words.say("rest.witness_scan"), words.say("rest.witness_how"))
        if controlled and view.sitting.guest is None
        else Statement((), tuple(keys)),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def _rest_is(container: Container, left: Measure, *, keep: bool) -> str:
    """Return what the remainder is: kept, wasted, or none; a prefilled syringe is given, not emptied."""
    if container.product.form is Form.PREFILLED:
        return "whole" if left.value == 0 else "pushed_out"
    return "empty" if left.value == 0 else "keep" if keep else "waste"


def sharps(view: View) -> Page:
    """The last look: sharps away, counter clear."""
    words = view.words
    asked = "sharps" if leaves_sharps(view.the) else "clear"
    page = Page(
        "sharps",
        Ground.BENCH,
        words.say(f"{asked}.question"),
        words.say("sharps.help"),
        Statement(
            last_look(view),
            (Key("finish", words.say(f"key.finish_{asked}"), weight=Weight.PRIMARY), *again_key(view)),
        ),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def needs_witness(view: View) -> bool:
    """Whether giving this syringe up waits for a witness: a controlled drug, and nobody has come yet."""
    return any(c.product.drug.controlled for c in view.the.taken) and view.sitting.guest is None


def stopping(view: View) -> Page:
    """Stop this syringe? Each reason is its own key, in another place than the way back."""
    words = view.words
    keys = tuple(Key(f"discard:{reason}", words.say(f"discard.{reason}")) for reason in DISCARD_REASONS)
    unseen = needs_witness(view)
    mine = view.sitting.person is not None and view.sitting.person.id == view.the.preparer
    leave = (Key("leave-for-now", words.say("key.leave_for_now")),) if mine else ()
    page = Page(
        "stopping",
        Ground.TROUBLE,
        words.say("stopping.question"),
        words.say("stopping.witness_help" if unseen else "stopping.help"),
        ScanWanted(words.say("rest.witness_scan"), words.say("stopping.witness_how"))
        if unseen
        else Statement((), keys),
        keys=(*leave, Key("back", words.say("key.back_to_syringe"), weight=Weight.PRIMARY)),
    )
    return framed(view, page)


def resume(view: View) -> Page:
    """This person left a syringe half done: go on with it, or give it up."""
    words, state = view.words, view.the
    page = Page(
        "resume",
        Ground.BENCH,
        words.say("resume.question", drug=state.order.drug.name, patient=state.order.patient.name),
        words.say("resume.help"),
        Statement((), (Key("resume", words.say("key.resume"), weight=Weight.PRIMARY),)),
    )
    return framed(view, page)


def trouble(view: View, code: str) -> Page:
    """The record cannot be written: nothing has moved, nothing will be printed."""
    words = view.words
    page = Page(
        "trouble",
        Ground.TROUBLE,
        words.say("trouble.question"),
        words.say(f"trouble.{code}"),
        Statement(
            (words.say("trouble.kept"),), (Key("retry", words.say("key.retry"), weight=Weight.PRIMARY),)
        ),
    )
    return replace(framed(view, page), foot=replace(foot(view), stop=None))
