"""What a keystroke costs when a product is looked for among 130,000.

Run it from the top of the repository::

    python -m tests.bench.bench_search [--products 130000]

Invented names of eight thousand drugs in many strengths and forms, in the store's own table. Names are then
typed letter by letter, some with a slip of the finger in them, and every keystroke is timed: processor time,
the best of several rounds, beside a bare range scan of the first twenty names on the same index in the same
run. Aims: at most four times the floor in the middle, and never more than 1 ms.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from kiosk.core.stock.near_names import folded
from kiosk.store.opening import Store
from kiosk.store.product_search import _BEGINNING, ProductSearch, made
from tests.store import samples as s

DRUGS, TYPED, ROUNDS = 8_000, 150, 5
MOST_TIMES, WORST_MS = 4.0, 1.0
_STARTS = (
    "ab ac ad al am an ar as be bi bu ca ce chlo cy da de di do el en ep fa fe flu ga ge ha hy im in io ke"
)
_STARTS += " la le lo me mi mo na ni no ol ox pa pe phe pi pro qui ra ri sa si so su ta te ti tri va ve xy zo"
_MIDDLES = "bra ce cli do fa flu ga ka la lo me mi mo na ne ni pa pi pra ra ri ro se ta ti to va xi za"
_ENDS = (
    "cillin col dine dol fen late lol mab min mycin nol pam pine pril ram rin sone statin tan tide vir zine"
)
_FORMS = "ampoule|vial|multi-dose vial|powder|prefilled syringe|oral liquid"


def names(count: int) -> list[str]:
    """Return so many invented drug names, no two alike."""
    chance, found = random.Random(3), set[str]()
    starts, middles, ends = _STARTS.split(), _MIDDLES.split(), _ENDS.split()
    while len(found) < count:
        inner = "".join(chance.choice(middles) for _ in range(chance.randint(1, 3)))
        found.add(chance.choice(starts) + inner + chance.choice(ends))
    return sorted(found)


def products(count: int, drugs: list[str]) -> Iterator[tuple[str, str]]:
    """Yield products: each drug in many strengths and forms."""
    chance, forms = random.Random(4), _FORMS.split("|")
    for n in range(count):
        drug, form = drugs[n % len(drugs)], chance.choice(forms)
        strength, volume = (
            chance.choice((1, 2, 5, 10, 20, 40, 50, 100, 250, 500)),
            chance.choice((1, 2, 5, 10, 20)),
        )
        yield f"p{n}", f"{drug} {strength} mg in {volume} mL, {form}"


def fill(store: Store, count: int, drugs: list[str]) -> None:
    """Put them into the store's table of products."""
    store.database.raw.execute("BEGIN")
    store.database.raw.executemany(
        "INSERT INTO products VALUES (?, ?, ?, json_object('label_name', ?))",
        ((id, id, name.split()[0], name) for id, name in products(count, drugs)),
    )
    store.database.raw.execute("COMMIT")


def typings(drugs: list[str]) -> Iterator[tuple[str, bool]]:
    """Yield what is typed, keystroke by keystroke, and whether there is a slip in it."""
    chance = random.Random(5)
    for n in range(TYPED):
        word = chance.choice(drugs)
        slipped = n % 3 == 2
        if slipped:
            at = chance.randrange(2, len(word) - 1)
            word = word[:at] + word[at + 1] + word[at] + word[at + 2 :]
        text = word if n % 2 else f"{word} {chance.choice((1, 2, 5, 10))} mg"
        for long in range(1, len(text) + 1):
            yield text[:long], slipped


def best(act: Callable[[], object]) -> float:
    """Return microseconds of processor time, the best of several rounds."""
    found = []
    for _ in range(ROUNDS):
        began = time.process_time_ns()
        act()
        found.append((time.process_time_ns() - began) / 1000)
    return min(found)


def main() -> int:
    """Build, type, say."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--products", type=int, default=130_000)
    told = parser.parse_args()
    drugs = names(DRUGS)
    with TemporaryDirectory() as held, s.a_store(Path(held)) as store:
        fill(store, told.products, drugs)
        search = ProductSearch(store.database)
        began = time.perf_counter()
        search.make_ready()
        took = time.perf_counter() - began
        bare = made(products(told.products, drugs))
        times = measured(
            search, lambda text: bare.execute(_BEGINNING, (text, text + "\U0010ffff", 20)).fetchall(), drugs
        )
    print(f"{told.products} products, index made in {took:.1f} s, {len(times)} keystrokes")
    return said(times)


Timed = tuple[str, bool, float, float]


def measured(search: ProductSearch, floor: Callable[[str], object], drugs: list[str]) -> list[Timed]:
    """Time every keystroke, ours and the floor in turn."""
    times = []
    for text, slipped in typings(drugs):
        plain = folded(text)
        times.append((text, slipped, best(lambda t=text: search.find(t)), best(lambda t=plain: floor(t))))  # type: ignore[misc]
    return times


def said(times: list[Timed]) -> int:
    """Say the middle, the worst and how each length fares; 0 when within the aims."""
    for low, high in ((1, 1), (2, 2), (3, 4), (5, 8), (9, 40)):
        some = [t for t in times if low <= len(t[0]) <= high]
        ours, floor = median(t[2] for t in some), median(t[3] for t in some)
        print(f"{low} to {high} letters: {ours:.0f} us, floor {floor:.0f} us, {ours / floor:.1f} x")
    right, wrong = ([t for t in times if t[1] is slipped] for slipped in (False, True))
    times_floor = median(t[2] for t in times) / median(t[3] for t in times)
    worst = max(times, key=lambda t: t[2])
    print(
        f"typed right {median(t[2] for t in right):.0f} us, with a slip {median(t[2] for t in wrong):.0f} us"
    )
    print(f"all: {times_floor:.1f} x the floor; worst {worst[2] / 1000:.2f} ms for {worst[0]!r}")
    good = times_floor <= MOST_TIMES and worst[2] / 1000 <= WORST_MS
    print("within the aims" if good else "not within the aims")
    return not good


if __name__ == "__main__":
    sys.exit(main())
