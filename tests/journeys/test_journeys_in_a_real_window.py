"""Three journeys in a real window under Xvfb; then one killed right after its label, and its record read."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.state import Stage, fold, stage
from kiosk.hardware.clock import SetClock
from kiosk.wiring.home import Home
from tests.counter import NOW
from tests.journeys.counters import fresh, opened, opened_store

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def screen() -> Iterator[str]:
    """A real X server of the size of a counter's panel."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x800x24", "-dpi", "96", "-nolisten", "tcp"],
        pass_fds=(write,),
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    with os.fdopen(read) as told:
        number = told.readline().strip()
    assert number, "Xvfb did not start"
    yield f":{number}"
    server.terminate()
    server.wait()


def started(screen: str, home: Home, journey: str, *more: str) -> subprocess.Popen[str]:
    """A process that plays a journey on that screen."""
    environ = {**os.environ, "DISPLAY": screen, "QT_QPA_PLATFORM": "xcb"}
    return subprocess.Popen(
        [sys.executable, "-m", "tests.journeys.real_window", str(home.folder), journey, *more],
        cwd=ROOT,
        env=environ,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.parametrize(
    ("journey", "pages", "outcome"),
    [
        ("ampoule", ["door", "pin", "due", "order", "stock", "volume", "working", "syringe"], "finished"),
        ("insulin", ["call-second", "check-container", "check-figure", "check-needle"], "finished"),
        ("refused", ["stock", "stopping"], "discarded"),
    ],
)
def test_the_journey_is_clicked_and_scanned_in_a_real_window(
    screen: str, tmp_path: Path, journey: str, pages: list[str], outcome: str
) -> None:
    home = fresh(tmp_path)
    said, trouble = started(screen, home, journey).communicate(timeout=120)
    assert said.endswith("done\n"), trouble
    came = dict.fromkeys(line[5:] for line in said.splitlines() if line.startswith("page "))
    assert [page for page in came if page in pages][: len(pages)] == pages
    store = opened_store(home)
    (code,) = {row[0] for row in store.database.rows("SELECT outcome FROM preparations")}
    assert code == outcome
    store.close()


def test_a_process_killed_right_after_the_label_loses_nothing(screen: str, tmp_path: Path) -> None:
    home = fresh(tmp_path)
    process = started(screen, home, "insulin", "--hold-at", "scan-back")
    assert process.stdout is not None
    for line in process.stdout:
        if line == "holding\n":
            break
    os.kill(process.pid, signal.SIGKILL)
    process.communicate()
    assert process.returncode == -signal.SIGKILL

    store = opened_store(home)
    (preparation,) = store.ledger.unfinished()
    happened = [entry.event for entry in store.ledger.events(preparation)]
    state = fold(preparation, happened)
    assert state is not None
    assert stage(state) is Stage.SCAN_BACK
    assert state.labels[-1].outcome == "printed"
    (vouched,) = [event for event in happened if isinstance(event, e.Vouched)]
    assert vouched.people == ("N01", "N02")
    assert len(list(home.labels.glob("*.pdf"))) == 1
    store.close()

    again, driver = opened(home, SetClock(NOW))
    assert [s.id for s in [driver.desk.unfinished_of("N01")] if s] == [preparation]
    again.close()
