"""ISO 7886-1 tolerances against published worked cases; each row of the file names its source.

Where the row says "seen" the formula was read in that source, and for 4 mL of 10 mL the case itself; rows
that say "memory" come from the remembered coefficients and are checked by hand arithmetic alone.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from kiosk.core.apparatus.tolerance import band_of, tolerance
from kiosk.tables.device_tables import device_tables
from tests.core.apparatus.samples import a_syringe, ml

FILE = Path(__file__).parent / "devices" / "syringe_tolerance_checks.csv"
CASES = list(csv.DictReader(FILE.read_text(encoding="utf-8").splitlines()))
TABLES = device_tables()


def name(case: dict[str, str]) -> str:
    return f"{case['expelled_ml']} mL from a {case['nominal_ml']} mL syringe ({case['seen']})"


@pytest.mark.parametrize("case", CASES, ids=name)
def test_a_published_tolerance_is_reproduced(case: dict[str, str]) -> None:
    syringe = a_syringe(case["nominal_ml"], "0.01")
    volume = ml(case["expelled_ml"])
    off = tolerance(syringe, volume, TABLES)
    assert off == ml(case["tolerance_pm_ml"]), case["source"]
    share = off.ratio(volume) * 100
    assert round(share, 2) == round(Decimal(case["tolerance_pm_pct_of_expelled"]), 2), case["source"]


@pytest.mark.parametrize(("nominal", "most"), [("1", "0.07"), ("2.5", "0.07"), ("5", "0.075"), ("10", "0.1")])
def test_the_dead_space_limits_are_those_the_study_quotes(nominal: str, most: str) -> None:
    # 'Variation in syringes and needles dead space compared to ... ISO standard 7886-1:2018', abstract: seen.
    assert band_of(ml(nominal), TABLES).most_dead_space == ml(most)


def test_the_file_holds_every_case() -> None:
    assert len(CASES) == 19
    assert sum(case["seen"] == "seen" for case in CASES) == 6
