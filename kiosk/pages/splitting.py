"""Too much for one site: the page that offers to share the dose out, and what its keys amount to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.apparatus.site_limits import Split, limit_of, other_sites
from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.device_tables import VolumeLimit
from kiosk.core.notation import write
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.splitting import split_offers, volume_of
from kiosk.core.units import Measure
from kiosk.flow.desk import Done
from kiosk.pages.after import do, me
from kiosk.pages.parts import Choice, Choices, Ground, Key, Page
from kiosk.pages.slip import framed
from kiosk.pages.view import View

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

TOO_MUCH = ("too_much_for_site", "over_usual_for_site")
"""What is said of a volume that the site does not take, or not as usual."""

SHOWN_DIGITS = 3


def noted(driver: Driver, container: Container, code: str) -> None:
    """Keep the container whose volume was too much; show the ways out where it cannot be taken at all.

    That page says itself what was refused and why.
    """
    sitting = driver.sitting
    sitting.too_much = container if code in TOO_MUCH and offers(driver.view(), container) else None
    if sitting.too_much is not None and code == TOO_MUCH[0]:
        sitting.showing, sitting.cards = "split", ()


def offers(view: View, container: Container) -> tuple[Split, ...]:
    """Return the ways to share the dose out."""
    return split_offers(view.the, container, view.rules, view.now)


def split(view: View) -> Page:
    """How much the site takes, which others take it all, and the equal parts it can be made in."""
    words, container = view.words, view.sitting.too_much
    assert container is not None
    volume = volume_of(view.the, container, view.now)
    assert volume is not None
    page = Page(
        "split",
        Ground.BENCH,
        words.say("split.question", volume=volume),
        _what_sites_take(view, volume),
        Choices(tuple(_choice(view, one) for one in offers(view, container))),
        keys=(Key("back", words.say("key.back_to_scan")),),
    )
    return framed(view, page)


def _choice(view: View, one: Split) -> Choice:
    """Return one way to share the dose out, with a word on how much the site then gets."""
    words, limit = view.words, _limit(view)
    over = limit is not None and one.each > limit.usual
    each = write(one.each, words.language, SHOWN_DIGITS)
    return Choice(
        Key(f"split-into:{one.parts}", words.say("split.into", parts=one.parts, each=each)),
        (words.say("split.over_usual" if over else "split.usual"), words.say("split.each_its_own")),
    )


def _what_sites_take(view: View, volume: Measure) -> str:
    """Return what this site takes, and which sites take the whole."""
    words, order, limit = view.words, view.the.order, _limit(view)
    others = tuple(s.value for s in other_sites(order, volume, view.now.date(), view.rules.tables))
    elsewhere = words.say("split.others", others=others) if others else words.say("split.no_other")
    if limit is None:
        return elsewhere
    return f"{words.say('split.limit', usual=limit.usual, most=limit.most)} {elsewhere}"


def _limit(view: View) -> VolumeLimit | None:
    """Return what the site of the order takes."""
    order = view.the.order
    return limit_of(order.patient, order.route, order.site, view.now.date(), view.rules.tables)


def into(driver: Driver, parts: str) -> None:
    """Share the dose out; the container is then held up again, for the first part."""
    sitting = driver.sitting
    if sitting.too_much is None:
        return
    outcome = do(driver, a.TakeSplit(me(driver), int(parts), sitting.too_much))
    if isinstance(outcome, Done):
        sitting.too_much, sitting.showing, sitting.cautioned = None, "", ("", ())
        sitting.heard = driver.words.say("heard.first_part", parts=int(parts))
