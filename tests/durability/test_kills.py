"""The short form of ``kills``: the same questions after fewer kills."""

from __future__ import annotations

from pathlib import Path

from tests.durability.kills import run


def test_a_counter_killed_at_any_moment_loses_nothing_it_acknowledged(tmp_path: Path) -> None:
    tally = run(20, 7, tmp_path)
    assert tally.good, tally
    assert tally.kills == 20
