"""One syringe planned from a description: the agreed volume, the checks, the apparatus, what is missing."""

from __future__ import annotations

import copy
import json
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.feeds.asking import ask

SHEETS = Path(__file__).parent / "worksheets"


def described(name: str) -> dict[str, Any]:
    path = next(SHEETS.glob(f"{name}.*"))
    text = path.read_text(encoding="utf-8")
    tree: dict[str, Any] = tomllib.loads(text) if path.suffix == ".toml" else json.loads(text)
    return copy.deepcopy(tree)


def told(description: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = ask(description).json
    return found


def plan(name: str) -> dict[str, Any]:
    found = told(described(name))
    assert found["outcome"] == "planned", found.get("refusal", found.get("missing"))
    made: dict[str, Any] = found["plan"]
    return made


def refused(description: dict[str, Any]) -> str:
    asked = ask(description)
    assert asked.end == 3, asked.out
    code: str = asked.json["refusal"]["code"]
    return code


# --- the arithmetic, by hand ------------------------------------------------------------------------


def test_a_day_by_weight_in_three_doses() -> None:
    made = plan("divided_dose_by_weight")
    assert made["dose"] == {"value": Decimal("69.85322498"), "unit": "mg"}  # 154 × 0.45359237 × 3 ÷ 3
    assert made["volume"] == {"value": Decimal("1.7463306245"), "unit": "mL"}  # ÷ 40
    assert made["rounded"] == {"value": Decimal("1.7"), "unit": "mL", "policy": "tenth_from_one"}
    assert made["takes"][0]["left"] == {"value": Decimal("0.2536693755"), "unit": "mL"}


def test_both_written_forms_of_the_working_end_in_the_same_figure() -> None:
    working = plan("divided_dose_by_weight")["working"]
    last = {line["form"]: line["text"] for line in working}
    assert last == {
        "dimensional": "69.85322498 mg × (2 mL / 80 mg) ≈ 1.74633 mL",
        "desired over have": "(69.85322498 mg / 80 mg) × 2 mL ≈ 1.74633 mL",
    }


def test_insulin_is_set_in_units_on_a_barrel_of_its_own_strength_alone() -> None:
    made = plan("insulin")
    best, other = made["syringes"]
    assert best["line"] == {"value": 18, "unit": "units"}
    assert best["allowed"]
    assert not other["allowed"]  # marked in millilitres
    assert made["second_person"] == ["high_alert_drug"]


def test_a_powder_is_made_up_by_the_line_that_is_chosen_and_its_volume_split() -> None:
    made = plan("powder_with_label_lines")
    assert made["recipe"][0]["volume"] == {"value": 8, "unit": "mL"}
    assert made["volume"] == {"value": Decimal("1.2"), "unit": "mL"}  # 600,000 ÷ 500,000
    assert made["split"] == [{"value": Decimal("0.6"), "unit": "mL"}] * 2


def test_two_ampoules_are_drawn_one_after_the_other() -> None:
    made = plan("two_ampoules")
    drawn = [(take["volume"]["value"], take["left"]["value"]) for take in made["takes"]]
    assert drawn == [(10, 0), (5, 5)]
    assert made["containers_needed"] == 2


def test_a_percentage_meets_millimoles_over_the_molar_mass() -> None:
    made = plan("percent_to_mmol")
    assert made["volume"] == {"value": Decimal("3.94352"), "unit": "mL"}  # 8 × 246.47 ÷ 500


def test_a_salt_carries_the_base_that_is_ordered() -> None:
    assert plan("salt_for_base")["volume"] == {"value": 5, "unit": "mL"}  # 310 ÷ (100 × 0.62)


def test_a_dose_chosen_in_a_range_is_the_dose() -> None:
    assert plan("range_with_a_choice")["volume"] == {"value": Decimal("0.75"), "unit": "mL"}


def test_an_order_in_millilitres_is_answered_with_the_amount_it_carries() -> None:
    description = described("two_ampoules")
    description["order"] = {"drug": "potassium chloride", "dose": "15 mL", "route": "intravenous"}
    assert told(description)["plan"]["dose"] == {"value": 30, "unit": "mmol"}


# --- the apparatus ----------------------------------------------------------------------------------


def test_every_choice_is_ranked_and_what_is_refused_says_why() -> None:
    made = plan("divided_dose_by_weight")
    assert [one["id"] for one in made["syringes"] if one["allowed"]] == ["syringe-1", "syringe-3"]
    assert [one["allowed"] for one in made["draw_up"]] == [True, False]  # glass asks for a filter
    assert [one["gauge"] for one in made["needles"] if one["allowed"]] == [23]
    stops = [
        finding["id"]
        for one in (*made["syringes"], *made["draw_up"], *made["needles"])
        if not one["allowed"]
        for finding in one["findings"]
        if finding["level"] == "stop"
    ]
    assert len(stops) == 5
    assert made["steps"][0]["does"] == "clean_hands"


def test_a_dose_too_small_to_measure_is_refused_and_a_dilution_offered() -> None:
    asked = ask(described("too_small_to_measure"))
    assert asked.end == 3
    assert asked.json["refusal"]["code"] == "no_syringe_measures"
    recipe = asked.json["plan"]["dilution"]
    assert [step["does"] for step in recipe] == [
        "draw_stock", "make_up_to", "draw_mixture", "make_up_to", "draw_dose",
    ]  # fmt: skip
    strength = Decimal(10) * 1 / 10 * 1 / 5  # mg/mL, by the recipe: 1 mL to 10 mL, 1 mL of it to 5 mL
    assert recipe[-1]["volume"]["value"] * strength == Decimal("0.3")


def test_a_rounding_that_changes_the_dose_too_much_is_a_stop() -> None:
    description = described("range_with_a_choice")
    description["containers"][0]["strength"] = "50 mg/mL"  # 0.15 mL
    description["policy"] = {"rounding": "always_a_tenth"}
    assert refused(description) == "rounding_changes_dose"


# --- stops ------------------------------------------------------------------------------------------


def change(name: str, *path: str | int, to: Any) -> dict[str, Any]:
    description = described(name)
    place: Any = description
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = to
    return description


TENFOLD = "dose_tenfold_above"


@pytest.mark.parametrize(
    ("description", "code"),
    [
        (change("two_ampoules", "containers", 0, "drug", to="sodium chloride"), "wrong_drug"),
        (change("two_ampoules", "containers", 0, "expiry", to="2026-03-01"), "expired"),
        (change("two_ampoules", "containers", 0, "recalled", to=True), "recalled"),
        (change("two_ampoules", "containers", 0, "routes", to=["oral"]), "wrong_strength_for_route"),
        (change("two_ampoules", "containers", 0, "how_many", to=1), "more_containers_needed"),
        (change("two_ampoules", "order", "dose", to="30 units"), "unit_not_of_drug"),
        (change("divided_dose_by_weight", "order", "drug", "limits", 0, "high", to="0.1 mg/kg"), TENFOLD),
        (change("divided_dose_by_weight", "patient", "allergies", to=["gentamicin"]), "allergic_to_drug"),
        (change("range_with_a_choice", "order", "chosen_dose", to="11 mg"), "dose_outside_its_range"),
        (change("insulin", "order", "dose", to="18 mg"), "unit_not_of_this_drug"),
    ],
)
def test_what_is_unsafe_is_refused_with_its_reason(description: dict[str, Any], code: str) -> None:
    asked = ask(description)
    assert asked.end == 3, asked.out
    assert asked.json["refusal"]["code"] == code
    assert all(asked.json["refusal"][part] for part in ("what", "why", "now"))


def test_a_dose_stated_two_ways_is_bad_input() -> None:
    asked = ask(change("two_ampoules", "order", "dose_rate", to="1 mmol/kg"))
    assert (asked.end, asked.err.split(":")[0]) == (2, "order.dose_rate")


def test_a_want_of_the_drug_list_is_missing_not_refused() -> None:
    description = described("percent_to_mmol")
    del description["order"]["drug"]["molar_mass"]
    asked = ask(description)
    assert (asked.end, asked.json["missing"]) == (0, ["order.drug.molar_mass"])


def test_behind_a_stop_no_figure_is_shown() -> None:
    asked = ask(change("two_ampoules", "containers", 0, "drug", to="sodium chloride"))
    assert asked.json["follows"] == {}
    assert asked.json["steps"] == []
    assert "plan" not in asked.json


def test_a_class_of_allergy_is_known_from_the_drug_s_own_name() -> None:
    description = described("powder_with_label_lines")
    description["patient"]["allergies"] = ["penicillin"]
    assert refused(description) == "allergic_to_drug"


def test_an_allergy_that_could_only_be_compared_by_name_is_said_so() -> None:
    description = described("two_ampoules")
    description["order"]["drug"]["name"] = "something new"
    description["patient"]["allergies"] = ["penicillin"]
    assert "allergy_classes_not_said" in [finding["id"] for finding in told(description)["findings"]]


# --- partial ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("without", "missing"),
    [
        (("order", "dose"), ["order.dose"]),
        (("order", "route"), ["order.route"]),
        (("order", "drug"), ["order.drug"]),
        (("containers",), ["containers"]),
        (("containers", 0, "strength"), ["containers[0].strength"]),
        (("containers", 0, "form"), ["containers[0].form"]),
    ],
)
def test_what_is_not_said_is_missing_and_the_rest_follows(
    without: tuple[str | int, ...], missing: list[str]
) -> None:
    description = described("two_ampoules")
    place: Any = description
    for key in without[:-1]:
        place = place[key]
    del place[without[-1]]
    asked = ask(description)
    assert (asked.end, asked.json["outcome"]) == (0, "partial")
    assert asked.json["missing"] == missing
    if without[0] == "order" and without != ("order", "dose"):
        assert asked.json["follows"]["volume"] == {"value": 15, "unit": "mL"}


def test_a_dose_by_weight_wants_a_weight_and_by_surface_a_height() -> None:
    by_weight = described("divided_dose_by_weight")
    del by_weight["patient"]["weight"]
    assert told(by_weight)["missing"] == ["patient.weight"]
    by_surface = described("divided_dose_by_weight")
    by_surface["order"]["dose_rate"] = "100 mg/m2"
    by_surface["order"].pop("divided_doses_per_day")
    by_surface["order"]["drug"] = "gentamicin"
    del by_surface["patient"]["height"]
    assert told(by_surface)["missing"] == ["patient.height"]


def test_an_empty_description_wants_everything() -> None:
    assert told({})["missing"] == ["order.dose", "order.drug", "order.route", "containers"]


def test_an_age_stands_for_a_birthday() -> None:
    made = told(described("too_small_to_measure"))
    assert made["plan"]["second_person"] == ["high_alert_drug", "controlled_drug"]
