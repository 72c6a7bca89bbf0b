"""What the slip of a day's seal says: where the record stood, for a drawer far from the counter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from kiosk.core.label.dates import written_moment


@dataclass(frozen=True, slots=True)
class SealSlip:
    """One slip, worded. ``code`` is the seal's one line of text, the payload of the Data Matrix.

    ``hash`` is the chain's hash at that entry, in groups for the eye.
    """

    title: str
    code: str
    rows: tuple[tuple[str, str], ...]
    hash_caption: str
    hash: tuple[str, ...]
    foot: str


def seal_slip(text: str, counter: str, seq: int, at: datetime, words: Mapping[str, str]) -> SealSlip:
    """Return the slip of a seal, whose fifth word is the hash; ``at`` in the counter's zone."""
    hashed = text.split()[4]
    return SealSlip(
        title=words["seal.title"],
        code=text,
        rows=(
            (words["seal.made"], written_moment(at, words)),
            (words["seal.counter"], counter),
            (words["seal.entry"], str(seq)),
        ),
        hash_caption=words["seal.hash"],
        hash=tuple(hashed[start : start + 16] for start in range(0, len(hashed), 16)),
        foot=words["seal.foot"],
    )
