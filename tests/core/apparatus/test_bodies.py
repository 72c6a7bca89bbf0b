"""Ages in completed months, weights with bounds that belong or do not, body mass index."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.apparatus.bodies import body_mass_index, completed_months, of_age, of_weight, weight_of
from kiosk.core.catalogue.basis import AgeSpan, WeightSpan
from kiosk.core.units import Measure
from tests.core.apparatus.samples import a_patient


@pytest.mark.parametrize(
    ("born", "on", "months"),
    [
        (date(2025, 1, 15), date(2025, 2, 14), 0),
        (date(2025, 1, 15), date(2025, 2, 15), 1),
        (date(2025, 1, 31), date(2025, 2, 28), 1),  # the last of a month completes it
        (date(2024, 2, 29), date(2025, 2, 28), 12),
        (date(2025, 3, 1), date(2025, 3, 1), 0),
    ],
)
def test_months_are_completed_on_the_day_of_the_month(born: date, on: date, months: int) -> None:
    assert completed_months(born, on) == months


@given(st.dates(date(1930, 1, 1), date(2026, 1, 1)), st.integers(0, 40000))
def test_nobody_grows_younger(born: date, days: int) -> None:
    on = date.fromordinal(born.toordinal() + days)
    after = date.fromordinal(on.toordinal() + 1)
    assert completed_months(born, on) <= completed_months(born, after) <= completed_months(born, on) + 1


def test_an_age_span_holds_its_first_day_and_not_its_last() -> None:
    span = AgeSpan(from_days=29, until_months=12)
    born = date(2025, 1, 1)
    assert not of_age(span, born, date(2025, 1, 29))
    assert of_age(span, born, date(2025, 1, 30))
    assert of_age(span, born, date(2025, 12, 31))
    assert not of_age(span, born, date(2026, 1, 1))


def kg(text: str) -> Measure:
    return Measure.of(text, "kg")


def test_weight_bounds_belong_or_do_not_as_they_say() -> None:
    middle = WeightSpan(at_least=kg("60"), at_most=kg("70"))
    outer = WeightSpan(above=kg("70"), below=kg("90"))
    assert [of_weight(middle, kg(w)) for w in ("59.99", "60", "70", "70.01")] == [False, True, True, False]
    assert [of_weight(outer, kg(w)) for w in ("70", "70.01", "89.99", "90")] == [False, True, True, False]
    assert of_weight(WeightSpan(), kg("1"))
    assert not WeightSpan().bounded


def test_a_weight_in_pounds_is_compared_as_it_is() -> None:
    assert of_weight(WeightSpan(below=Measure.of("60", "kg")), Measure.of("132", "lb"))
    assert not of_weight(WeightSpan(below=Measure.of("60", "kg")), Measure.of("133", "lb"))


def test_body_mass_index_needs_both_figures() -> None:
    assert body_mass_index(a_patient(kg="80", height="200")) == Fraction(20)
    assert body_mass_index(a_patient(kg="80")) is None
    assert body_mass_index(a_patient(kg=None, height="200")) is None
    assert weight_of(a_patient(kg=None)) is None
