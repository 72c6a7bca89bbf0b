"""Eight counters work one stock at once: it never goes below nothing and adds up to the thousandth of a mL.

``python -m tests.durability.eight_counters --rounds 300`` is the long form. Eight processes on one SQLite
file take containers for syringes and finish them or give them up, put vials back in use, receive, throw
away, send back, move and count, at random and all at once. Each notes on its own, in plain whole numbers,
what it was told is on record. At the end the book must say the very same: what came is what was used,
wasted, sent back and is left; every drawer holds what the book says is left; the whole record verifies.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import traceback
from collections import Counter
from pathlib import Path

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.people import Role
from kiosk.flow.keeping import NewPerson
from kiosk.store.keys import read_keys
from kiosk.store.verify import verify
from tests.durability.counter_at_work import COUNTERS, EXPIRY, PRODUCTS, Worker, hundredths
from tests.store import samples as s


def set_up(folder: Path) -> None:
    """A counter with its people and a first stock."""
    with s.a_store(folder) as store:
        store.staff.set_up(NewPerson(s.a_person(s.KEEPER, Role.KEEPER), "PB1KAY", "9731"), s.NOW)
        witnesses = [s.WITNESS, *(f"wit-{n}" for n in range(COUNTERS))]
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.people([(s.a_person(one, Role.WITNESS), "", "") for one in witnesses])
            lists.products(PRODUCTS)
            rows = [
                Container(p.id.upper()[:8].replace("-", ""), p, "L1", EXPIRY, drawer="A1") for p in PRODUCTS
            ]
            lists.stock([(row, 6) for row in rows], s.WITNESS)


def one_counter(folder: Path, number: int, rounds: int, seed: int) -> None:
    """Work as one of the counters and leave what is known to be on record beside the file."""
    with s.a_store(folder) as store:
        store.database.raw.execute("PRAGMA synchronous = OFF")  # it is not the disk that is tried here
        worker = Worker(store, number, seed)
        worker.work(rounds)
    noted = {"sums": worker.noted.sums, "acts": worker.noted.acts}
    (folder / f"noted-{number}.json").write_text(json.dumps(noted), encoding="ascii")


def together(folder: Path, rounds: int, seed: int) -> list[int]:
    """Run all counters at once; return how each ended."""
    children = []
    for number in range(COUNTERS):
        child = os.fork()
        if child == 0:
            try:
                one_counter(folder, number, rounds, seed)
            except BaseException:
                traceback.print_exc()
                os._exit(1)
            os._exit(0)
        children.append(child)
    return [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]


def noted_by_all(folder: Path) -> tuple[dict[str, Counter[str]], Counter[str]]:
    """Add up what the counters noted: by lot, and how often they did what."""
    sums: dict[str, Counter[str]] = {f"{p.id} L1": Counter(came=6 * hundredths(p.contents)) for p in PRODUCTS}
    acts: Counter[str] = Counter()
    for number in range(COUNTERS):
        said = json.loads((folder / f"noted-{number}.json").read_text(encoding="ascii"))
        acts.update(said["acts"])
        for lot, amounts in said["sums"].items():
            sums.setdefault(lot, Counter()).update(amounts)
    return sums, acts


def differences(folder: Path) -> list[str]:
    """Return everything in which book, drawers, notes and record disagree; nothing when all is well."""
    sums, _ = noted_by_all(folder)
    found = []
    with s.a_store(folder) as store:
        sql = (
            "SELECT product, lot, sum(came) AS came, sum(used) AS used, sum(wasted) AS wasted, "
            'sum(sent) AS sent, min("left") AS least FROM stock_book GROUP BY product, lot'
        )
        book = {f"{row['product']} {row['lot']}": row for row in store.database.rows(sql)}
        for lot in sorted(sums.keys() | book.keys()):
            mine = {name: sums.get(lot, Counter())[name] * 10 for name in ("came", "used", "wasted", "sent")}
            theirs = {name: book[lot][name] if lot in book else 0 for name in mine}
            if mine != theirs:
                found.append(f"{lot}: noted {mine}, booked {theirs}")
            left = mine["came"] - mine["used"] - mine["wasted"] - mine["sent"]
            if left != _left(store, lot) or left < 0 or book[lot]["least"] < 0:
                found.append(f"{lot}: {left} should be left")
        verdict = verify(store.database.path, read_keys(folder / "keys"))
        found += [f"{one.seq} {one.how} {one.detail}" for one in verdict.breaks]
    return found


def _left(store: s.Store, lot: str) -> int:
    """Return what the drawers hold of a lot, in thousandths of a mL, added up row by row."""
    product, _, name = lot.partition(" ")
    rows = [row for row in store.stock.holdings(product) if row.container.lot == name]
    return sum(hundredths(row.amount(row.held or 0)) for row in rows) * 10


def run(folder: Path, rounds: int, seed: int) -> list[str]:
    """Set up, work, and say what disagrees."""
    set_up(folder)
    ended = together(folder, rounds, seed)
    if any(ended):
        return [f"counter {number} stopped" for number, how in enumerate(ended) if how]
    return differences(folder)


def main() -> int:
    """Run it and say what it showed."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--rounds", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    told = parser.parse_args()
    with tempfile.TemporaryDirectory() as held:
        folder = Path(held)
        wrong = run(folder, told.rounds, told.seed)
        if not wrong:
            _, acts = noted_by_all(folder)
            print(f"{COUNTERS} counters, {acts.total()} acts: {dict(sorted(acts.items()))}")
    print(
        "\n".join(wrong) or "the book, the drawers, the notes and the record agree to the thousandth of a mL"
    )
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main())
