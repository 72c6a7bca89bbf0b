"""A symbol and the record of what was received: the guard against a misread date."""

from __future__ import annotations

from datetime import date

import pytest

from kiosk.core.stock.agreement import disagreement
from tests.core.samples import a_container

HELD = a_container(lot="A1", expiry=date(2027, 1, 31), serial="S1")


@pytest.mark.parametrize(
    ("lot", "expiry", "serial"),
    [("A1", date(2027, 1, 31), "S1"), ("", None, ""), ("A1", None, ""), ("", date(2027, 1, 31), "")],
)
def test_what_the_symbol_says_or_leaves_out_agrees(lot: str, expiry: date | None, serial: str) -> None:
    assert disagreement(HELD, lot, expiry, serial) is None


@pytest.mark.parametrize(
    ("lot", "expiry", "serial", "code"),
    [
        ("A2", date(2027, 1, 31), "S1", "unknown_lot"),
        ("A1", date(2027, 1, 30), "S1", "scan_expiry_differs"),
        ("A1", date(2027, 10, 31), "", "scan_expiry_differs"),
        ("A1", None, "S2", "unknown_serial"),
    ],
)
def test_a_difference_is_named(lot: str, expiry: date | None, serial: str, code: str) -> None:
    found = disagreement(HELD, lot, expiry, serial)
    assert found is not None
    assert found.code == code
