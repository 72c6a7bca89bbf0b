"""What gauge and length mean, looked up from the needle page and left again: nothing is chosen here."""

from __future__ import annotations

from fractions import Fraction

from kiosk.core.apparatus import drawing
from kiosk.core.apparatus.gauge_page import GAUGES
from kiosk.core.apparatus.picture import Picture
from kiosk.core.findings import Fact
from kiosk.core.units import Measure
from kiosk.pages.parts import Ground, InHand, Key, Line, Lines, Page, Weight
from kiosk.pages.slip import framed, shown_length
from kiosk.pages.view import View


def gauges(view: View) -> Page:
    """Every gauge, life-size, with its widths and the lengths of it that the counter keeps."""
    words = view.words
    lines = tuple(_gauge_line(view, gauge) for gauge in GAUGES if gauge in view.rules.tables.tubing)
    picture = drawing.gauge_strip(view.rules.tables, words.entries)
    return _lesson(view, "gauges", Lines(lines), picture, "lengths")


def lengths(view: View) -> Page:
    """Every length, life-size, in inches and as packs print it."""
    words = view.words
    lines = tuple(
        Line(
            words.say("lengths.inch", inch=one.inch),
            words.say("lengths.exact", exact=one.exact),
            words.say("lengths.packs", packs=one.labelled),
        )
        for one in view.rules.tables.lengths
    )
    picture = drawing.length_strip(view.rules.tables, words.entries, words.language)
    return _lesson(view, "lengths", Lines(lines), picture, "gauges")


def _gauge_line(view: View, gauge: int) -> Line:
    """Return one gauge in words."""
    words, tube = view.words, view.rules.tables.tubing[gauge]
    outer, bore = _two_places(tube.outer or tube.metric), _two_places(tube.bore or tube.least_bore_regular)
    mine = [shown_length(needle.length) for needle in view.rules.needles if needle.gauge == gauge]
    mine.sort(key=lambda length: length.value)
    kept: tuple[Fact, ...] = tuple(mine)
    return Line(
        words.say("gauges.number", gauge=gauge),
        words.say("gauges.thick", outer=outer),
        words.say("gauges.kept" if kept else "gauges.none_kept", bore=bore, lengths=kept),
    )


def _two_places(width: Measure) -> Measure:
    """Return a width to a hundredth of a millimetre, for show."""
    return Measure(Fraction(round(width.to("mm").value * 100), 100), "mm")


def _lesson(view: View, name: str, lines: Lines, picture: Picture, other: str) -> Page:
    """Return one of the two pages, with the keys to the other and back to the choice."""
    words = view.words
    page = Page(
        name,
        Ground.BENCH,
        words.say(f"{name}.question"),
        words.say(f"{name}.help"),
        lines,
        in_hand=InHand(
            words.say(f"{name}.heading"),
            words.say("in_hand.life_size"),
            picture,
            words.say(f"{name}.title"),
            reduced_word=words.say("in_hand.reduced"),
        ),
        keys=(
            Key(other, words.say(f"key.{other}")),
            Key("back", words.say("key.back_to_choice"), weight=Weight.PRIMARY),
        ),
    )
    return framed(view, page)
