"""Every published worked example through the real command; provenance in worked_examples_notes.toml."""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.feeds.asking import Told, ask

HERE = Path(__file__).parent
LINES = (HERE / "worked_examples.jsonl").read_text(encoding="utf-8").splitlines()
EXAMPLES: list[dict[str, Any]] = [json.loads(line, parse_float=Decimal) for line in LINES]
NOTES = tomllib.loads((HERE / "worked_examples_notes.toml").read_text(encoding="utf-8"))


def as_json(example: dict[str, Any]) -> bytes:
    return json.dumps(example, default=float).encode()


@pytest.mark.parametrize("line", LINES, ids=[example["id"] for example in EXAMPLES])
def test_a_published_example_agrees(line: str) -> None:
    told = ask(line)
    example = json.loads(line, parse_float=Decimal)
    assert told.end == 0, told.err or told.out
    assert told.json["outcome"] == "answered"
    assert told.json["verdict"] == "agreed"
    assert told.json["answer"]["value"] == example["answer"]["value"]
    assert told.json["answer"]["unit"] == example["answer"]["unit"]
    before = Decimal(str(told.json["unrounded"]["value"]))  # the published ones are printed to eight digits
    assert abs(before - example["unrounded"]) <= abs(example["unrounded"]) * Decimal("1e-7")


@pytest.mark.parametrize("example", EXAMPLES[::7], ids=[example["id"] for example in EXAMPLES[::7]])
def test_neither_the_kind_nor_the_published_figure_is_looked_at(example: dict[str, Any]) -> None:
    disguised = {**example, "kind": "something else", "id": "X", "unrounded": -1, "note": "none"}
    disguised["answer"] = {**example["answer"], "value": 123456}
    told = ask(as_json(disguised))
    assert told.json["answer"]["value"] == example["answer"]["value"]
    assert told.json["verdict"] == "differs"


def test_the_whole_file_as_a_table(tell_at_the_end: Callable[[str], None]) -> None:
    """One run over the file, told as a table; an example that cannot be expressed would be ``bad input``."""
    told = [ask(line) for line in LINES]
    rows = [
        (example["id"], example["kind"], ending(one)) for example, one in zip(EXAMPLES, told, strict=True)
    ]
    count = Counter((kind, end) for _, kind, end in rows)
    table = [f"{kind:32} {end:24} {number:4}" for (kind, end), number in sorted(count.items())]
    title = f"{len(rows)} published worked examples through kiosk worksheet --json"
    tell_at_the_end("\n".join([title, *table]))
    assert {end for _, _, end in rows} == {"agreed"}


def ending(told: Told) -> str:
    if told.end == 2:
        return f"bad input: {told.err.strip()}"
    if told.end == 3:
        return f"refused: {told.json['refusal']['code']}"
    return str(told.json["verdict"])


def test_every_note_is_about_an_example_of_the_file() -> None:
    assert NOTES.keys() <= {example["id"] for example in EXAMPLES}
    assert all(note.keys() == {"what", "evidence"} for note in NOTES.values())


@pytest.mark.parametrize("name", ["O055", "O150", "O169"])
def test_a_published_rounding_that_changes_the_dose_too_much_is_said_so(name: str) -> None:
    line = next(line for line, example in zip(LINES, EXAMPLES, strict=True) if example["id"] == name)
    findings = ask(line).json["findings"]
    assert [finding["id"] for finding in findings] == ["rounding_changes_answer"]
    assert findings[0]["level"] == "stop"


@pytest.mark.parametrize("at", [0, 57, 85, 108, 166])
def test_one_line_piped_into_a_real_process_is_answered(at: int) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "kiosk", "worksheet", "--json", "-"],
        input=LINES[at],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (run.returncode, run.stderr) == (0, "")
    assert json.loads(run.stdout)["verdict"] == "agreed"


def test_the_whole_file_at_once_in_a_real_process() -> None:
    run = subprocess.run(
        [
            sys.executable,
            "-m",
            "kiosk",
            "worksheet",
            "--json",
            "--lines",
            str(HERE / "worked_examples.jsonl"),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    told = [json.loads(line) for line in run.stdout.splitlines()]
    assert run.returncode == 0
    assert len(told) == len(LINES)
    assert {one["verdict"] for one in told} == {"agreed"}
