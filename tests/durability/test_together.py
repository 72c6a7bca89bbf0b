"""Several threads and several processes writing one record: nothing lost, nothing twice, one chain."""

from __future__ import annotations

import os
import threading
import traceback
from collections.abc import Callable
from pathlib import Path

from kiosk.core.preparation import events as e
from kiosk.store.keys import read_keys
from kiosk.store.verify import verify
from tests.store import samples as s

WRITERS, ACTIONS = 4, 25


def write(store: s.Store, writer: int) -> None:
    """Open a syringe and do many small things to it."""
    opened = s.opened(s.an_order(f"o-{writer}"), by=f"p-{writer}", code=f"C{writer}")
    store.ledger.append(f"prep-{writer}", [opened], s.NOW, f"{writer}-open")
    for number in range(ACTIONS):
        event = e.StepDone(f"p-{writer}", f"step-{number}")
        store.ledger.append(f"prep-{writer}", [event], s.NOW, f"{writer}-{number}")


def look(folder: Path) -> None:
    """Every writer's events are there, once, in its own order, in one sound chain."""
    with s.a_store(folder) as store:
        for writer in range(WRITERS):
            steps = [
                one.event.step
                for one in store.ledger.events(f"prep-{writer}")
                if isinstance(one.event, e.StepDone)
            ]
            assert steps == [f"step-{number}" for number in range(ACTIONS)]
    assert verify(folder / "counter.db", read_keys(folder / "keys")).whole


def test_threads_share_one_store(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        threads = [threading.Thread(target=write, args=(store, writer)) for writer in range(WRITERS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    look(tmp_path)


def in_a_process(act: Callable[[], None]) -> int:
    """Start a process that does something and ends 0 if it went well."""
    child = os.fork()
    if child:
        return child
    try:
        act()
    except BaseException:
        traceback.print_exc()
        os._exit(1)
    os._exit(0)


def open_and_write(folder: Path, writer: int) -> None:
    with s.a_store(folder) as store:
        write(store, writer)


def test_processes_share_one_file(tmp_path: Path) -> None:
    with s.a_store(tmp_path):
        pass
    children = [in_a_process(lambda w=writer: open_and_write(tmp_path, w)) for writer in range(WRITERS)]
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * WRITERS
    look(tmp_path)
