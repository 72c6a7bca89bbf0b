"""Taking the record out: syringes found as CSV or JSON, one syringe whole, the ledger line by line."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from contextlib import closing
from dataclasses import fields
from pathlib import Path
from typing import Any, Final, TextIO

from kiosk.flow.keeping import Found
from kiosk.flow.ports import Recorded
from kiosk.store import codec, prepared
from kiosk.store.connection import read_only
from kiosk.store.entry import moment_text

COLUMNS: Final = tuple(field.name for field in fields(Found))
# A spreadsheet takes a cell that begins like this for a formula.
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


def to_csv(found: Iterable[Found], out: TextIO) -> int:
    """Write syringes as CSV with a heading and return how many; lots are parted by spaces."""
    lines = csv.writer(out)
    lines.writerow(COLUMNS)
    written = 0
    for one in found:
        raw = codec.written(one)
        lines.writerow(_cell(raw[name]) for name in COLUMNS)
        written += 1
    return written


def _cell(value: Any) -> str:
    """Return a cell that no spreadsheet will run."""
    text = " ".join(value) if isinstance(value, list) else value or ""
    return f"'{text}" if text.startswith(_FORMULA) else text


def to_json(found: Iterable[Found]) -> str:
    """Return syringes as one JSON list."""
    return codec.to_text([codec.written(one) for one in found])


def syringe_to_json(preparation: str, entries: Sequence[Recorded]) -> str:
    """Return every entry of one syringe as JSON, exact, oldest first."""
    return codec.to_text(
        {
            "preparation": preparation,
            "entries": [
                {
                    "seq": one.seq,
                    "at": moment_text(one.at),
                    "kind": type(one.event).__name__,
                    "body": codec.written(one.event),
                }
                for one in entries
            ],
        }
    )


def ledger_lines(database: Path, out: TextIO) -> int:
    """Write the ledger, an entry a line, and return how many.

    The file proves itself: the SHA-256 of a line (without its end) is the ``prev`` of the next one.
    Patients stand in it by reference only.
    """
    written = 0
    with closing(read_only(database)) as connection:
        for text, _ in connection.execute(prepared.CHAIN_FROM, {"first": 1}):
            out.write(text + "\n")
            written += 1
    return written
