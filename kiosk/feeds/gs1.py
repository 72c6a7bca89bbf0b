"""GS1 element strings, read strictly: what a symbol says, or why it cannot be believed.

The grammar of each application identifier comes from the biip library. Added here, since it lets them
pass: the check digit of a GTIN, a second and different value of one identifier, a variable-length field
that ends without its separator, dates in the century of the day given rather than of the machine's clock.
Source: GS1 General Specifications, sections 3 (identifiers), 7.12 (century) and 7.8 (separators).
"""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from biip import ParseConfig, ParseError
from biip.gs1_element_strings import GS1ElementString

from kiosk.core.findings import Refusal
from kiosk.feeds.gtin import gtin14

GS: Final = "\x1d"
GTIN: Final = "01"
LOT: Final = "10"
EXPIRY: Final = "17"
SERIAL: Final = "21"
EXPIRY_TIME: Final = "7003"
# Trade items inside a larger one, and what the larger one is called by.
BOX: Final = ("00", "02")
DATES: Final = ("11", "12", "13", "15", "16", "17")
# GS1 General Specifications, figure 7.11-1: the characters a field may have.
_ALLOWED: Final = re.compile(r"""[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]""")
_PARSE: Final = ParseConfig(gs1_element_strings_verify_date=False)


@dataclass(frozen=True, slots=True)
class Element:
    """One identifier and its value as the symbol carries them; ``open_ended`` fields end at a separator."""

    ai: str
    value: str
    open_ended: bool = False


@dataclass(frozen=True, slots=True)
class Day:
    """A date as the symbol writes it; ``day_given`` is False for day 00, which means the month's last."""

    on: date
    day_given: bool = True


def elements(body: str) -> tuple[Element, ...] | Refusal:
    """Return the element strings of a message without its symbology prefix.

    Refusals: ``scan_not_understood``, ``scan_check_digit_wrong``, ``scan_separator_missing``,
    ``scan_says_two_things``. Dates are not judged here.
    """
    rest = body.removeprefix(GS)
    found: dict[str, Element] = {}
    while rest:
        element = _first(rest)
        if isinstance(element, Refusal):
            return element
        rest = rest[len(element.ai) + len(element.value) :]
        if element.open_ended and rest and not rest.startswith(GS):
            return _not_ended(element, rest)
        rest = rest.removeprefix(GS)
        if found.setdefault(element.ai, element) != element:
            return Refusal("scan_says_two_things", {"field": element.ai})
    return tuple(found.values()) if found else Refusal("scan_not_understood", {"text": ""})


def _first(rest: str) -> Element | Refusal:
    """Return the first element string of a message."""
    if not rest.isascii():
        return Refusal("scan_not_understood", {"text": rest})
    try:
        found = GS1ElementString.extract(rest, config=_PARSE)
    except ParseError:
        return _not_a_date(rest) or Refusal("scan_not_understood", {"text": rest})
    ai, value = found.ai.ai, found.value
    if ai in ("01", "02") and gtin14(value) is None:
        return Refusal("scan_check_digit_wrong", {"number": value})
    return Element(ai, value, found.ai.separator_required)


def _not_ended(element: Element, rest: str) -> Refusal:
    """Return why an open-ended field stops short of its separator: too long, or a character no field has."""
    if not _ALLOWED.match(rest):
        return Refusal("scan_not_understood", {"text": rest})
    return Refusal("scan_separator_missing", {"field": element.ai, "value": element.value})


def _not_a_date(rest: str) -> Refusal | None:
    """Return a refusal that names the date, when the grammar itself turned down a month 13."""
    ai, value = rest[:2], rest[2:8]
    if ai not in DATES or len(value) < 6 or not value.isdigit():
        return None
    return Refusal("scan_date_impossible", {"field": ai, "value": value})


def day(digits: str, today: date) -> Day | None:
    """Return YYMMDD as a day; None when the calendar has no such day.

    The year is the one from 49 years before to 50 years after ``today``'s that ends in these digits.
    Day 00 means the last of the month.
    """
    year, month, number = int(digits[0:2]), int(digits[2:4]), int(digits[4:6])
    earliest = today.year - 49
    year = earliest + (year - earliest) % 100
    if not 1 <= month <= 12:
        return None
    last = monthrange(year, month)[1]
    if number > last:
        return None
    return Day(date(year, month, number or last), number != 0)


def moment(digits: str, today: date) -> tuple[Day, str] | None:
    """Return YYMMDDHHMM as a day and ``HH:MM``; None when there is no such day or hour."""
    on = day(digits[:6], today)
    hour, minute = int(digits[6:8]), int(digits[8:10])
    return (on, f"{hour:02}:{minute:02}") if on and hour < 24 and minute < 60 else None


def impossible_date(found: tuple[Element, ...], today: date) -> Refusal | None:
    """Return a refusal when any date of the message is not in the calendar."""
    for element in found:
        bad = element.ai in DATES and day(element.value, today) is None
        if bad or (element.ai == EXPIRY_TIME and moment(element.value, today) is None):
            return Refusal("scan_date_impossible", {"field": element.ai, "value": element.value})
    return None


def swallowed(element: Element, today: datetime, sure_of_separators: bool) -> str:
    """Return whether an open-ended field seems to have swallowed what should follow it.

    ``lost`` when its end reads as further element strings with a credible date or a trade item number;
    ``unsure`` when it reads as a serial or lot and the scanner never showed that it sends separators;
    else empty. Nothing is split: the value stays as it came.
    """
    suspicion = ""
    for start in range(1, len(element.value) - 3):
        tail = element.value[start:]
        if tail[:2] not in _TELLING:
            continue
        inside = elements(tail)
        if isinstance(inside, Refusal):
            continue
        if any(_is_credible(one, today.date()) for one in inside):
            return "lost"
        if not sure_of_separators and inside[0].ai in (LOT, SERIAL):
            suspicion = "unsure"
    return suspicion


_TELLING: Final = frozenset({GTIN, LOT, SERIAL, *DATES, "70"})


def _is_credible(element: Element, today: date) -> bool:
    """Say whether an element found inside another one carries its own proof: a near date, a proved number."""
    if element.ai in (GTIN, "02"):
        return True
    if element.ai not in DATES:
        return element.ai == EXPIRY_TIME and moment(element.value, today) is not None
    on = day(element.value, today)
    return on is not None and abs(on.on.year - today.year) <= 10
