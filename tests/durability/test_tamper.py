"""The short form of ``tamper``: fewer attempts, the same demand."""

from __future__ import annotations

from pathlib import Path

from tests.durability.attempts import ATTEMPTS
from tests.durability.tamper import run


def test_every_tampering_is_refused_or_told(tmp_path: Path) -> None:
    tally = run(60, 3, tmp_path)
    assert tally.missed == []
    assert tally.tried == 60
    assert len(tally.kinds) > len(ATTEMPTS) // 2
