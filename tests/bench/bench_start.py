"""How long until something is seen, until a badge may be scanned, until the counter stands behind it.

Run it from the top of the repository::

    python -m tests.bench.bench_start [--rounds 9] [--platform offscreen]

The floor is a bare PySide6 window of the same size, started the same way: a new interpreter, one widget,
its first paint. Each figure is the median of interleaved rounds, every round a process of its own, from the
moment it is started. Aims: first paint at most 1.3 times the floor, ready for work at most 3 times. ``ready``
is the sign-on page painted and taking touches and scans; ``settled`` is the ledger open and the driver in
its place, which happens behind that page.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import time
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

SIZE = (1280, 800)
PAINT_AIM, READY_AIM = 1.3, 3.0
BARE = """
import sys, time
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget


class Bare(QWidget):
    def paintEvent(self, event):
        QTimer.singleShot(0, self.done)

    def done(self):
        print("KIOSK_TIMING painted", time.monotonic_ns(), file=sys.stderr, flush=True)
        QApplication.quit()


app = QApplication(["bare"])
window = Bare()
window.resize(%d, %d)
window.show()
app.exec()
"""


def environment(folder: Path, platform: str) -> dict[str, str]:
    """Return the environment both kinds of process are started in: the same screen, no user's settings."""
    screen = {"name": "bench", "x": 0, "y": 0, "width": SIZE[0], "height": SIZE[1], "dpr": 1}
    path = folder / "screen.json"
    path.write_text(
        json.dumps({"screens": [screen | {"logicalDpi": 96, "logicalBaseDpi": 96}]}), encoding="utf-8"
    )
    chosen = f"offscreen:configfile={path}" if platform == "offscreen" else platform
    return dict(os.environ) | {"QT_QPA_PLATFORM": chosen, "KIOSK_TIMING": "1", "PYTHONPATH": os.getcwd()}


def moments(command: list[str], env: dict[str, str], last: str) -> dict[str, float]:
    """Start a process and return the milliseconds to each moment it reports, up to ``last``."""
    seen: dict[str, float] = {}
    start = time.monotonic_ns()
    with subprocess.Popen(
        command, env=env, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True
    ) as process:
        assert process.stderr is not None
        for line in process.stderr:
            words = line.split()
            if words[:1] == ["KIOSK_TIMING"]:
                seen[words[1]] = (int(words[2]) - start) / 1e6
            if last in seen:
                break
        process.terminate()
    if last not in seen:
        raise RuntimeError(f"{command[1:3]} never came to {last!r}")
    return seen


def measured(rounds: int, env: dict[str, str], home: Path) -> dict[str, float]:
    """Return the median of each moment over interleaved rounds."""
    bare = [sys.executable, "-c", BARE % SIZE]
    ours = [sys.executable, "-m", "kiosk", "demo", "--home", str(home)]
    moments(ours, env, "settled")  # builds the ward once, and warms the page cache for both
    moments(bare, env, "painted")
    times: dict[str, list[float]] = {"bare": [], "painted": [], "ready": [], "settled": []}
    for _ in range(rounds):
        times["bare"].append(moments(bare, env, "painted")["painted"])
        for name, value in moments(ours, env, "settled").items():
            times[name].append(value)
    return {name: median(values) for name, values in times.items()}


def main() -> int:
    """Print the table; return 1 when an aim is missed."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--platform", default="offscreen", help="a Qt platform plugin, such as xcb")
    asked = parser.parse_args()
    with TemporaryDirectory() as held:
        folder = Path(held)
        found = measured(asked.rounds, environment(folder, asked.platform), folder / "home")
    floor = found["bare"]
    rows = (
        ("bare window, first paint", floor, None),
        ("kiosk, first paint", found["painted"], PAINT_AIM),
        ("kiosk, sign-on takes a badge", found["ready"], READY_AIM),
        ("kiosk, counter stands behind it", found["settled"], None),
    )
    for name, value, aim in rows:
        print(f"{name:34} {value:8.1f} ms {value / floor:6.2f} x" + (f"   aim {aim}" if aim else ""))
    return int(found["painted"] > PAINT_AIM * floor or found["ready"] > READY_AIM * floor)


if __name__ == "__main__":
    raise SystemExit(main())
