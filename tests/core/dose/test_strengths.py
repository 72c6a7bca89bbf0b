"""Every way a label states a strength means so much per mL. Figures by definition or as marked."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kiosk.core.catalogue.strength import AmountOnly, PercentWeightInVolume, Ratio, Strength
from kiosk.core.dose.holds import Have
from kiosk.core.dose.strengths import have, strength_per_ml
from kiosk.core.findings import Refusal
from tests.core.dose.things import in_volume, line, m, powder


@pytest.mark.parametrize(
    ("strength", "wanted", "source"),
    [
        (in_volume("80 mg", "2 mL"), "40 mg/mL", "hand"),
        (in_volume("100 units", "1 mL"), "100 units/mL", "hand"),
        (in_volume("20 mmol", "10 mL"), "2 mmol/mL", "Humanitarian guideline: potassium chloride 15 %"),
        (in_volume("250 mg", "0.1 L"), "2.5 mg/mL", "hand"),
        (PercentWeightInVolume(Decimal("1")), "10 mg/mL", "definition: 1 g in 100 mL"),
        (PercentWeightInVolume(Decimal("0.9")), "9 mg/mL", "definition"),
        (PercentWeightInVolume(Decimal("0.1")), "1 mg/mL", "Ratio and percent problem set: 3 mL hold 3 mg"),
        (Ratio(Decimal(1), Decimal(1000)), "1 mg/mL", "ISMP: 1:1000 is 1 mg/mL"),
        (Ratio(Decimal(1), Decimal(10000)), "0.1 mg/mL", "ISMP: 1:10,000 is 0.1 mg/mL"),
        (Ratio(Decimal(1), Decimal(200000)), "0.005 mg/mL", "hand: 5 mcg/mL"),
    ],
)
def test_a_strength_is_so_much_per_millilitre(strength: Strength, wanted: str, source: str) -> None:
    found = strength_per_ml(strength)
    assert not isinstance(found, Refusal)
    assert found.same(m(wanted)), source


def test_a_powder_is_read_by_the_line_that_is_given() -> None:
    made = powder("500 mg", "2.1 mL", "0.4 mL")
    assert strength_per_ml(made, made.make_ups[0]) == m("200 mg/mL")  # WHO Pocket Book 2013
    assert strength_per_ml(made, line(to="5 mL")) == m("100 mg/mL")
    assert strength_per_ml(made) == Refusal("make_up_not_chosen", {"lines": 1})


def test_the_label_is_kept_as_it_is_printed() -> None:
    found = have(in_volume("1 g", "10 mL"))
    assert found == Have(m("1 g"), m("10 mL"))


@pytest.mark.parametrize(
    ("strength", "code"),
    [
        (AmountOnly(m("50 mg")), "strength_not_stated"),
        (in_volume("0 mg", "1 mL"), "strength_not_understood"),
        (in_volume("1 mg", "0 mL"), "strength_not_understood"),
        (in_volume("1 mL", "1 mL"), "strength_not_understood"),
        (in_volume("1 mg/kg", "1 mL"), "strength_not_understood"),
        (in_volume("1 mg", "1 g"), "strength_not_understood"),
        (PercentWeightInVolume(Decimal("-1")), "strength_not_understood"),
        (PercentWeightInVolume(Decimal("Infinity")), "strength_not_understood"),
        (PercentWeightInVolume(Decimal("100.1")), "strength_not_understood"),
        (Ratio(Decimal("NaN"), Decimal(1000)), "strength_not_understood"),
        (Ratio(Decimal(1), Decimal("-1000")), "strength_not_understood"),
        (Ratio(Decimal(2), Decimal(1)), "strength_not_understood"),
    ],
)
def test_a_strength_that_means_nothing_is_refused(strength: Strength, code: str) -> None:
    answer = strength_per_ml(strength)
    assert isinstance(answer, Refusal)
    assert answer.code == code
