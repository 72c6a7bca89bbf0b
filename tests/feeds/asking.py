"""Asks the real command, in process: ``kiosk worksheet`` with a file, its end and what it prints."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from kiosk.cli import main


@dataclass(frozen=True)
class Told:
    """What the command told: exit code, standard output, standard error."""

    end: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The answer, every number exact."""
        found: dict[str, Any] = json.loads(self.out, parse_float=Decimal)
        return found


class _Input(io.TextIOWrapper):
    """Standard input that holds some bytes."""


@contextmanager
def _standard_input(data: bytes) -> Iterator[None]:
    before = sys.stdin
    sys.stdin = _Input(io.BytesIO(data))
    try:
        yield
    finally:
        sys.stdin = before


def ask(description: dict[str, Any] | str | bytes, *options: str) -> Told:
    """Run ``kiosk worksheet --json -`` (or with other options) on one description."""
    if isinstance(description, dict):
        description = json.dumps(description, default=str)
    data = description.encode() if isinstance(description, str) else description
    out, err = io.StringIO(), io.StringIO()
    with _standard_input(data), redirect_stdout(out), redirect_stderr(err):
        end = main(["worksheet", *(options or ("--json",)), "-"])
    return Told(end, out.getvalue(), err.getvalue())


def answer_to(**question: Any) -> dict[str, Any]:
    """Return the answered part of a question that must be answered."""
    told = ask(question)
    assert told.end == 0, told.err or told.out
    found: dict[str, Any] = told.json
    return found


def refusal_of(**question: Any) -> dict[str, Any]:
    """Return the refusal of a question that must be refused."""
    told = ask(question)
    assert told.end == 3, told.err or told.out
    found: dict[str, Any] = told.json["refusal"]
    return found
