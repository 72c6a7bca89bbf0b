"""Seals: the head of the chain, signed with the counter's key and kept outside the database.

A seal is one line of text, short enough for a Data Matrix on a slip::

    PS1 <counter> <seq> <moment> <hash of entry seq> <mark>

``mark`` is the HMAC-SHA-256 of all before it. Whoever later shortens or rewrites the record, even with the
database in hand, contradicts a seal that lies in a drawer.
"""

from __future__ import annotations

import hmac
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.flow.ports import RecordTrouble
from kiosk.store.durable import write_whole
from kiosk.store.entry import moment_text
from kiosk.store.keys import Keys

FOLDER: Final = "seals"
_FORM: Final = "PS1"
_WORDS: Final = 6


@dataclass(frozen=True, slots=True)
class Seal:
    """Entry ``seq`` of the chain of ``counter`` had this hash at this moment."""

    counter: str
    seq: int
    at: datetime
    hash: str
    mark: str

    @property
    def text(self) -> str:
        """The seal as one line."""
        return f"{_said(self.counter, self.seq, self.at, self.hash)} {self.mark}"


def _said(counter: str, seq: int, at: datetime, hash_hex: str) -> str:
    """Return what a seal says, before its mark."""
    return f"{_FORM} {counter} {seq} {moment_text(at)} {hash_hex}"


def _mark(keys: Keys, said: str) -> str:
    """Return the counter's mark on what a seal says."""
    return hmac.digest(keys.counter, said.encode(), "sha256").hex()


def new_seal(keys: Keys, seq: int, hash_hex: str, at: datetime) -> Seal:
    """Return a seal of this counter on entry ``seq``."""
    return Seal(
        keys.counter_name, seq, at, hash_hex, _mark(keys, _said(keys.counter_name, seq, at, hash_hex))
    )


def read_seal(text: str, keys: Keys) -> Seal | Refusal:
    """Return a seal from its line, or ``seal_misread``, ``seal_of_another_counter``, ``seal_forged``."""
    words = text.split()
    if len(words) != _WORDS or words[0] != _FORM or not words[2].isdecimal():
        return Refusal("seal_misread", {"text": text[:40]})
    try:
        seal = Seal(words[1], int(words[2]), datetime.fromisoformat(words[3]), words[4], words[5])
        said = _said(seal.counter, seal.seq, seal.at, seal.hash)
    except ValueError:
        return Refusal("seal_misread", {"text": text[:40]})
    if seal.counter != keys.counter_name:
        return Refusal("seal_of_another_counter", {"counter": seal.counter})
    if not hmac.compare_digest(seal.mark, _mark(keys, said)):
        return Refusal("seal_forged", {"entry": seal.seq})
    return seal


def keep_seal(keys: Keys, seal: Seal) -> Path:
    """Write a seal durably beside the keys and return where. Raises ``RecordTrouble``."""
    path = keys.folder / FOLDER / f"{seal.at:%Y-%m-%d}-{seal.seq}.txt"
    try:
        path.parent.mkdir(mode=0o700, exist_ok=True)
        write_whole(path, seal.text + "\n")
    except OSError as error:
        raise RecordTrouble("other", f"the seal cannot be kept: {error}") from error
    return path


def kept_seals(keys: Keys) -> Sequence[Seal | Refusal]:
    """Return every seal kept beside the keys, by name, and a refusal for each that cannot be believed."""
    paths = sorted((keys.folder / FOLDER).glob("*.txt"))
    return [read_seal(path.read_text(encoding="utf-8", errors="replace"), keys) for path in paths]
