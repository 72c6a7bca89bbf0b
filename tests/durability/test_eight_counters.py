"""The short form of the eight counters."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.durability.eight_counters import noted_by_all, run


@pytest.mark.parametrize("seed", [1, 2])
def test_eight_counters_at_one_stock_agree_to_the_thousandth(tmp_path: Path, seed: int) -> None:
    assert run(tmp_path, rounds=25, seed=seed) == []
    _, acts = noted_by_all(tmp_path)
    assert {"syringe", "receive", "waste", "send_back", "count", "move"} <= set(acts)
    assert any(name.endswith("refused") for name in acts)  # somebody was too late, or asked for too much
