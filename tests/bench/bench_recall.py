"""What a recall costs at a million syringes: microseconds for each row it returns.

Run it from the top of the repository::

    python -m tests.bench.bench_recall [--syringes 1000000] [--lots 5000]

* Reading every taking of a lot, as the store does, against bare ``sqlite3`` on the same covering index giving
  plain tuples: in one run, lot by lot in turn, processor time, the best of several rounds each, the median
  over the lots. The aim is at most 1 microsecond a row.
* That the query reads the one index and no table beside it, as SQLite itself explains it.
* The whole reach of a lot (stock, syringes with how they ended, patients by name), which reads other tables
  too, for comparison.
"""

from __future__ import annotations

import argparse
import random
import sqlite3
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from kiosk.store import prepared
from kiosk.store.opening import Store
from tests.store import samples as s

MOST_US = 1.0
LOTS, ROUNDS = 60, 7


def fill(store: Store, syringes: int, lots: int) -> None:
    """Write so many finished syringes, each of one taking, by SQL alone; guards put aside meanwhile."""
    raw = store.database.raw
    guards = [row[0] for row in raw.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'")]
    names = [row[0] for row in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")]
    for name in names:
        raw.execute(f"DROP TRIGGER {name}")
    raw.execute("PRAGMA foreign_keys = OFF")
    raw.execute("PRAGMA synchronous = OFF")
    raw.execute("BEGIN")
    raw.executemany(prepared.SEE_PATIENT, patients())
    raw.executemany(
        "INSERT INTO preparations (id, order_id, patient, drug, code, needs_second, preparer, opened_at, "
        "ended_at, outcome, form) VALUES (?, ?, ?, 'gentamicin', ?, 0, 'ines', ?, ?, 'finished', '')",
        preparations(syringes),
    )
    raw.executemany(
        "INSERT INTO lots_used VALUES (?, ?, ?, ?, ?, ?, 'gentamicin', 'gent-40', 2000, 0)",
        takings(syringes, lots),
    )
    raw.execute("COMMIT")
    for sql in guards:
        raw.execute(sql)


def patients() -> Iterator[dict[str, str | None]]:
    """Fifty thousand invented patients."""
    for n in range(50_000):
        yield {
            "ref": f"{n:064x}",
            "salt": "s",
            "id": f"pt-{n}",
            "number": f"H-{n}",
            "name": f"Invented Number{n}",
            "born": "1950-01-01",
            "place": "",
            "erased_at": None,
        }


def preparations(syringes: int) -> Iterator[tuple[str, ...]]:
    """Their syringes."""
    for n in range(syringes):
        at = f"2026-03-15T03:00:00.{n:06d}+00:00"
        yield (f"{n:032x}", f"o-{n}", f"{n % 50_000:064x}", f"C{n}", at, at)


def takings(syringes: int, lots: int) -> Iterator[tuple[object, ...]]:
    """One taking for each, lots scattered by chance."""
    chance = random.Random(1)
    for n in range(syringes):
        at = f"2026-03-15T03:00:00.{n:06d}+00:00"
        yield (f"L{chance.randrange(lots)}", n + 1, at, f"{n:032x}", f"C{n % 900}", f"{n % 50_000:064x}")


def best(act: Callable[[], int]) -> float:
    """Return microseconds of processor time a row: the best of several rounds. Nothing waits for a disk."""
    found = []
    for _ in range(ROUNDS):
        began = time.process_time()
        rows = act()
        found.append((time.process_time() - began) / rows * 1e6)
    return min(found)


def measure(store: Store, lots: int) -> tuple[list[float], list[float], list[float]]:
    """Return microseconds a row of the store, of the floor, and of the whole reach, lot by lot in turn."""
    floor = sqlite3.connect(store.database.path, isolation_level=None)
    chance, ours, bare, whole = random.Random(2), list[float](), list[float](), list[float]()

    def plain(lot: str) -> int:
        return len(floor.execute(prepared.USES_OF_LOT, {"lot": lot, "product": "gent-40"}).fetchall())

    for _ in range(LOTS):
        lot = f"L{chance.randrange(lots)}"
        bare.append(best(lambda lot=lot: plain(lot)))  # type: ignore[misc]
        ours.append(best(lambda lot=lot: len(store.stock.uses_of_lot("gent-40", lot))))  # type: ignore[misc]
        whole.append(best(lambda lot=lot: len(store.stock.reach("gent-40", lot).finished)))  # type: ignore[misc]
    floor.close()
    return ours, bare, whole


def explained(store: Store) -> str:
    """Return how SQLite says it finds a lot."""
    rows = store.database.rows(
        f"EXPLAIN QUERY PLAN {prepared.USES_OF_LOT}", {"lot": "L1", "product": "gent-40"}
    )
    return "; ".join(row["detail"] for row in rows)


def main() -> int:
    """Build, measure, say."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--syringes", type=int, default=1_000_000)
    parser.add_argument("--lots", type=int, default=5_000)
    told = parser.parse_args()
    with TemporaryDirectory() as held, s.a_store(Path(held)) as store:
        fill(store, told.syringes, told.lots)
        plan = explained(store)
        ours, bare, whole = measure(store, told.lots)
    a_row, floor = median(ours), median(bare)
    print(f"{told.syringes} syringes, {told.syringes // told.lots} rows a lot; {plan}")
    print(f"a row of a recall: {a_row:.2f} us, floor {floor:.2f} us, {a_row / floor:.2f} x")
    print(f"the slowest of {LOTS} lots: {max(ours):.2f} us a row")
    print(f"the whole reach, with names and outcomes: {median(whole):.2f} us a row")
    good = a_row <= MOST_US and plan == "SEARCH lots_used USING PRIMARY KEY (lot=?)"
    print("within the aim" if good else f"not within the aim of {MOST_US} us a row from one index")
    return not good


if __name__ == "__main__":
    sys.exit(main())
