"""Body size against published answers, and against a second method that shares nothing with the first."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.body import (
    SURFACE_PLACES,
    adjusted_weight,
    ideal_weight,
    root,
    surface_du_bois,
    surface_mosteller,
)
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.things import m

heights = st.integers(300, 2300).map(lambda tenths: Measure(Fraction(tenths, 10), "cm"))
weights = st.integers(5, 2500).map(lambda tenths: Measure(Fraction(tenths, 10), "kg"))


def m2(answer: Measure | Refusal) -> Fraction:
    assert isinstance(answer, Measure), answer
    assert answer.unit == "m2"
    return answer.value


@pytest.mark.parametrize(
    ("height", "weight", "wanted", "source"),
    [
        ("72 cm", "10 kg", "0.4472136", "WHO Pocket Book of Hospital Care for Children 2013, Annex 2 (0.45)"),
        ("170 cm", "70 kg", "1.8181187", "BSA formula pages, Mosteller worked example"),
        ("60 cm", "60 kg", "1", "hand: 60 x 60 / 3600 is 1"),
        ("1.8 m", "80 kg", "2", "hand: 180 x 80 / 3600 is 4"),
    ],
)
def test_mosteller(height: str, weight: str, wanted: str, source: str) -> None:
    assert abs(m2(surface_mosteller(m(height), m(weight))) - Fraction(wanted)) < Fraction(1, 10**7), source


@pytest.mark.parametrize(
    ("height", "weight", "wanted", "source"),
    [
        ("170 cm", "70 kg", "1.8097", "by hand with logarithm tables: log W 1.84510, log H 2.23045"),
        ("180 cm", "80 kg", "1.9964", "by hand with logarithm tables: log W 1.90309, log H 2.25527"),
    ],
)
def test_du_bois(height: str, weight: str, wanted: str, source: str) -> None:
    assert abs(m2(surface_du_bois(m(height), m(weight))) - Fraction(wanted)) < Fraction(1, 10**4), source


@given(heights, weights)
def test_mosteller_squared_is_what_it_is_the_root_of(height: Measure, weight: Measure) -> None:
    surface = m2(surface_mosteller(height, weight))
    below, above = surface - Fraction(1, 10**SURFACE_PLACES), surface + Fraction(1, 10**SURFACE_PLACES)
    assert below**2 < height.value * weight.value / 3600 < above**2


@given(heights, weights)
def test_du_bois_by_logarithms_comes_to_the_same_digits(height: Measure, weight: Measure) -> None:
    with localcontext(prec=60):
        kg, cm = weight.decimal, height.decimal
        surface = Decimal("0.007184") * (Decimal("0.425") * kg.ln() + Decimal("0.725") * cm.ln()).exp()
        off = abs(Decimal(m2(surface_du_bois(height, weight)).numerator)
                  / m2(surface_du_bois(height, weight)).denominator - surface)  # fmt: skip
    assert off <= Decimal(5) / 10 ** (SURFACE_PLACES + 1)


@given(heights, weights)
def test_the_unit_of_height_and_weight_does_not_matter(height: Measure, weight: Measure) -> None:
    for surface in (surface_mosteller, surface_du_bois):
        assert surface(height, weight) == surface(height.to("in"), weight.to("lb"))


@given(st.fractions(0, 10**6, max_denominator=1000), st.integers(2, 7), st.integers(0, 8))
def test_a_root_is_the_nearest_figure_of_its_places(value: Fraction, degree: int, places: int) -> None:
    found = root(value, degree, places)
    half = Fraction(1, 2 * 10**places)
    assert (found * 10**places).denominator == 1
    assert (
        max(found - half, Fraction(0)) ** degree <= value < (found + half) ** degree or found == half == value
    )


def test_exact_roots_are_exact() -> None:
    assert root(Fraction(16), 2) == 4
    assert root(Fraction(1, 4), 2) == Fraction(1, 2)
    assert root(Fraction(0), 3) == 0
    assert root(Fraction(2) ** 40, 40) == 2


@pytest.mark.parametrize(
    ("height", "sex", "wanted"),
    [
        ("60 in", "female", "45.5 kg"),
        ("60 in", "male", "50 kg"),
        ("65 in", "female", "57 kg"),  # hand: 45.5 + 5 x 2.3
        ("70 in", "male", "73 kg"),  # hand: 50 + 10 x 2.3
        ("152.4 cm", "male", "50 kg"),  # hand: 60 in
    ],
)
def test_ideal_weight_by_devine(height: str, sex: str, wanted: str) -> None:
    assert ideal_weight(m(height), sex) == m(wanted)


@pytest.mark.parametrize(
    ("height", "sex", "code"),
    [
        ("59.9 in", "male", "ideal_weight_not_defined"),
        ("170 cm", "", "sex_not_known"),
        ("0 cm", "male", "height_not_understood"),
        ("170 kg", "male", "height_not_understood"),
    ],
)
def test_an_ideal_weight_that_the_formula_does_not_give_is_refused(height: str, sex: str, code: str) -> None:
    answer = ideal_weight(m(height), sex)
    assert isinstance(answer, Refusal)
    assert answer.code == code


def test_adjusted_weight_lies_four_tenths_of_the_way() -> None:
    assert adjusted_weight(m("100 kg"), m("50 kg")) == m("70 kg")  # hand
    assert adjusted_weight(m("50 kg"), m("50 kg")) == m("50 kg")


@pytest.mark.parametrize(
    ("height", "weight", "code"),
    [
        ("170 cm", "0 kg", "weight_not_understood"),
        ("170 cm", "70 cm", "weight_not_understood"),
        ("170 cm", "1e-60 kg", "weight_not_understood"),
        ("-1 cm", "70 kg", "height_not_understood"),
        ("170 kg", "70 kg", "height_not_understood"),
    ],
)
def test_a_surface_of_nonsense_is_refused(height: str, weight: str, code: str) -> None:
    for surface in (surface_mosteller, surface_du_bois):
        answer = surface(m(height), m(weight))
        assert isinstance(answer, Refusal)
        assert answer.code == code


def test_a_unit_outside_the_list_is_refused_not_raised() -> None:
    odd = Measure(Fraction(70), "stone")
    assert isinstance(surface_mosteller(m("170 cm"), odd), Refusal)
    assert isinstance(surface_mosteller(odd, m("70 kg")), Refusal)
