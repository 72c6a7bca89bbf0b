"""Questions: generous in how a figure is written, strict in what it means."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from tests.feeds.asking import answer_to, ask, refusal_of


def value(**question: Any) -> Decimal:
    return Decimal(str(answer_to(**question)["answer"]["value"]))


# --- the same question, differently written ---------------------------------------------------------

EIGHT_OF_TEN = [
    {"ordered_dose": {"value": 8, "unit": "mg"}, "stock_strength": {"value": 10, "unit": "mg/mL"}},
    {"ordered_dose": {"value": "8", "unit": "milligrams"}, "stock_strength": "10 mg/mL"},
    {"ordered_dose": "8 mg", "stock_strength": "10 mg per mL"},
    {"ordered_dose": "0.008 g", "stock_strength": {"amount": "20 mg", "volume": "2 mL"}},
    {"ordered_dose": "8000 mcg", "stock_strength": "1 %"},
    {"ordered_dose": "8 mg", "stock_percent_w_v": 1},
    {"ordered_dose": "8 mg", "stock_ratio": "1:100"},
    {"ordered_dose": "8 mg", "stock_ratio": {"parts": 1, "in": 100, "meaning": "1 g in N mL"}},
    {"dose": "8 mg", "supply": "50 mg/5 mL"},
    {"Ordered_Dose": "8 mg", "STOCK_STRENGTH": "10 mg/mL"},
    {"dose_rate": "0.1 mg/kg", "patient_weight": "80 kg", "stock_strength": "10 mg/mL"},
    {
        "dose_rate": "0.4 mg/kg/day",
        "frequency": "q6h",
        "patient_weight": "80 kg",
        "stock_strength": "10 mg/mL",
    },
    {"daily_dose": "32 mg", "interval": "6 h", "stock_strength": "10 mg/mL"},
    {"ordered_dose": "8 mg", "powder": "100 mg", "make_up_to": "10 mL"},
    {"ordered_dose": "8 mg", "stock_strength": "10 mg/mL", "max_single_dose": None},
]


@pytest.mark.parametrize("given", EIGHT_OF_TEN, ids=[str(at) for at in range(len(EIGHT_OF_TEN))])
def test_however_it_is_written_the_volume_is_the_same(given: dict[str, Any]) -> None:
    assert value(ask="volume", given=given) == Decimal("0.8")


def test_the_answer_names_its_unit_as_the_asker_writes_it_and_its_closed_code() -> None:
    told = answer_to(ask="quantity", given={"quantity": "64 ng", "target_unit": "micrograms"})
    assert told["answer"] == {"value": Decimal("0.064"), "unit": "micrograms", "code": "mcg"}


def test_a_figure_no_decimal_writes_comes_with_its_fraction() -> None:
    told = answer_to(ask="volume", given={"ordered_dose": "10 mg", "stock_strength": "15 mg/mL"})
    assert told["answer"]["exact"] == "2/3"
    assert told["answer"]["value"] == Decimal("0.66666666666666666667")


def test_the_facts_behind_an_answer_and_their_working_come_along() -> None:
    told = answer_to(ask="volume", given={"ordered_dose": "8 mg", "stock_strength": "10 mg/mL"})
    assert told["steps"] == [
        {
            "fact": "volume",
            "name": "volume to draw",
            "rule": "volume = dose ÷ strength",
            "value": {"value": Decimal("0.8"), "unit": "mL"},
            "text": "8 mg ÷ 10 mg/mL = 0.8 mL",
        }
    ]


def test_pounds_and_ounces_and_feet_and_inches_are_added_up() -> None:
    pounds = {"patient_weight": "7 lb 8 oz", "lb_per_kg": 2.2}
    assert value(ask="weight", given=pounds, decimals=3) == Decimal("3.409")
    assert value(ask="height", given={"patient_height": "5 ft 6 in"}) == Decimal("167.64")
    assert value(ask="height", given={"patient_height_ft": 5, "patient_height_in": 6}) == Decimal("167.64")


def test_a_weight_rounded_on_the_way_is_rounded_there_only() -> None:
    given = {
        "patient_weight": "50 lb",
        "lb_per_kg": 2.2,
        "weight_rounded_to_decimals": 2,
        "dose_rate": "25 mg/kg",
    }
    assert value(ask="dose", given=given) == Decimal("568.25")  # 22.73 × 25
    del given["weight_rounded_to_decimals"]
    assert value(ask="dose", given=given, decimals=3) == Decimal("568.182")


# --- compared with an answer that comes along -------------------------------------------------------


@pytest.mark.parametrize(
    ("published", "verdict"),
    [(0.8333333, "agreed when rounded"), (0.83, "agreed when rounded"), (0.84, "differs"), (8.3, "differs")],
)
def test_a_published_answer_is_judged_to_its_own_decimals(published: float, verdict: str) -> None:
    told = answer_to(
        ask="volume",
        given={"ordered_dose": "0.5 mg", "stock_strength": "0.6 mg/mL"},
        answer={"value": published, "unit": "mL"},
    )
    assert told["verdict"] == verdict


def test_without_an_answer_there_is_no_verdict() -> None:
    told = answer_to(ask="volume", given={"ordered_dose": "8 mg", "stock_strength": "10 mg/mL"})
    assert "verdict" not in told


# --- partial descriptions ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "fact", "expected"),
    [
        ({"patient_weight": "154 lb", "lb_per_kg": 2.2}, "weight_kg", {"value": 70, "unit": "kg"}),
        ({"stock_strength": "80 mg/2 mL"}, "strength", {"value": 40, "unit": "mg/mL"}),
        ({"patient_weight": "16 kg", "patient_height": "225 cm"}, "bsa", {"value": 1, "unit": "m2"}),
        ({"patient_weight": "20 kg", "dose_rate": "5 mg/kg"}, "dose", {"value": 100, "unit": "mg"}),
        ({"ordered_dose": "500 mg", "frequency": "tds"}, "day_total", {"value": 1500, "unit": "mg/day"}),
        ({"ordered_dose": "160 mg", "content_per_container": "100 mg"}, "count", {"value": 2, "unit": "1"}),
    ],
)  # fmt: skip
def test_whatever_follows_from_part_of_a_description_is_told(
    given: dict[str, Any], fact: str, expected: dict[str, Any]
) -> None:
    told = answer_to(given=given)
    assert told["outcome"] == "partial"
    assert told["follows"][fact] == expected


def test_what_is_missing_is_told_with_every_way_to_say_it() -> None:
    told = ask(
        {"ask": "volume", "given": {"powder": "1 g", "diluent_added": "10 mL", "ordered_dose": "250 mg"}}
    )
    assert told.end == 3
    assert told.json["missing"] == ["final_concentration"]
    assert told.json["refusal"]["facts"]["missing"] == [
        ["final_concentration"],
        ["final_volume"],
        ["displacement_volume"],
        ["displacement_per_amount"],
    ]
    assert "powder's own volume" in told.json["refusal"]["now"]


# --- refusals ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({"ordered_dose": "8 mg"}, "not_enough_said"),
        ({"ordered_dose": "8 mg", "stock_strength": "100 units/mL"}, "units_do_not_meet"),
        ({"ordered_dose": "8 mg", "dose_rate": "5 mg/kg", "patient_weight": "10 kg"}, "figures_contradict"),
        ({"ordered_dose": "400 mg", "max_single_dose": "300 mg"}, "ordered_over_maximum"),
        ({"dose_rate": "9 mg/kg", "divided_doses_per_day": 4, "weight_kg": 1}, "per_dose_or_per_day"),
        ({"stock_strength": "1 mg/mL", "stock_concentration": "10 mg/mL"}, "figures_contradict"),
        ({"powder": "1 g", "rows": [{"diluent": "2 mL", "concentration": "400 mg/mL"}],
          "ordered_dose": "900 mg", "max_injection_volume": "2 mL"}, "no_label_line_fits"),
    ],
)  # fmt: skip
def test_a_volume_that_cannot_be_known_is_refused_with_its_reason(given: dict[str, Any], code: str) -> None:
    refusal = refusal_of(ask="volume", given=given)
    assert refusal["code"] == code
    assert all(refusal[part] for part in ("what", "why", "now"))


def test_an_unsafe_spelling_is_understood_and_reported() -> None:
    told = answer_to(ask="volume", given={"ordered_dose": "10 U", "stock_strength": "100 IU/cc"})
    assert told["answer"]["value"] == Decimal("0.1")
    assert [finding["facts"]["form"] for finding in told["findings"]] == ["U", "IU", "cc"]


def test_without_an_ask_a_contradiction_is_still_a_refusal() -> None:
    refusal = refusal_of(given={"patient_weight": "70 kg", "weight_kg": 35})
    assert refusal["code"] == "figures_contradict"


def test_a_formula_nobody_named_is_not_guessed() -> None:
    given = {"patient_weight": "16 kg", "patient_height": "100 cm", "formula": "grandmother's"}
    assert refusal_of(ask="bsa", given=given)["code"] == "surface_formula_unknown"
