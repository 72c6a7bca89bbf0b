"""What the record costs beside bare SQLite and bare SHA-256, in one run.

Run it from the top of the repository::

    python -m tests.bench.bench_record [--syringes 60] [--entries 100000]

* A durable action (events, chain, marks, projections) against the very same SQL, taken down from the store
  and given to bare ``sqlite3`` with the same settings; action by action in turn, medians of each.
* Following the chain of stored entries against SHA-256 over the same texts in memory; the start-up check of
  the last thousand, both the best of interleaved rounds since nothing in them waits for a disk; the full
  verification with marks, projections and the file itself, once.
"""

from __future__ import annotations

import argparse
import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from kiosk.store import connection, prepared
from kiosk.store.chain import walk
from kiosk.store.connection import read_only
from kiosk.store.head import read_note
from kiosk.store.verify import check_end, verify
from tests.durability.writer import STEPS, events_of, key, syringe
from tests.store import samples as s

Taken = list[tuple[str, Any]]


class Listener:
    """Stands before a connection and takes down what is said to it."""

    def __init__(self, real: sqlite3.Connection) -> None:
        self._real = real
        self.said: Taken = []

    def execute(self, sql: str, values: Any = ()) -> sqlite3.Cursor:
        """Pass a statement on."""
        self.said.append((sql, values))
        return self._real.execute(sql, values)

    @property
    def in_transaction(self) -> bool:
        """As the real one says."""
        return self._real.in_transaction


@dataclass(frozen=True, slots=True)
class Ratio:
    """What was measured, ours and the floor, in seconds, and how many times the floor ours is."""

    name: str
    ours: float
    floor: float

    @property
    def times(self) -> float:
        """Ours over the floor."""
        return self.ours / self.floor

    def __str__(self) -> str:
        return f"{self.name}: {self.ours * 1e6:.1f} us, floor {self.floor * 1e6:.1f} us, {self.times:.2f} x"


def actions(syringes: int) -> list[tuple[str, Sequence[Any], str]]:
    """Return the actions of so many syringes, made before anything is measured."""
    return [(syringe(n), events_of(n), key(n)) for n in range(syringes * STEPS)]


def taken_down(folder: Path, done: Sequence[tuple[str, Sequence[Any], str]]) -> list[Taken]:
    """Write the actions once and return the SQL of each."""
    found = []
    with s.a_store(folder) as store:
        listener = Listener(store.database.raw)
        store.database._connection = listener  # type: ignore[assignment]
        for preparation, events, name in done:
            listener.said = []
            store.ledger.append(preparation, events, s.NOW, name)
            found.append(listener.said)
        store.database._connection = listener._real
    return found


@contextmanager
def bare(folder: Path) -> Iterator[sqlite3.Connection]:
    """Open bare sqlite3 on the same schema with the same settings."""
    with closing(sqlite3.connect(folder / "bare.db", isolation_level=None)) as raw:
        raw.execute("PRAGMA journal_mode = WAL")
        for pragma in connection._PRAGMAS:
            raw.execute(pragma)
        for statement in prepared.SCHEMA:
            raw.execute(statement)
        yield raw


def replay(raw: sqlite3.Connection, said: Taken) -> None:
    """Say the same SQL to bare sqlite3."""
    for sql, values in said:
        raw.execute(sql, values).fetchall()


def durable(folder: Path, syringes: int) -> list[Ratio]:
    """Measure durable actions, each against its own SQL, in turn."""
    done = actions(syringes)
    (folder / "taken").mkdir()
    sql = taken_down(folder / "taken", done)
    ours, floor = list[float](), list[float]()
    with s.a_store(folder) as store, bare(folder) as raw:
        for (preparation, events, name), said in zip(done, sql, strict=True):
            began = time.perf_counter()
            store.ledger.append(preparation, events, s.NOW, name)
            between = time.perf_counter()
            replay(raw, said)
            ours.append(between - began)
            floor.append(time.perf_counter() - between)
    opening = [n for n in range(len(done)) if n % STEPS == 0]
    return [
        Ratio("a durable action, median of all", median(ours), median(floor)),
        Ratio("a whole syringe, mean", sum(ours) / syringes, sum(floor) / syringes),
        Ratio("taking up an order", median(ours[n] for n in opening), median(floor[n] for n in opening)),
    ]


def long_record(folder: Path, entries: int) -> s.Store:
    """Return a store whose record has about so many entries, made quickly."""
    store = s.open_store(folder / "counter.db", folder / "keys", s.CHEAP)
    store.database.raw.execute("PRAGMA synchronous = OFF")
    for turn in range(-(-entries // (STEPS + 1))):
        events = [event for n in range(turn * STEPS, (turn + 1) * STEPS) for event in events_of(n)]
        store.ledger.append(f"prep-{turn}", events, s.NOW, f"k-{turn}")
    return store


def seconds(work: Any, rounds: int = 1) -> float:
    """Return the best time of some rounds."""
    spent = []
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        spent.append(time.perf_counter() - began)
    return min(spent)


def hashed(texts: Sequence[bytes]) -> None:
    """Hash texts in memory: the floor."""
    for text in texts:
        sha256(text).digest()


def followed(folder: Path, entries: int) -> tuple[Ratio, float, float]:
    """Measure following the chain, the start-up check and the full verification, in seconds."""
    store = long_record(folder, entries)
    note = read_note(store.keys.folder)
    with closing(read_only(store.database.path)) as raw:
        texts = [row[0].encode() for row in raw.execute(prepared.CHAIN_FROM, {"first": 1})]
        pairs = [(seconds(lambda: walk(raw)), seconds(lambda: hashed(texts))) for _ in range(15)]
    chain = Ratio(
        f"following the chain, an entry of {len(texts)}",
        min(ours for ours, _ in pairs) / len(texts),
        min(floor for _, floor in pairs) / len(texts),
    )
    end = seconds(lambda: check_end(store.database.raw, store.keys, note), 50)
    whole = seconds(lambda: verify(store.database.path, store.keys))
    store.close()
    return chain, end, whole


def main() -> None:
    """Measure and say."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--syringes", type=int, default=60)
    asked.add_argument("--entries", type=int, default=100_000)
    given = asked.parse_args()
    with TemporaryDirectory(prefix="record-") as held:
        for ratio in durable(Path(held), given.syringes):
            print(ratio)
    with TemporaryDirectory(prefix="record-") as held:
        chain, end, whole = followed(Path(held), given.entries)
        print(chain)
        print(f"the check at start (guards, last 1,000 entries, head): {end * 1e3:.2f} ms")
        print(f"full verification of {given.entries} entries: {whole:.1f} s")


if __name__ == "__main__":
    main()
