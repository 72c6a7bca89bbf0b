"""Damages scans at random and looks for an exception or a misread expiry.

``python -m tests.feeds.proof_scans --count 1000000`` is the long proof; the test suite runs a short one.

The judge reads the damaged text by another method than the product: GS1's table of predefined lengths
(General Specifications, figure 7.8.5-2, from memory) walks from field to field without knowing more. A
damaged text that still is a valid symbol with another date is no misread of the symbol: it says so. Those
are counted, and must then be stopped by comparing with what was received.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from kiosk.core.catalogue.container import Container
from kiosk.core.findings import Refusal
from kiosk.core.stock.agreement import disagreement
from kiosk.feeds.gtin import check_digit
from kiosk.feeds.scan import what_is
from kiosk.flow.scans import ProductScan
from tests.core.samples import a_container, a_product

NOW = datetime(2026, 11, 25, 3, 0, tzinfo=UTC)
GS = "\x1d"
# first two digits of an identifier -> length of the whole field, identifier included
PREDEFINED = {
    "00": 20, "01": 16, "02": 16, "03": 16, "04": 18, "11": 8, "12": 8, "13": 8, "14": 8, "15": 8, "16": 8,
    "17": 8, "18": 8, "19": 8, "20": 4, "31": 10, "32": 10, "33": 10, "34": 10, "35": 10, "36": 10, "41": 16,
}  # fmt: skip
LETTERS = "0123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefg-./_"
NOISE = LETTERS + GS + "\x1e\x00\t é€]()²٣"


@dataclass(frozen=True)
class Whole:
    """An undamaged scan and what it says."""

    text: str
    gtin: str
    lot: str
    expiry: date


def a_whole_scan(rnd: random.Random) -> Whole:
    """Return a proper scan of a product with a lot and an expiry, in one of the usual orders."""
    body = f"0952{rnd.randrange(10**9):09d}"
    gtin = body + check_digit(body)
    lot = "".join(rnd.choice(LETTERS) for _ in range(rnd.randint(3, 12)))
    expiry = NOW.date() + timedelta(days=rnd.randint(-400, 1800))
    fixed = ["01" + gtin, f"17{expiry:%y%m%d}"]
    open_ended = ["10" + lot]
    if rnd.random() < 0.6:
        open_ended.append("21" + "".join(rnd.choice("0123456789ABCDEF") for _ in range(rnd.randint(4, 14))))
    if rnd.random() < 0.2:
        open_ended.append("30" + str(rnd.randint(1, 99)))
    if rnd.random() < 0.2:
        fixed.append(f"11{expiry - timedelta(days=700):%y%m%d}")
    rnd.shuffle(open_ended)
    front, *rest = fixed
    fields = [front, *rest, *open_ended] if rnd.random() < 0.5 else [front, *open_ended, *rest]
    text = "".join(f + (GS if f in open_ended and f is not fields[-1] else "") for f in fields)
    return Whole(rnd.choice(["]d2", "]C1", "]Q3", ""]) + text, gtin, lot, expiry)


def _delete(t: str, r: random.Random) -> str:
    i = r.randrange(len(t) + 1)
    return t[:i] + t[i + r.randint(1, 3) :]


def _insert(t: str, r: random.Random) -> str:
    i = r.randrange(len(t) + 1)
    return t[:i] + r.choice(NOISE) + t[i:]


def _replace(t: str, r: random.Random) -> str:
    i = r.randrange(len(t) + 1)
    return t[:i] + r.choice(NOISE) + t[i + 1 :]


def _swap(t: str, r: random.Random) -> str:
    i = r.randrange(max(len(t) - 1, 1))
    return t[:i] + t[i + 1 : i + 2] + t[i : i + 1] + t[i + 2 :]


def _repeat(t: str, r: random.Random) -> str:
    i, n = r.randrange(len(t) + 1), r.randint(1, 12)
    return t[: i + n] + t[i : i + n] + t[i + n :]


DAMAGE: tuple[Callable[[str, random.Random], str], ...] = (
    _delete,
    _insert,
    _replace,
    _swap,
    _repeat,
    lambda t, r: t[: r.randrange(len(t) + 1)],
    lambda t, r: t[r.randrange(len(t) + 1) :],
    lambda t, r: t.replace(GS, ""),
    lambda t, r: t.replace(GS, r.choice(NOISE), 1),
    lambda t, r: t.swapcase(),
    lambda t, r: t.upper(),
    lambda t, r: r.choice(["]d1", "]d2", "]C0", "]E0", "]X9", ""]) + t[3:],
    lambda t, r: t + t,
    lambda t, r: t + "\r\n",
)


def damaged(text: str, rnd: random.Random) -> str:
    """Return the text after one to three kinds of damage."""
    for _ in range(rnd.choice((1, 1, 1, 2, 3))):
        text = rnd.choice(DAMAGE)(text, rnd)
    return text


def expiries_written(text: str) -> set[str]:
    """Return the six digits of every expiry that the text, read by predefined lengths, has in it."""
    rest = text.strip("\r\n\t")
    rest = (rest[3:] if rest.startswith("]") else rest).removeprefix(GS)
    found = set()
    while rest:
        length = PREDEFINED.get(rest[:2])
        field = rest[:length] if length else rest.split(GS)[0]
        if field[:2] == "17":
            found.add(field[2:8])
        if field[:4] == "7003":
            found.add(field[4:10])
        rest = rest[max(len(field), 1) :].removeprefix(GS)
    return found


def as_digits(found: ProductScan) -> set[str]:
    """Return how a symbol may write this expiry: with its day, or day 00 where that was flagged."""
    assert found.expiry is not None
    day = "00" if "scan_expiry_day_not_given" in found.flags else f"{found.expiry:%d}"
    return {f"{found.expiry:%y%m}{day}"}


def judge(whole: Whole, text: str, on_the_shelf: Container) -> str:
    """Return what became of one damaged scan; ``MISREAD`` is what must not happen."""
    found = what_is(text, NOW)
    if isinstance(found, Refusal):
        return f"refused: {found.code}"
    if not isinstance(found, ProductScan):
        return "MISREAD as another kind of code"
    if found.expiry is None:
        return "read without an expiry" + (" and flagged" if found.flags else "")
    if not as_digits(found) & expiries_written(text):
        return "MISREAD: an expiry the symbol does not carry"
    if found.expiry == whole.expiry:
        return "read as it was"
    if found.gtin != whole.gtin:
        return "another product's symbol"
    if disagreement(on_the_shelf, found.lot, found.expiry, found.serial) is None:
        return "MISREAD: passed as what was received"
    return "says another date, stopped by the record" + (" and flagged" if found.flags else "")


def prove(count: int, seed: int) -> Counter[str]:
    """Return how ``count`` damaged scans were answered. Raises whatever the product raises."""
    rnd = random.Random(seed)
    answers: Counter[str] = Counter()
    product = a_product()
    for n in range(count):
        if n % 20 == 0:
            whole = a_whole_scan(rnd)
            shelf = a_container(product, lot=whole.lot, expiry=whole.expiry)
        answers[judge(whole, damaged(whole.text, rnd), shelf)] += 1
    return answers


def main() -> int:
    """Run the long proof and print what became of the scans."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=1_000_000)
    options.add_argument("--seed", type=int, default=1)
    chosen = options.parse_args()
    answers = prove(chosen.count, chosen.seed)
    for answer, times in answers.most_common():
        print(f"{times:9d}  {answer}")
    return 1 if any(answer.startswith("MISREAD") for answer in answers) else 0


if __name__ == "__main__":
    sys.exit(main())
