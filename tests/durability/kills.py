"""Kills a writing counter at random moments and asks what became of the record.

``python -m tests.durability.kills --count 500`` is the long form. After every kill: is every acknowledged
action there, does the end of the chain hold, does the next counter open and go on? Whoever goes on sends the
last action again: under its key it must be a no-op when it was written, and be written when it was not.
At the end: the whole record verifies, and every syringe holds exactly its events, none lost, none twice.

SIGKILL leaves what the operating system holds in memory: this shows what a crash does, not what a power cut
does. For that there is ``synchronous=FULL``, which a test of the store looks at.
"""

from __future__ import annotations

import argparse
import fcntl
import os
import random
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
import traceback
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from kiosk.store.chain import walk_tail
from kiosk.store.connection import read_only
from kiosk.store.keys import read_keys
from kiosk.store.verify import verify
from tests.durability.writer import STEPS, events_of, key, syringe, write_for_ever
from tests.store import samples as s

LONGEST_S = 0.4
BIRTH_S = 0.1
PIPE_BYTES = 1024 * 1024


@dataclass(slots=True)
class Tally:
    """What a run of kills showed."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    unanswered: int = 0
    broken: int = 0
    wrong: int = 0

    @property
    def good(self) -> bool:
        """Nothing acknowledged was lost, nothing broke, nothing was written twice or wrongly."""
        return self.lost == self.broken == self.wrong == 0 and self.acknowledged > 0


def run(count: int, seed: int, folder: Path) -> Tally:
    """Kill so many writers: most on one record, every fifth while a new one is being made."""
    chance = random.Random(seed)
    tally = Tally()
    last = -1
    (folder / "long").mkdir()
    for number in range(count):
        tally.kills += 1
        if number % 5 == 4:
            _birth(folder / f"born-{number}", tally, chance.uniform(0.0, BIRTH_S))
            continue
        sent, back = _kill_one(folder / "long", last + 1, chance.uniform(0.0, LONGEST_S))
        tally.acknowledged += max(0, back - last)
        last = max(last, back)
        _ask(folder / "long", tally, last, sent)
    _finish(folder / "long", tally, last)
    return tally


def _birth(folder: Path, tally: Tally, after_s: float) -> None:
    """Kill a writer that is only just making its record; the next one must be able to begin or go on."""
    folder.mkdir()
    _, back = _kill_one(folder, 0, after_s)
    tally.acknowledged += back + 1
    _finish(folder, tally, max(back, 0))
    shutil.rmtree(folder)


def _kill_one(folder: Path, first: int, after_s: float) -> tuple[int, int]:
    """Start a writer, kill it after a while, return the last action it sent and the last it got back."""
    hear, tell = os.pipe()
    fcntl.fcntl(tell, fcntl.F_SETPIPE_SZ, PIPE_BYTES)
    child = os.fork()
    if child == 0:
        os.close(hear)
        try:
            write_for_ever(folder, first, tell)
        except BaseException:
            traceback.print_exc()
        os._exit(1)
    os.close(tell)
    _wait(after_s)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(hear, encoding="ascii") as lines:
        said = [line.split() for line in lines if line.endswith("\n")]
    if os.waitstatus_to_exitcode(status) != -signal.SIGKILL:
        raise RuntimeError(f"the writer ended by itself after {said[-1:]}")
    numbers = {word: [int(one[1]) for one in said if one[0] == word] for word in ("sent", "back")}
    return max(numbers["sent"], default=first - 1), max(numbers["back"], default=first - 1)


def _wait(seconds: float) -> None:
    """Let the other process run; ends on time, not on a condition: the moment is what is being tried."""
    until = time.monotonic() + seconds
    while (left := until - time.monotonic()) > 0:
        signal.sigtimedwait([], left)


def _ask(folder: Path, tally: Tally, last: int, sent: int) -> None:
    """Look at the record right after a kill."""
    if not (folder / "counter.db").exists():
        return
    with closing(read_only(folder / "counter.db")) as raw:
        try:
            if last >= 0 and not _there(raw, last):
                tally.lost += 1
            if sent > last and _there(raw, sent):
                tally.unanswered += 1
            if not walk_tail(raw, 200).whole:
                tally.broken += 1
        except sqlite3.OperationalError as trouble:
            if last >= 0 or "no such table" not in str(trouble):
                raise


def _there(raw: sqlite3.Connection, number: int) -> bool:
    """Say whether every event of an action is in the ledger."""
    held = raw.execute("SELECT count(*) FROM ledger WHERE key = ?", (key(number),)).fetchone()[0]
    return bool(held == len(events_of(number)))


def _finish(folder: Path, tally: Tally, last: int) -> None:
    """Go on after the last kill as a kiosk would, then compare everything with what should be there."""
    with s.a_store(folder) as store:
        again = store.ledger.append(syringe(last), events_of(last), s.NOW, key(last))
        tally.wrong += [one.event for one in again] != list(events_of(last))
        for number in range(0, last + 1, STEPS):
            wanted = [event for n in range(number, number + STEPS) for event in events_of(n)]
            held = [one.event for one in store.ledger.events(syringe(number))]
            complete = number + STEPS <= last + 1
            tally.wrong += held != wanted if complete else held != wanted[: len(held)]
    tally.broken += not verify(folder / "counter.db", read_keys(folder / "keys")).whole


def main() -> int:
    """Run the long form and say what it showed."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--count", type=int, default=500)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="kills-"))
    tally = run(given.count, given.seed, folder)
    print(tally)
    shutil.rmtree(folder)
    return 0 if tally.good else 1


if __name__ == "__main__":
    sys.exit(main())
