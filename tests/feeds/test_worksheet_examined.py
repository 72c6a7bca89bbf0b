"""What the worksheet must not answer, what it answers with a caution, and lines damaged at random.

The cases were written by somebody who had not written the worksheet; each stands for a fault that was
found and mended, or for a question whose answer would be a guess.
"""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kiosk.core.dose.follow_asks import SPELT
from kiosk.tables import csv_rows
from tests.feeds.asking import answer_to, ask, refusal_of

HERE = Path(__file__).parent
REFUSED: list[dict[str, Any]] = [
    json.loads(line)
    for line in (HERE / "worksheet_examined_refused.jsonl").read_text(encoding="utf-8").splitlines()
]
LINES = [
    json.loads(line)
    for name in ("worksheet_examples.jsonl", "worksheet_examined.jsonl")
    for line in (HERE / name).read_text(encoding="utf-8").splitlines()
]


@pytest.mark.parametrize("case", REFUSED, ids=[f"{one['id']} {one['why']}" for one in REFUSED])
def test_it_is_refused_and_the_reason_is_named(case: dict[str, Any]) -> None:
    asked = {key: case[key] for key in ("ask", "given", "unit", "rounding", "decimals")}
    told = ask(asked)
    if told.end == 2:
        assert told.err.startswith(f"{case['refused']}: ")
        return
    assert told.end == 3, told.out
    refusal = told.json["refusal"]
    assert refusal["code"] == case["refused"]
    if refusal["code"] == "not_enough_said":
        assert all(refusal["facts"]["missing"])
        assert refusal["now"].removeprefix("State: ").removesuffix(".")


# --- an overfilled vial -------------------------------------------------------------------------------

SMALL_VIAL = {"powder": "50 mg", "final_concentration": "100 mg/mL", "ordered_dose": "45 mg"}


def test_a_vial_filled_beyond_its_label_is_a_caution_and_the_label_s_strength_stands() -> None:
    """50 mg at 100 mg/mL is 0.5 mL, yet the label has 0.6 mL added: a fifth more."""
    told = answer_to(ask="volume", given={**SMALL_VIAL, "diluent_added": "0.6 mL"})
    assert float(told["answer"]["value"]) == 0.45
    assert [finding["id"] for finding in told["findings"]] == ["label_overfilled"]
    assert told["findings"][0]["level"] == "caution"


def test_more_diluent_than_any_overfill_is_a_contradiction() -> None:
    given = {**SMALL_VIAL, "diluent_added": "0.61 mL"}
    assert refusal_of(ask="volume", given=given)["code"] == "part_exceeds_whole"


# --- the weight to reckon on --------------------------------------------------------------------------

TWO_WEIGHTS = {"patient_weight": "100 kg", "ideal_weight": "70 kg", "dose_rate": "5 mg/kg"}


@pytest.mark.parametrize(
    ("basis", "dose"),
    [("actual", 500), ("ideal", 350), ("adjusted", 410)],  # 70 + 0.4 × 30 = 82; 82 × 5
)
def test_of_two_weights_the_named_one_is_used(basis: str, dose: int) -> None:
    assert answer_to(ask="dose", given={**TWO_WEIGHTS, "weight_basis": basis})["answer"]["value"] == dose


def test_of_two_weights_none_is_chosen_unnamed() -> None:
    assert refusal_of(ask="dose", given=TWO_WEIGHTS)["code"] == "not_enough_said"


# --- several limits at once ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "fits"),
    [
        ({"ordered_dose": "900 mg", "doses_per_day": 4}, 1),  # 900 ≤ 1000, 3600 ≤ 4000
        ({"ordered_dose": "900 mg", "doses_per_day": 6}, 0),  # 5400 > 4000
        ({"ordered_dose": "1100 mg", "doses_per_day": 3}, 0),  # 1100 > 1000
    ],
)
def test_every_limit_that_is_stated_must_hold(given: dict[str, Any], fits: int) -> None:
    told = answer_to(ask="in_range", given={**given, "max_single_dose": "1 g", "max_daily_dose": "4 g"})
    assert told["answer"]["value"] == fits


def test_a_fixed_maximum_holds_the_one_by_weight() -> None:
    given = {"max_dose_rate": "3 mg/kg", "max_single_dose": "300 mg"}
    light = answer_to(ask="max_dose", given={**given, "patient_weight": "70 kg"})
    heavy = answer_to(ask="max_dose", given={**given, "patient_weight": "110 kg"})
    assert (light["answer"]["value"], heavy["answer"]["value"]) == (210, 300)  # 3 × 70; 330 is over 300


def test_the_most_of_one_dose_is_never_that_of_a_day() -> None:
    """20 kg at 50 mg/kg/day is 1000 mg a day; in four doses 250 mg each."""
    given = {"patient_weight": "20 kg", "range_high": "50 mg/kg/day"}
    assert answer_to(ask="max_dose", unit="mg", given={**given, "doses_per_day": 4})["answer"]["value"] == 250
    assert refusal_of(ask="max_dose", unit="mg", given=given)["code"] == "unit_not_of_this_answer"


# --- what once ended in an exception ------------------------------------------------------------------


@pytest.mark.parametrize(
    "given",
    [
        {"ordered_dose": "5 mg", "daily_dose": "100 units", "stock_strength": "5 mg/mL"},
        {
            "dose_rate": "40 mg/kg/day",
            "divided_doses_per_day": 4,
            "divided_doses": 3,
            "patient_weight": "9 kg",
        },
        {"max_dose_rate": "3 mg/kg", "max_dose": "1 g", "maximum_dose": "2 g", "patient_weight": "9 kg"},
        {"calculated": "7 mL", "rule": "nearest 5 mg"},
        {"calculated": "7 mg", "rule": "always_a_tenth"},
        {"calculated": "7 units", "rule": "what_the_syringe_shows", "graduation": "0.1 mL"},
    ],
)
def test_figures_that_do_not_belong_together_end_with_a_word(given: dict[str, Any]) -> None:
    for what in ("volume", "dose", "max_dose", "rounded"):
        assert ask({"ask": what, "given": given}).end in (0, 2, 3)


def test_lines_within_lines_of_a_label_are_refused_however_deep() -> None:
    line = '{"diluent": "2 mL", "concentration": "5 mg/mL"}'
    for deep in (1, 450):
        told = ask('{"given": ' + '{"rows": [' * deep + line + "]}" * deep + "}")
        assert told.end == (0 if deep == 1 else 2)
        assert told.err == ("" if deep == 1 else "given.rows[0].rows: no such field is known here.\n")


# --- lines damaged at random --------------------------------------------------------------------------

NAMES = [row["name"] for row in csv_rows.rows("worksheet_facts", ("name",))]
UNITS = [row["spelling"] for row in csv_rows.rows("unit_spellings", ("spelling",))]
SCRAPS: tuple[Any, ...] = (
    *(None, True, 0, -1, 1e-30, 1e300, 10**60, "", " ", "NaN", "1,5", "1,500", "½", "1/0", "3/2", "5-10 mg"),
    *("mg", "8 mg mg", "²", "٣", "x" * 500, [], {}, [[]], {"value": 1}, {"unit": "mg"}, {"in": 5}),
    *({"parts": 0, "in": 5}, {"amount": 1, "volume": 2}, {"low": 3}, {"lb": 1, "oz": 2}, "1:0", "every 0 h"),
    *("-5 mg", "0 lb 0 oz", "5 mg/0 mL", "5/mL", "1 lb 2 mL", ["1 lb", "2 mL"], float("inf"), float("nan")),
)
RULES = (
    *("nearest 5 mg", "whole units", "2 significant figures", "nearest 0", "half even tenth", "divide by 0"),
    *("always_a_tenth", "what_the_syringe_shows", "nearest .. mL", ": 0 mL", "round up to whole vials"),
)


def places(tree: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    inside = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for key, value in inside:
        yield (*path, key)
        yield from places(value, (*path, key))


def damaged(line: dict[str, Any], by: random.Random) -> dict[str, Any]:
    made = copy.deepcopy(line)
    unit = "/".join(by.choices(UNITS, k=by.choice((1, 1, 2, 3))))
    scrap = by.choice((copy.deepcopy(by.choice(SCRAPS)), {"value": by.choice((0.5, 2, "1/2")), "unit": unit}))
    match by.randrange(6):
        case 0 | 1:
            path = by.choice(list(places(made)))
            place: Any = made
            for key in path[:-1]:
                place = place[key]
            place[path[-1]] = scrap
        case 2:
            made["given"][by.choice(NAMES)] = scrap
        case 3:
            made["ask"] = by.choice(SPELT)
        case 4:
            made["given"].pop(by.choice(list(made["given"])))
        case _:
            made["rounding"], made["decimals"] = by.choice(RULES), by.choice((None, 0, 2, 9, -1, "2"))
    return made


@pytest.mark.parametrize("seed", range(8))
def test_a_damaged_line_ends_with_an_answer_a_refusal_or_one_sentence(seed: int) -> None:
    by = random.Random(seed)
    for _ in range(60):
        line = damaged(by.choice(LINES), by)
        told = ask(json.dumps(line))
        assert told.end in (0, 2, 3)
        if told.end == 2:
            (sentence,) = told.err.splitlines()
            assert sentence.endswith((".", "…")), sentence
        elif told.end == 3 and told.json["refusal"]["code"] == "not_enough_said":
            assert told.json["refusal"]["facts"]["missing"], line
