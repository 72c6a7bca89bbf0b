"""How far a measured dose is off."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kiosk.core.dose.plan import error_share
from tests.core.dose.things import m


@pytest.mark.parametrize(
    ("given", "wanted", "share"),
    [
        ("1.05 mL", "1 mL", "1/20"),
        ("0.95 mL", "1 mL", "1/20"),
        ("500 mg", "0.5 g", "0"),
        ("0 mg", "3 mg", "1"),
    ],
)
def test_an_error_is_a_share_of_what_was_wanted_without_a_sign(given: str, wanted: str, share: str) -> None:
    assert error_share(m(given), m(wanted)) == Fraction(share)
