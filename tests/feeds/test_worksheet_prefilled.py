"""A prefilled syringe on the worksheet: it is the syringe, whole; part of it only where it has lines."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.feeds.asking import ask


def enoxaparin(dose: str) -> dict[str, Any]:
    return {
        "now": "2026-03-02T09:00:00Z",
        "order": {
            "drug": {"name": "enoxaparin", "high_alert": True},
            "dose": dose,
            "route": "subcutaneous",
            "site": "abdomen",
        },
        "patient": {"born": "1970-01-01", "sex": "male", "weight": "80 kg", "allergies": []},
        "containers": [
            {
                "strength": {"amount": "40 mg", "volume": "0.4 mL"},
                "contents": "0.4 mL",
                "form": "prefilled syringe",
                "routes": ["subcutaneous"],
            }
        ],
        "devices": {
            "syringes": [{"nominal": "1 mL", "graduation": "0.01 mL"}],
            "needles": [{"gauge": 26, "length": "13 mm"}],
        },
    }


def test_it_is_the_syringe_whatever_else_lies_on_the_counter() -> None:
    told = ask(enoxaparin("40 mg"))
    assert told.end == 0
    plan = told.json["plan"]
    (syringe,) = plan["syringes"]
    assert syringe["id"].startswith("prefilled:")
    assert str(syringe["line"]["value"]) == "0.4"
    assert [one["id"] for one in plan["draw_up"]] == [""]
    does = [step["does"] for step in plan["steps"]]
    assert does[:4] == ["clean_hands", "open_prefilled", "take_off_cap", "fit_needle"]
    assert "expel_to_line" not in does


def test_part_of_it_is_refused_and_the_page_says_so_in_both_languages() -> None:
    told = ask(enoxaparin("20 mg"))
    assert told.end == 3
    assert told.json["refusal"]["code"] == "prefilled_part_dose"
    for language, word in (("en", "whole syringe"), ("fr", "seringue entière")):
        page = ask(enoxaparin("20 mg"), "--language", language)
        assert word in " ".join(page.out.split())


def test_it_has_no_picture_to_scale(tmp_path: Path) -> None:
    path = tmp_path / "enoxaparin.svg"
    told = ask(enoxaparin("40 mg"), "--picture", str(path))
    assert told.end == 3
    assert "prefilled syringe" in told.err
    assert not path.exists()
