"""``kiosk stock``: the month's waste as a page, the stock as a list, and a stock list tried. Reads only."""

from __future__ import annotations

import re
import sys
from argparse import Namespace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Refusal
from kiosk.flow.ports import RecordTrouble
from kiosk.hardware.clock import SystemClock
from kiosk.wiring.counter import words
from kiosk.wiring.home import Home
from kiosk.wiring.stock_desk import StockPapers

if TYPE_CHECKING:
    from kiosk.feeds.stock_rows import StockLine
    from kiosk.pages.words import Words
    from kiosk.store.opening import Store

DONE, BAD_INPUT, REFUSED, CLOSED = 0, 2, 3, 4
_MONTH: Final = re.compile(r"(\d{4})-(0[1-9]|1[0-2])")


def run(arguments: Namespace) -> int:
    """Run one of the stock's commands and return its exit code (see ``kiosk stock --help``)."""
    from kiosk.store.opening import open_store

    home, spoken = Home(arguments.home), words(arguments.language)
    if not home.database.is_file():
        return _fail(f"{arguments.home}: there is no counter's record here", BAD_INPUT)
    try:
        store = open_store(home.database, home.keys)
    except RecordTrouble as trouble:
        return _fail(f"{spoken.say('closed.question')}: {trouble}", CLOSED)
    try:
        return ACTS[arguments.act](store, home, spoken, arguments)
    except (OSError, RecordTrouble) as trouble:
        return _fail(str(trouble), CLOSED)
    finally:
        store.close()


def _waste(store: Store, home: Home, spoken: Words, arguments: Namespace) -> int:
    """Write the waste of one month as PDF and say where it lies."""
    now = SystemClock().now()
    month = _MONTH.fullmatch(arguments.month or f"{now:%Y-%m}")
    if month is None:
        return _fail(f"--month: {arguments.month!r} is not a month such as 2026-03", BAD_INPUT)
    papers = StockPapers(store, home, spoken)
    return _written(papers, int(month[1]), int(month[2]), now, spoken, arguments.out)


def _written(
    papers: StockPapers, year: int, month: int, now: datetime, spoken: Words, out: Path | None
) -> int:
    """Write the page to a file, or into the outbox."""
    page = papers.waste_page(year, month, now)
    made = papers.put(page, f"waste-{year}-{month:02}.pdf") if out is None else page
    if isinstance(made, Refusal):
        return _fail(_sentence(made, spoken), REFUSED)
    if out is None:
        print(papers.outbox / str(made))
    elif isinstance(made, bytes):
        out.write_bytes(made)
        print(out)
    return DONE


def _export(store: Store, home: Home, spoken: Words, arguments: Namespace) -> int:
    """Write the stock as a list that ``try`` takes for no change at all."""
    from kiosk.feeds.lists import export, stock

    text = export(stock({}), _lines(store))
    if arguments.out == "-":
        print(text, end="")
    else:
        Path(arguments.out).write_text(text, encoding="utf-8")
    return DONE


def _try(store: Store, home: Home, spoken: Words, arguments: Namespace) -> int:
    """Read a list to its end: every trouble with its line, or each row that would come new or change."""
    from kiosk.feeds.lists import Changed, Troubled, dry_run, stock

    products = {product.id: product for product in store.stock.products()}
    answer = dry_run(stock(products), arguments.file, _lines(store))
    if isinstance(answer, Troubled):
        for trouble in answer.troubles:
            print(_sentence(trouble, spoken))
        return REFUSED
    for change in answer.changes:
        if change.kind is not Changed.SAME:
            cells = "; ".join(f"{column}: {was or '-'} > {now or '-'}" for column, was, now in change.cells)
            print(f"{change.id}  {change.kind.value}  {cells}".rstrip())
    print(", ".join(f"{kind.value}: {answer.how_many(kind)}" for kind in Changed))
    return DONE


def _lines(store: Store) -> list[StockLine]:
    """Return what stands in the drawers as the lines of a list."""
    from kiosk.feeds.stock_rows import StockLine

    return [StockLine(one.container, one.held or 1) for one in store.stock.holdings()]


def _sentence(refusal: Refusal, spoken: Words) -> str:
    """Return what a refusal says and what to do about it, in one line."""
    card = spoken.refusal(refusal)
    return f"{card.what} {card.now}"


def _fail(sentence: str, code: int) -> int:
    """Say one sentence on standard error and return a code."""
    print(sentence, file=sys.stderr)
    return code


ACTS: Final = {"waste": _waste, "export": _export, "try": _try}
