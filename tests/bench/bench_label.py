"""What the symbol, the checks of fit and the reading back cost, against the bare text of the same label.

Run it from the top of the repository::

    python -m tests.bench.bench_label [--rounds 9]

Each figure is the median of interleaved rounds. The floor sets the label's texts one under another in the
same embedded faces, with no symbol, no measuring and no reading back. Aims: at most 2 times the floor for
the label, at most 12 times with its reading back; a label with the longest texts costs no more.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from statistics import median

from kiosk.core.label.says import LabelFields
from kiosk.printing.label import label_pdf
from kiosk.printing.paper import Paper
from kiosk.printing.read_back import read_back
from kiosk.printing.symbol import DOTS_203
from kiosk.printing.wording import texts_of
from tests.printing.samples import bundled, longest, plain


def bare(label: LabelFields) -> bytes:
    """Return the floor: the same texts and no more."""
    paper = Paper(60, 30, bundled(), label.code)
    for number, text in enumerate(texts_of(label)):
        paper.text(1.6, 2 + 2 * number, text, 2, bold=number < 4)
    return paper.done()


def made(label: LabelFields) -> bytes:
    """Return the label."""
    pdf = label_pdf(label, bundled())
    assert isinstance(pdf, bytes)
    return pdf


def made_and_read(label: LabelFields) -> None:
    """Make the label and read it back."""
    assert read_back(made(label), label.code, texts_of(label), DOTS_203) is None


def milliseconds(work: Callable[[], object]) -> float:
    """Return how long one call takes."""
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--rounds", type=int, default=9)
    rounds = parser.parse_args().rounds
    works: dict[str, Callable[[], object]] = {
        "bare text": lambda: bare(plain()),
        "label": lambda: made(plain()),
        "label, longest texts": lambda: made(longest()),
        "label and read back": lambda: made_and_read(plain()),
    }
    for work in works.values():
        work()
    times: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds * 10):
        for name, work in works.items():
            times[name].append(milliseconds(work))
    floor = median(times["bare text"])
    for name, taken in times.items():
        print(f"{name:24} {median(taken):7.2f} ms  {median(taken) / floor:5.2f} x bare text")


if __name__ == "__main__":
    main()
