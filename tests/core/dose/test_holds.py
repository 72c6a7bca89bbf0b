"""What a container holds: an amount in a volume."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kiosk.core.dose.holds import Have, is_amount, is_volume, shown
from kiosk.core.units import Measure
from tests.core.dose.things import m


def test_a_strength_is_the_amount_over_its_volume_in_the_labels_unit() -> None:
    assert Have(m("1 g"), m("10 mL")).per_ml == m("0.1 g/mL")
    assert Have(m("100 units"), m("1 mL")).per_ml == m("100 units/mL")


@pytest.mark.parametrize(
    ("text", "amount", "volume"),
    [
        ("1 mg", True, False), ("1 units", True, False), ("1 mEq", True, False), ("1 mL", False, True),
        ("0 mg", False, False), ("-1 mL", False, False), ("1 mg/mL", False, False), ("1 cm", False, False),
    ],
)  # fmt: skip
def test_an_amount_is_no_volume_and_nothing_is_neither(text: str, amount: bool, volume: bool) -> None:
    assert (is_amount(m(text)), is_volume(m(text))) == (amount, volume)


def test_what_has_a_unit_of_its_own_can_still_be_shown() -> None:
    assert shown(Measure(Fraction(3, 2), "pinch")) == "3/2 pinch"
    assert shown(m("1.5 mg")) == m("1.5 mg")
