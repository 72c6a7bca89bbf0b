"""Writes resources/tables/growth_weight.csv: body weight at five SDS by sex and age.

    python -m tests.outside.make_growth_table

The figures are the UK-WHO reference (UK90 at birth and from 4 to 20 years, WHO standards from two
weeks to 4 years), worked out from its published L, M and S by the registry package rcpchgrowth. The
package is a tool of the tests only: the kiosk reads the table and nothing else. Running this again
must leave the file as it is; ``test_growth.py`` says so.
"""

from __future__ import annotations

import csv
import warnings
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import TextIO

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from rcpchgrowth import measurement_from_sds

TABLE = Path(__file__).parents[2] / "resources" / "tables" / "growth_weight.csv"
COLUMNS = ("sex", "age_days", "sds", "weight", "unit", "source", "known")
SOURCE = "UK-WHO growth reference, weight by L, M and S (UK90; WHO 2006), by rcpchgrowth 4.6.5"
SDS = ("-4", "-2.67", "0", "2.67", "4")
DAYS_IN_YEAR = Decimal("365.25")

# Closer together where the curve bends; both sides of the joints of the reference at two weeks and 4 years.
_FIRST_MONTHS = (0, 7, 13, 14, 21, 28, 35, 42, 49, 56, 70, 84, 98, 112, 126, 140, 154, 168, 182)
_TO_FOUR_YEARS = (*range(213, 730, 30), *range(731, 1450, 60), 1460)
_TO_TWENTY = (1461, *range(1552, 7305, 182), 7305)
AGES = (*_FIRST_MONTHS, *_TO_FOUR_YEARS, *_TO_TWENTY)


def weight_at(sex: str, age_days: int, sds: str) -> Decimal:
    """Return the weight in kg, to the hundredth, at an age in days and an SDS."""
    age = float(Decimal(age_days) / DAYS_IN_YEAR)
    return Decimal(str(round(float(measurement_from_sds("uk-who", float(sds), "weight", sex, age)), 2)))


def rows() -> Iterator[tuple[str, ...]]:
    """Yield every row of the table as text."""
    for sex in ("female", "male"):
        for days in AGES:
            for sds in SDS:
                kg = f"{weight_at(sex, days, sds).normalize():f}"
                yield sex, str(days), sds, kg, "kg", SOURCE, "seen"


def write(to: TextIO) -> None:
    """Write the table as CSV."""
    out = csv.writer(to, lineterminator="\n")
    out.writerow(COLUMNS)
    out.writerows(rows())


if __name__ == "__main__":
    with TABLE.open("w", encoding="utf-8", newline="") as handle:
        write(handle)
