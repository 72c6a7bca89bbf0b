"""More than one site takes, on the worksheet: refused with the ways out, or planned where it is split."""

from __future__ import annotations

from typing import Any

from tests.feeds.asking import ask


def magnesium(**policy: str) -> dict[str, Any]:
    """5 g of 50 % into the hip muscle of an adult: 10 mL, where 5 mL is the most."""
    return {
        "now": "2026-03-02T09:00:00Z",
        "order": {
            "drug": {"name": "magnesium sulfate"},
            "dose": "5 g",
            "route": "intramuscular",
            "site": "ventrogluteal",
        },
        "patient": {"born": "1990-01-01", "sex": "female", "weight": "68 kg", "allergies": []},
        "containers": [
            {"strength": "50 %", "contents": "10 mL", "form": "glass ampoule", "routes": ["intramuscular"]}
        ],
        "devices": {"syringes": [{"nominal": "10 mL", "graduation": "0.2 mL"}]},
        "policy": policy,
    }


def test_it_is_refused_with_the_equal_parts_that_would_do() -> None:
    told = ask(magnesium())
    assert told.end == 3
    refusal = told.json["refusal"]
    assert refusal["code"] == "too_much_for_site"
    assert [str(each["value"]) for each in refusal["facts"]["each"]] == ["5", "2.5"]
    assert "5 mL, 2.5 mL" in refusal["now"]


def test_a_limit_for_one_injection_splits_it_and_is_then_judged_by_the_part() -> None:
    told = ask(magnesium(max_injection_volume="5 mL"))
    assert told.end == 0
    assert [str(part["value"]) for part in told.json["plan"]["split"]] == ["5", "5"]
    over_usual = [finding["id"] for finding in told.json["findings"]]
    assert "over_usual_for_site" in over_usual
    assert "too_much_for_site" not in over_usual
