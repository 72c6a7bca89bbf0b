"""The month's report of waste in words: its worth by reason, by product, by day; what expires next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.label.table_sheet import TableSheet
from kiosk.core.label.waste_sheet import Bar, Bars, WasteSheet
from kiosk.core.stock.holding import Holding
from kiosk.core.stock.moments import in_zone
from kiosk.core.stock.waste import MonthReport, Reason, Sum, Wasted, by_day, month_report
from kiosk.pages.words import Words

MOST_PRODUCTS: Final = 8
EXPIRES_WITHIN: Final = timedelta(days=60)


def waste_sheet(
    wastes: Sequence[Wasted],
    holdings: Sequence[Holding],
    year: int,
    month: int,
    now: datetime,
    words: Words,
) -> WasteSheet:
    """Return the report of one month, with what stands here and expires within two months of ``now``."""
    report = month_report(wastes, year, month)
    names = {waste.product.id: waste.product.label_name for waste in wastes}
    say = words.say
    days = tuple(Bar(str(day), _length(one), money(one, words)) for day, one in by_day(wastes, year, month))
    return WasteSheet(
        title=say("waste.title", month=words.entries[f"month.{month}"], year=str(year)),
        subtitle=say("waste.subtitle", at=now),
        sums=_sums(report.total, words),
        by_reason=Bars(say("waste.by_reason"), _reasons(report, words), say("waste.nothing")),
        by_product=Bars(say("waste.by_product"), _products(report, names, words), say("waste.nothing")),
        by_day=Bars(say("waste.by_day"), days, say("waste.nothing")),
        tables=(_table(report, names, words), _expiring(holdings, now, words)),
        foot=say("waste.foot"),
    )


def _sums(total: Sum, words: Words) -> tuple[tuple[str, str], ...]:
    """Return the totals of the month, each with its name."""
    return (
        (words.say("waste.times"), str(total.times)),
        (words.say("waste.volume"), words.write(total.volume)),
        (words.say("waste.containers"), str(total.containers)),
        (words.say("waste.value"), money(total, words)),
    )


def money(one: Sum, words: Words) -> str:
    """Return a value with its currency, or that it is not known for want of a price: never nothing for it.

    Two decimals: money is the one figure whose trailing zero stays.
    """
    if one.mixed:
        return words.say("waste.several_currencies")
    if one.value is None:
        return words.say("waste.no_price")
    return f"{one.value:.2f} {one.currency}".replace(".", words.say("number.point")).rstrip()


def _length(one: Sum) -> Decimal:
    """Return how long a bar is: its value, or nothing where that is not known."""
    return one.value or Decimal(0)


def _reasons(report: MonthReport, words: Words) -> tuple[Bar, ...]:
    """Return a bar for each reason, the costliest first."""
    bars = [Bar(_reason(reason, words), _length(one), money(one, words)) for reason, one in report.by_reason]
    return tuple(sorted(bars, key=lambda bar: -bar.length))


def _reason(reason: Reason, words: Words) -> str:
    """Return a reason in words."""
    return words.entries[f"waste_reason.{reason.name.lower()}.text"]


def _products(report: MonthReport, names: Mapping[str, str], words: Words) -> tuple[Bar, ...]:
    """Return a bar for each of the costliest products."""
    some = report.by_product[:MOST_PRODUCTS]
    return tuple(Bar(names[id], _length(one), money(one, words)) for id, one in some)


def _table(report: MonthReport, names: Mapping[str, str], words: Words) -> TableSheet:
    """Return every product that was thrown away, with how much and what it was worth."""
    heads = ("product", "times", "volume", "containers", "value")
    rows = tuple(
        (
            names[id],
            str(one.times),
            words.write(one.volume) if one.volume.value else "",
            _count(one.containers),
            money(one, words),
        )
        for id, one in report.by_product
    )
    headings = tuple(words.say(f"waste.{head}") for head in heads)
    return TableSheet(words.say("waste.table"), "", headings, rows, "", "", words.say("waste.nothing"))


def _count(containers: Fraction) -> str:
    """Return a number of whole containers; nothing for none."""
    return str(containers) if containers else ""


def _expiring(holdings: Sequence[Holding], now: datetime, words: Words) -> TableSheet:
    """Return what stands here and is out of date or will soon be, the soonest first."""
    until = (now + EXPIRES_WITHIN).date()
    ends = {held.container.id: _ends(held, now) for held in holdings}
    soon = sorted(
        (h for h in holdings if ends[h.container.id] < until), key=lambda held: ends[held.container.id]
    )
    rows = tuple(
        (
            held.container.product.label_name,
            held.container.lot,
            words.write(ends[held.container.id]),
            str(held.free),
            held.container.drawer,
        )
        for held in soon
    )
    headings = tuple(words.say(f"waste.{head}") for head in ("product", "lot", "until", "count", "drawer"))
    return TableSheet(words.say("waste.expiring"), "", headings, rows, "", "", words.say("waste.none_soon"))


def _ends(held: Holding, now: datetime) -> date:
    """Return the day until which a row may be used: its pack's, or its discard time's if opened."""
    discard = in_zone(held.container, now).discard_after
    return min(held.container.expiry, discard.date()) if discard is not None else held.container.expiry
