"""The order's own bounds. All by hand."""

from __future__ import annotations

import pytest

from kiosk.core.dose.bounds import Bounded, bounded
from kiosk.core.dose.order import DosePerBody
from kiosk.core.findings import Refusal
from tests.core.dose.things import m


def ordered(rate: str = "1 mg/kg", doses: int = 1, **bounds: str) -> DosePerBody:
    return DosePerBody(m(rate), doses, **{name: m(text) for name, text in bounds.items()})


@pytest.mark.parametrize(
    ("whole", "of", "daily", "per_day", "wanted"),
    [
        ("100 mg", ordered(), False, None, "100 mg"),
        ("100 mg", ordered(maximum="80 mg"), False, None, "80 mg"),
        ("100 mg", ordered(minimum="120 mg"), False, None, "120 mg"),
        ("100 mg", ordered(maximum="100 mg", minimum="100 mg"), False, None, "100 mg"),
        ("300 mg", ordered(doses=3), True, None, "100 mg"),
        ("300 mg", ordered(doses=3, daily_maximum="240 mg"), True, None, "80 mg"),
        ("300 mg", ordered(doses=3, daily_maximum="0.24 g", maximum="70 mg"), True, None, "70 mg"),
        ("300 mg", ordered(doses=3, daily_maximum="400 mg"), True, 6, "100 mg"),
        ("100 mg", ordered(daily_maximum="240 mg"), False, 3, "80 mg"),
        ("100 mg", ordered(daily_maximum="240 mg"), False, None, "100 mg"),
        ("300 mg", ordered(daily_maximum="240 mg"), False, None, "240 mg"),
    ],
)
def test_a_dose_is_held_between_its_bounds(
    whole: str, of: DosePerBody, daily: bool, per_day: int | None, wanted: str
) -> None:
    answer = bounded(m(whole), of, daily=daily, doses_per_day=per_day)
    assert isinstance(answer, Bounded)
    assert answer.amount == m(wanted)
    assert answer.amount.unit == "mg"


def test_a_dose_that_lies_on_a_bound_was_not_moved() -> None:
    answer = bounded(m("100 mg"), ordered(maximum="100 mg", minimum="100 mg"), daily=False, doses_per_day=1)
    assert answer == Bounded(m("100 mg"))


def test_a_day_of_two_doses_shows_the_division_and_a_day_of_one_does_not() -> None:
    for doses, lines in ((1, 0), (2, 1)):
        answer = bounded(m("100 mg"), ordered(doses=doses), daily=True, doses_per_day=None)
        assert isinstance(answer, Bounded)
        assert len([line for line in answer.working if line.form == "dimensional"]) == lines


def test_what_was_moved_says_from_where_to_where() -> None:
    answer = bounded(m("300 mg"), ordered(doses=3, daily_maximum="240 mg"), daily=True, doses_per_day=None)
    assert isinstance(answer, Bounded)
    assert [(f.id, f.facts["reckoned"], f.facts["most"]) for f in answer.findings] == [
        ("dose_cut_to_maximum", m("100 mg"), m("80 mg"))
    ]
    assert [line.text for line in answer.working if line.form == "dimensional"] == [
        "300 mg / 3 = 100 mg",
        "80 mg",
    ]


@pytest.mark.parametrize(
    ("of", "per_day", "code"),
    [
        (ordered(maximum="10 units"), None, "bound_not_understood"),
        (ordered(minimum="-1 mg"), None, "bound_not_understood"),
        (ordered(daily_maximum="1 mg/kg"), None, "bound_not_understood"),
        (ordered(minimum="10 mg", maximum="9 mg"), None, "bounds_contradict"),
        (ordered(minimum="90 mg", daily_maximum="240 mg"), 3, "bounds_contradict"),
        (ordered(), 0, "doses_per_day_not_understood"),
    ],
)
def test_bounds_that_contradict_are_refused(of: DosePerBody, per_day: int | None, code: str) -> None:
    answer = bounded(m("100 mg"), of, daily=False, doses_per_day=per_day)
    assert isinstance(answer, Refusal)
    assert answer.code == code
