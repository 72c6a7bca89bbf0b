"""Our own examples, each with the arithmetic it was worked out by, through the real command.

Those of ``worksheet_examined.jsonl`` were worked by hand by somebody who had not written the worksheet,
in the shapes and words in which other books might put a question.
"""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.feeds.asking import ask

LINES = [
    line
    for name in ("worksheet_examples.jsonl", "worksheet_examined.jsonl")
    for line in (Path(__file__).parent / name).read_text(encoding="utf-8").splitlines()
]
EXAMPLES: list[dict[str, Any]] = [json.loads(line, parse_float=Decimal) for line in LINES]


@pytest.mark.parametrize("line", LINES, ids=[example["id"] for example in EXAMPLES])
def test_our_example_agrees(line: str) -> None:
    told = ask(line)
    assert told.end == 0, told.err or told.out
    assert told.json["verdict"] == "agreed", told.out


def test_there_are_many_and_each_says_how_it_was_worked_out() -> None:
    assert len(EXAMPLES) >= 400
    assert all(len(example["source"]) > 20 for example in EXAMPLES)
    assert len({example["id"] for example in EXAMPLES}) == len(EXAMPLES)
