"""Where the chain last ended, noted outside the database after every action.

The note is overwritten in place and not waited for: after a power cut it may lag behind the ledger, which
is fine. It can never be ahead of it, so a ledger that ends before its note has lost its tail.
"""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from kiosk.flow.ports import RecordTrouble
from kiosk.store.durable import sync

NAME: Final = "head"


@dataclass(frozen=True, slots=True)
class Noted:
    """The entry the chain ended with: its place, its hash and the counter's mark on it."""

    seq: int
    hash: str
    mark: str


def read_note(folder: Path) -> Noted | None:
    """Return the last note of a counter; None when there is none, or it is torn."""
    try:
        words = (folder / NAME).read_text(encoding="ascii", errors="replace").split()
    except OSError:
        return None
    if len(words) != 3 or not words[0].isdecimal():
        return None
    return Noted(int(words[0]), words[1], words[2])


class HeadFile:
    """The note of one counter. Trouble in writing it is kept in ``trouble``: it must not stop the work."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / NAME
        self.trouble = ""
        try:
            self._handle = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600)
        except OSError as error:
            raise RecordTrouble("other", f"the head cannot be noted: {error}") from error

    def begin(self, hash_hex: str, mark: str) -> None:
        """Note, durably, that a new record begins: from now on a record without a note has lost it."""
        self.move(0, hash_hex, mark)
        try:
            sync(self.path)
            sync(self.path.parent)
        except OSError as error:
            raise RecordTrouble("other", f"the head cannot be noted: {error}") from error

    def move(self, seq: int, hash_hex: str, mark: str) -> None:
        """Note a new head."""
        try:
            os.pwrite(self._handle, f"{seq:020d} {hash_hex} {mark}\n".encode(), 0)
            self.trouble = ""
        except OSError as error:
            self.trouble = str(error)

    def close(self) -> None:
        """Let go of the file."""
        with suppress(OSError):
            os.close(self._handle)
