"""One digit of difference between the computations, anywhere, and there is no plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from kiosk.core.dose import agreed
from kiosk.core.dose.agreed import agreed_plan
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.dose.second import NotReckoned, Reckoned, TooLittle, reckon
from kiosk.core.dose.volume import volume_plan
from kiosk.core.findings import Refusal
from tests.core.dose.things import NOW, in_volume, order, vial

ORDER = order("160 mg")
AMPOULES = tuple(vial(in_volume("100 mg", "2 mL"), "2 mL", id=name) for name in "ab")
DIGIT = Fraction(1, 10**9)


def second_says(monkeypatch: pytest.MonkeyPatch, answer: object) -> None:
    monkeypatch.setattr(agreed, "reckon", lambda *_: answer)


def test_where_both_agree_the_plan_is_the_first_ones() -> None:
    assert agreed_plan(ORDER, AMPOULES, NOW) == volume_plan(ORDER, AMPOULES, NOW)


@pytest.mark.parametrize(
    ("figure", "tamper"),
    [
        ("dose", lambda found: replace(found, dose=found.dose + DIGIT)),
        ("strength", lambda found: replace(found, strength=found.strength - DIGIT)),
        ("volume", lambda found: replace(found, volume=found.volume + DIGIT)),
        ("draws", lambda found: replace(found, draws=found.draws[:1])),
        ("draws", lambda found: replace(found, draws=found.draws[::-1])),
        ("draws", lambda found: replace(found, draws=(found.draws[0], ("b", Fraction("1.2"), Fraction(1))))),
        ("containers", lambda found: replace(found, containers=found.containers + 1)),
    ],
)
def test_one_digit_of_difference_in_any_figure_stops(
    monkeypatch: pytest.MonkeyPatch, figure: str, tamper: Callable[[Reckoned], Reckoned]
) -> None:
    found = reckon(ORDER, AMPOULES)
    assert isinstance(found, Reckoned)
    second_says(monkeypatch, tamper(found))
    assert agreed_plan(ORDER, AMPOULES, NOW) == Refusal("computations_disagree", {"figures": (figure,)})


@pytest.mark.parametrize("answer", [NotReckoned("kind"), TooLittle(Fraction(4), Fraction(3), 2)])
def test_a_plan_the_second_does_not_see_stops(monkeypatch: pytest.MonkeyPatch, answer: object) -> None:
    second_says(monkeypatch, answer)
    assert agreed_plan(ORDER, AMPOULES, NOW) == Refusal("computations_disagree", {"figures": ("plan",)})


@pytest.mark.parametrize(
    ("answer", "figures"),
    [
        (TooLittle(Fraction("3.2"), Fraction(2), 2), None),
        (TooLittle(Fraction("3.2") + DIGIT, Fraction(2), 2), ("needed",)),
        (TooLittle(Fraction("3.2"), Fraction(2) - DIGIT, 2), ("in_hand",)),
        (TooLittle(Fraction("3.2"), Fraction(2), 3), ("containers",)),
        (NotReckoned("kind"), ("plan",)),
    ],
)
def test_a_shortage_must_be_the_same_shortage(
    monkeypatch: pytest.MonkeyPatch, answer: object, figures: tuple[str, ...] | None
) -> None:
    second_says(monkeypatch, answer)
    made = agreed_plan(ORDER, AMPOULES[:1], NOW)
    assert isinstance(made, Refusal)
    assert made.code == ("computations_disagree" if figures else "more_containers_needed")
    assert made.facts.get("figures") == figures


def test_a_refusal_the_second_does_not_see_stops(monkeypatch: pytest.MonkeyPatch) -> None:
    found = reckon(ORDER, AMPOULES)
    second_says(monkeypatch, found)
    wrong = order("160 units")
    assert agreed_plan(wrong, AMPOULES, NOW) == Refusal("computations_disagree", {"figures": ("plan",)})


def test_two_refusals_need_not_be_worded_alike() -> None:
    made = agreed_plan(order("160 units"), AMPOULES, NOW)
    assert isinstance(made, Refusal)
    assert made.code == "unit_not_of_this_drug"


def test_a_fault_planted_in_the_first_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    real = agreed.volume_plan

    def tenfold(*args: object) -> VolumePlan | Refusal:
        made = real(*args)  # type: ignore[arg-type]
        return replace(made, volume=made.volume.scaled(10)) if isinstance(made, VolumePlan) else made

    monkeypatch.setattr(agreed, "volume_plan", tenfold)
    assert agreed_plan(ORDER, AMPOULES, NOW) == Refusal("computations_disagree", {"figures": ("volume",)})
