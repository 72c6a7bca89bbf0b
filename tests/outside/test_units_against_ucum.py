"""Our conversions against a general-purpose UCUM library, code by code.

The library (ucumvert, MIT) reads UCUM codes from the published grammar. It counts equivalents and
international units as pure numbers, so those kinds are compared nowhere; that ours keeps them apart is
tested in tests/core/test_units.py.
"""

from __future__ import annotations

import warnings
from decimal import Decimal
from itertools import combinations

import pytest

from kiosk.core.units import factor, same_kind

UCUM = {
    "kg": "kg", "g": "g", "mg": "mg", "mcg": "ug", "nanogram": "ng", "lb": "[lb_av]", "oz": "[oz_av]",
    "L": "L", "mL": "mL", "microlitre": "uL", "mol": "mol", "mmol": "mmol",
    "week": "wk", "day": "d", "h": "h", "min": "min", "s": "s",
    "m": "m", "cm": "cm", "mm": "mm", "in": "[in_i]",
    "mg/mL": "mg/mL", "mcg/mL": "ug/mL", "g/L": "g/L", "mmol/mL": "mmol/mL", "mmol/L": "mmol/L",
    "mg/kg/day": "mg/kg/d", "mcg/kg/h": "ug/kg/h", "mcg/kg/min": "ug/kg/min",
}  # fmt: skip
PAIRS = [pair for pair in combinations(UCUM, 2) if same_kind(*pair)]


@pytest.fixture(scope="module")
def ucum() -> object:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from ucumvert import PintUcumRegistry

        return PintUcumRegistry(non_int_type=Decimal)


def test_there_is_something_to_compare() -> None:
    assert len(PAIRS) > 45


@pytest.mark.parametrize(("unit", "to"), PAIRS, ids=[f"{unit} in {to}" for unit, to in PAIRS])
def test_the_factor_is_that_of_ucum(ucum: object, unit: str, to: str) -> None:
    one, other = ucum.from_ucum(UCUM[unit]), ucum.from_ucum(UCUM[to])  # type: ignore[attr-defined]
    theirs = float((1 * one).to(other).magnitude)
    assert float(factor(unit, to)) == pytest.approx(theirs, rel=1e-12)
