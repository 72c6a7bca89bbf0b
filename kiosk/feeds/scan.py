"""Says what a scanned text is: a product, a badge, a syringe, an opened vial, an order, or nothing we trust.

Every text has a defined answer. A product's answer carries flags where it is readable but deserves a look;
what cannot be believed is refused with its reason.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.code import Kind, ReadCode, is_ours, read_code
from kiosk.core.stock.figures import ScanFigures
from kiosk.core.units import Measure
from kiosk.feeds import gs1
from kiosk.feeds.gtin import LENGTHS, gtin14
from kiosk.feeds.own_codes import BADGE, ORDER, SEAL, plain, read_own
from kiosk.flow.scans import (
    BadgeScan,
    InUseScan,
    OrderScan,
    ProductScan,
    RepeatedScan,
    Scan,
    SealScan,
    SyringeScan,
)

LONGEST: Final = 400
DEFAULT_FIGURES: Final = ScanFigures(Measure.of(1, "s"), Measure.of(3653, "day"), Measure.of(3653, "day"))
# AIM symbology identifiers (ISO/IEC 15424): which symbols carry element strings, which a bare number.
_AIM: Final = re.compile(r"\][A-Za-z][0-9A-Za-z]")
_GS1: Final = frozenset({"]C1", "]e0", "]d2", "]d8", "]Q3", "]J1"})
_BARE: Final = {"]E0": (13,), "]E4": (8,), "]I0": (14,), "]I1": (14,)}
_ENDINGS: Final = "\r\n\t"


@dataclass(frozen=True, slots=True)
class _Heard:
    """A scanned text apart: its symbology identifier, if sent, and what the symbol says."""

    aim: str
    body: str


class ScanReader:
    """Reads the scans of one counter one after another, so that a trigger that fires twice counts once."""

    def __init__(self, figures: ScanFigures) -> None:
        self._figures = figures
        self._before: tuple[str, datetime] | None = None

    def __call__(self, text: str, now: datetime) -> Scan | Refusal:
        """Return what a scanned text is, as of ``now`` (aware); never raises, whatever the text.

        The time runs from the scan that counted: a symbol held before the scanner comes again each second.
        """
        if is_repeat(text, now, self._before, self._figures):
            return RepeatedScan()
        self._before = (text, now)
        return what_is(text, now, self._figures)


def what_is(text: str, today: datetime, figures: ScanFigures = DEFAULT_FIGURES) -> Scan | Refusal:
    """Return what a scanned text is, as of ``today`` (aware); never raises, whatever the text."""
    heard = _heard(text)
    if isinstance(heard, Refusal):
        return heard
    if own := _own(heard.body):
        return own
    if heard.aim in _GS1:
        return _product(heard, today, figures)
    if heard.aim in _BARE:
        return _bare(heard.body, _BARE[heard.aim])
    if heard.aim:
        return Refusal("scan_not_gs1", {"symbol": heard.aim})
    if heard.body.isdigit() and len(heard.body) in LENGTHS:
        return _bare(heard.body, LENGTHS)
    if heard.body[:1].isdigit() or heard.body.startswith(gs1.GS):
        return _product(heard, today, figures)
    return Refusal("scan_unknown", {"text": heard.body})


def is_repeat(text: str, at: datetime, before: tuple[str, datetime] | None, figures: ScanFigures) -> bool:
    """Say whether this is the scan before once more: the same text within the time one trigger takes."""
    if before is None or before[0].strip(_ENDINGS) != text.strip(_ENDINGS):
        return False
    apart = (at.astimezone(UTC) - before[1].astimezone(UTC)).total_seconds()
    return 0 <= apart <= figures.repeat_within.to("s").value


def _heard(text: str) -> _Heard | Refusal:
    """Return the text apart; refuse what no scanner in order sends."""
    body = text.strip(_ENDINGS)
    if not body or len(body) > LONGEST:
        return Refusal("scan_empty" if not body else "scan_too_long")
    found = _AIM.match(body)
    if not found:
        return _Heard("", body)
    aim = found[0]
    if aim not in _GS1 and aim not in _BARE and aim.swapcase() in _GS1:
        return Refusal("scan_caps_lock", {"symbol": aim})
    return _Heard(aim, body[3:])


def _own(body: str) -> Scan | Refusal | None:
    """Return what one of our own codes names, a refusal when it is misread, None when it is not ours."""
    if body.startswith(SEAL):
        return SealScan(body)
    kind = plain(body)[:3]
    if kind in (BADGE, ORDER):
        found = read_own(body)
        if found is None:
            return Refusal("code_misread", {"code": body})
        return BadgeScan(plain(body)) if kind == BADGE else OrderScan(found[1])
    if not is_ours(body):
        return None
    code = read_code(body)
    if not isinstance(code, ReadCode):
        return code
    return SyringeScan(code.names) if code.kind is Kind.SYRINGE else InUseScan(code.names)


def _bare(body: str, lengths: tuple[int, ...]) -> ProductScan | Refusal:
    """Return a trade item number that stands alone."""
    if not body.isascii() or not body.isdigit() or len(body) not in lengths:
        return Refusal("scan_not_understood", {"text": body})
    number = gtin14(body)
    return ProductScan(number) if number else Refusal("scan_check_digit_wrong", {"number": body})


def _product(heard: _Heard, today: datetime, figures: ScanFigures) -> ProductScan | Refusal:
    """Return the trade item that a message of element strings names."""
    found = gs1.elements(heard.body)
    if isinstance(found, Refusal):
        return found
    if trouble := gs1.impossible_date(found, today.date()):
        return trouble
    by_ai = {element.ai: element for element in found}
    if gs1.GTIN not in by_ai:
        boxed = any(ai in by_ai for ai in gs1.BOX)
        return Refusal("scan_is_a_box" if boxed else "scan_without_product")
    values = {ai: element.value for ai, element in by_ai.items()}
    expiry = _expiry(values, today.date())
    if isinstance(expiry, Refusal):
        return expiry
    flags = (*_day_flags(expiry, today.date(), figures), *_field_flags(found, heard, today))
    return ProductScan(
        gtin=values[gs1.GTIN],
        lot=values.get(gs1.LOT, ""),
        expiry=expiry.on if expiry else None,
        serial=values.get(gs1.SERIAL, ""),
        flags=flags,
        more=tuple((ai, value) for ai, value in values.items() if ai not in _NAMED),
    )


_NAMED: Final = (gs1.GTIN, gs1.LOT, gs1.EXPIRY, gs1.SERIAL)


def _expiry(values: dict[str, str], today: date) -> gs1.Day | Refusal | None:
    """Return the expiry of the message, by date or by date and time; both must name the same day."""
    by_day = gs1.day(values[gs1.EXPIRY], today) if gs1.EXPIRY in values else None
    timed = gs1.moment(values[gs1.EXPIRY_TIME], today) if gs1.EXPIRY_TIME in values else None
    if by_day and timed and by_day.on != timed[0].on:
        return Refusal("scan_says_two_things", {"field": gs1.EXPIRY_TIME})
    return by_day or (timed[0] if timed else None)


def _day_flags(expiry: gs1.Day | None, today: date, figures: ScanFigures) -> tuple[str, ...]:
    """Return what is odd about an expiry: no day in it, or a date out of the question."""
    if expiry is None:
        return ()
    apart = (expiry.on - today).days
    far = apart > figures.expiry_ahead.to("day").value or -apart > figures.expiry_behind.to("day").value
    flags = (("scan_expiry_day_not_given", not expiry.day_given), ("scan_expiry_out_of_question", far))
    return tuple(flag for flag, is_so in flags if is_so)


def _field_flags(found: tuple[gs1.Element, ...], heard: _Heard, today: datetime) -> tuple[str, ...]:
    """Return whether a separator between fields seems to be lost."""
    sure = bool(heard.aim) or gs1.GS in heard.body
    seen = {gs1.swallowed(element, today, sure) for element in found if element.open_ended}
    if "lost" in seen:
        return ("scan_separator_lost",)
    return ("scan_separator_unsure",) if "unsure" in seen else ()
