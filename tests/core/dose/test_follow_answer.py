"""Answering one question: which fact is meant, in which unit, and what is missing, every way."""

from __future__ import annotations

import pytest

from kiosk.core.dose.follow import Followed, Stated, follow
from kiosk.core.dose.follow_answer import Answer, answer
from kiosk.core.dose.follow_asks import ASKS, SPELT, Ask
from kiosk.core.dose.follow_rules import all_rules
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

STATABLE = {
    "dose",
    "stock_strength",
    "body_weight",
    "final_volume",
    "displacement_volume",
    "final_concentration",
}


def followed(**facts: str) -> Followed:
    measures = {name: Measure.of(*text.split(" ")) for name, text in facts.items()}
    return follow(Stated(measures), all_rules())


def asked(found: Followed, ask: str, unit: str = "") -> Answer | Refusal:
    return answer(found, ASKS[ask], unit, all_rules(), STATABLE)


def test_the_answer_comes_in_the_unit_asked_for() -> None:
    found = followed(drawn_volume="40 mL", stock_strength="25 mg/mL")
    assert asked(found, "dose", "g") == Answer("drawn_dose", Measure.of(1, "g"))
    assert asked(found, "dose") == Answer("drawn_dose", Measure.of(1000, "mg"))


def test_with_a_volume_drawn_the_dose_asked_for_is_the_one_in_the_syringe() -> None:
    found = followed(dose="8 mg", drawn_volume="0.7 mL", stock_strength="10 mg/mL")
    assert asked(found, "dose") == Answer("drawn_dose", Measure.of(7, "mg"))


def test_a_day_s_amount_may_be_asked_for_without_saying_a_day_again() -> None:
    found = followed(dose="500 mg", doses_per_day="4 1/day")
    assert asked(found, "daily_dose", "g") == Answer("day_total", Measure.of(2, "g"))


def test_who_asks_for_a_dose_in_millilitres_means_the_volume() -> None:
    found = followed(dose="8 mg", stock_strength="10 mg/mL")
    assert asked(found, "dose", "mL") == Answer("volume", Measure.of("0.8", "mL"))


def test_a_stated_figure_is_never_given_back_for_another_one() -> None:
    found = followed(stock_volume="4 mL", stock_strength="50 mg/mL")
    assert isinstance(asked(found, "volume"), Refusal)


def test_is_it_too_much_is_answered_when_it_is_too_much() -> None:
    found = followed(dose="400 mg", max_dose="300 mg")
    assert asked(found, "in_range") == Answer("in_range", Measure.of(0, "1"))
    refusal = asked(found, "dose")
    assert isinstance(refusal, Refusal)
    assert refusal.code == "ordered_over_maximum"


def test_a_contradiction_answers_nothing() -> None:
    found = followed(dose="20 mg", body_weight="10 kg", dose_per_weight="5 mg/kg", stock_strength="10 mg/mL")
    refusal = asked(found, "volume")
    assert isinstance(refusal, Refusal)
    assert refusal.code == "figures_contradict"


def test_units_that_do_not_meet_are_named() -> None:
    refusal = asked(followed(dose="8 mg", stock_strength="100 units/mL"), "volume")
    assert isinstance(refusal, Refusal)
    assert refusal.code == "units_do_not_meet"
    assert refusal.facts["units"] == ("mg", "units/mL")


def test_an_answer_cannot_be_had_in_another_kind_of_unit() -> None:
    refusal = asked(followed(dose="8 mg", stock_strength="10 mg/mL"), "volume", "kg")
    assert isinstance(refusal, Refusal)
    assert refusal.code == "unit_not_of_this_answer"


@pytest.mark.parametrize(
    ("facts", "ask", "ways"),
    [
        ({"dose": "8 mg"}, "volume", (("stock_strength",), ("final_concentration",))),
        ({"dose_per_weight": "5 mg/kg"}, "dose", (("body_weight",),)),
        (
            {"powder": "1 g", "diluent_added": "10 mL", "dose": "250 mg"},
            "volume",
            (("final_concentration",), ("final_volume",), ("displacement_volume",)),
        ),
    ],
)
def test_what_is_missing_is_said_every_way(
    facts: dict[str, str], ask: str, ways: tuple[tuple[str, ...], ...]
) -> None:
    refusal = asked(followed(**facts), ask)
    assert isinstance(refusal, Refusal)
    assert refusal.code == "not_enough_said"
    assert refusal.facts["missing"] == ways


def test_stating_what_was_missing_gives_the_answer() -> None:
    found = followed(powder="1 g", diluent_added="10 mL", dose="250 mg", displacement_volume="0.5 mL")
    assert asked(found, "volume") == Answer("volume", Measure.of("2.625", "mL"))


def test_every_way_to_ask_can_follow_from_some_rule_or_be_stated() -> None:
    given = {rule.gives for rule in all_rules()} | {need for rule in all_rules() for need in rule.needs}
    for name in SPELT:
        ask: Ask = ASKS[name.lower()]
        assert set(ask.facts) <= given | {"quantity", "calculated"}, name
