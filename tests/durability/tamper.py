"""Tampers with a record by plain SQL, in every way we can think of, and asks whether it is noticed.

``python -m tests.durability.tamper --count 1000`` is the long form. Who tampers owns the database file and
knows its form, but has no key. Each attempt is first made against the guards; what they let pass, and then
the same with the guards taken off and put back, must be told by ``verify``. An attempt that changes nothing
does not count and is drawn again.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sqlite3
import sys
import tempfile
from collections import Counter
from contextlib import closing, suppress
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from kiosk.core.preparation import events as e
from kiosk.core.preparation.form_events import PauseBegan
from kiosk.core.preparation.house_events import PolicyNoted
from kiosk.store.keys import read_keys
from kiosk.store.verify import verify
from tests.durability.attempts import ATTEMPTS, DRUGS, Attempt
from tests.durability.attempts_at_labels import FORMS
from tests.saved_databases.make import fill
from tests.store import samples as s
from tests.store.test_lists import DEVICES

TABLES = (
    *("ledger", "patients_seen", "preparations", "roles", "vouchers", "labels", "lots_used"),
    *("people", "badges", "pins", "tries", "sqlite_master", *DRUGS),
    *("products", "devices", "patients", "orders", "containers", "stock_book", "handovers"),
)


@dataclass(slots=True)
class Tally:
    """What became of the attempts; ``missed`` names those nobody noticed, with the seed that makes them."""

    refused: int = 0
    detected: int = 0
    missed: list[str] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)

    @property
    def tried(self) -> int:
        """How many tamperings there were."""
        return self.refused + self.detected + len(self.missed)


def run(count: int, seed: int, folder: Path) -> Tally:
    """Make so many tamperings, each on a fresh copy of one record."""
    clean = folder / "clean"
    clean.mkdir()
    with s.a_store(clean) as store:
        fill(store)
        vial = next(c for c in store.shelf.containers_of("gentamicin", s.NOW) if c.id == s.a_container().id)
        opened = s.opened(s.an_order("o-9"), code="A9", by="p-nine")
        store.ledger.append("prep-9", [opened, *s.drawn("p-nine", vial)], s.NOW, "k9")
        weaker_and_after_a_gap(store)
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.devices(DEVICES)
        store.people.sign_on("PB1WIM2", "0000", s.NOW)
    shutil.copytree(clean, folder / "copy")
    if not verify(folder / "copy" / "counter.db", read_keys(folder / "copy" / "keys")).whole:
        raise RuntimeError("a copy nobody touched is not whole: the attempts would prove nothing")
    tally = Tally()
    number = 0
    while tally.tried < count:
        number += 1
        chance = random.Random(f"{seed}-{number}")
        attempt = chance.choice(ATTEMPTS)
        guarded = chance.random() < 0.5
        outcome = _try(attempt, chance, guarded, clean, folder / "copy")
        if outcome:
            tally.kinds[attempt.__name__] += 1
        if outcome == "missed":
            tally.missed.append(
                f"{attempt.__name__} {'with' if guarded else 'without'} guards {seed}-{number}"
            )
        tally.refused += outcome == "refused"
        tally.detected += outcome == "detected"
    return tally


def weaker_and_after_a_gap(store: s.Store) -> None:
    """Three open syringes more: a self-check that waits, a witness yet to come, vouchers of before a gap."""
    store.ledger.note([PolicyNoted((("check_forms", ", ".join(FORMS.values()), "file"),))], s.NOW)
    for name, form in FORMS.items():
        by = f"p-{name}"
        begun = e.Opened(by, s.an_order(f"o-{name}"), f"A-{name}", False, (), form)
        store.ledger.append(name, [begun, *s.stated(by)], s.NOW, name)
    store.ledger.append("prep-7", [PauseBegan("p-prep-7", s.NOW + 2 * s.MINUTE)], s.NOW, "pause")
    begun = s.opened(s.an_order("o-5"), code="A5", by="p-five")
    both = [*s.stated("p-five"), e.CheckerCame("p-olu"), *s.stated("p-olu")]
    vouched = e.Vouched(s.FACTS, ("p-five", "p-olu"), "independent second person")
    store.ledger.append("prep-5", [begun, *both, vouched, e.Resumed("p-five")], s.NOW, "k5")


def _try(attempt: Attempt, chance: random.Random, guarded: bool, clean: Path, copy: Path) -> str:
    """Make one attempt and say what became of it; empty when it changed nothing."""
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(clean, copy)
    with closing(sqlite3.connect(copy / "counter.db", isolation_level=None)) as raw:
        raw.execute("PRAGMA synchronous = OFF")
        before = _digest(raw)
        guards = [] if guarded else _take_off(raw)
        try:
            attempt(raw, chance)
        except sqlite3.Error:
            return "refused" if guarded and _digest(raw) == before else ""
        for guard in guards:
            with suppress(sqlite3.OperationalError):  # its table may be gone
                raw.execute(guard)
        if _digest(raw) == before:
            return ""
    whole = verify(copy / "counter.db", read_keys(copy / "keys")).whole
    return "missed" if whole else "detected"


def _take_off(raw: sqlite3.Connection) -> list[str]:
    """Drop every trigger and return how to make them again."""
    found = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in found:
        raw.execute(f"DROP TRIGGER {name}")
    return [sql for _, sql in found]


def _digest(raw: sqlite3.Connection) -> str:
    """Return a digest of every row of the record, to see whether anything changed."""
    made = sha256()
    for table in TABLES:
        columns = "name, sql" if table == "sqlite_master" else "*"
        try:
            rows = sorted(map(repr, raw.execute(f"SELECT {columns} FROM {table}")))
        except sqlite3.Error as gone:
            rows = [str(gone)]
        made.update(repr(rows).encode())
    return made.hexdigest()


def main() -> int:
    """Run the long form and say what it showed."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--count", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="tamper-"))
    tally = run(given.count, given.seed, folder)
    shutil.rmtree(folder)
    print(
        f"tried {tally.tried}: refused {tally.refused}, detected {tally.detected}, missed {len(tally.missed)}"
    )
    print(dict(tally.kinds))
    for one in tally.missed:
        print("missed:", one)
    return 1 if tally.missed else 0


if __name__ == "__main__":
    sys.exit(main())
