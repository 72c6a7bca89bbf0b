"""The worksheet as a page: the answer first, in safe notation, in both languages, no line too long."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.feeds.asking import Told, ask

SHEETS = sorted((Path(__file__).parents[1] / "feeds" / "worksheets").iterdir())
QUESTION = {
    "ask": "volume",
    "given": {"ordered_dose": "20 mg", "stock_strength": "15 mg/mL"},
    "rounding": "nearest tenth",
    "answer": {"value": 1.3, "unit": "mL"},
    "note": "a remark",
}


def page(description: dict[str, object] | str, language: str = "en") -> list[str]:
    told: Told = ask(description, "--language", language)
    assert told.end in (0, 3), told.err
    return told.out.splitlines()


def test_a_question_is_answered_first_and_then_shown_how() -> None:
    lines = page(QUESTION)
    assert lines[0] == "Prep Counter: worksheet – Answered"
    shown = [line.strip() for line in lines if line.strip()]
    assert "Answer                             1.3 mL" in shown
    assert "Before rounding                    ≈ 1.33333 mL" in shown
    assert "Stated answer                      1.3 mL: agreed" in shown
    assert "volume to draw                     20 mg ÷ 15 mg/mL ≈ 1.33333 mL" in shown
    assert "note: a remark" in shown
    assert shown.index("Asked") < shown.index("Stated") < shown.index("Working") < shown.index("Remarks")


def test_french_points_with_a_comma() -> None:
    lines = page(QUESTION, "fr")
    assert lines[0] == "Prep Counter : feuille de calcul – Répondu"
    assert any(line.endswith("Réponse                            1,3 mL") for line in lines)
    assert not any("1.3 mL" in line for line in lines)


def test_a_yes_or_no_is_told_as_one() -> None:
    given = {"ordered_dose": "150 mg", "range_low": "100 mg", "range_high": "200 mg"}
    lines = page({"ask": "in_range", "given": given})
    assert "  Answer                             yes" in lines


def test_a_refusal_stands_on_top_once() -> None:
    text = "\n".join(page({"ask": "volume", "given": {"ordered_dose": "8 mg"}}))
    assert text.index("Refused because") < text.index("Say for more") < text.index("Stated")
    assert text.count("There is not enough to answer this.") == 1


def test_a_plan_tells_dose_volume_apparatus_and_steps_in_that_order() -> None:
    text = "\n".join(page(SHEETS[0].read_text(encoding="utf-8")))
    heads = ["Volume", "Draw from", "By dimensional analysis", "By desired over have", "Syringes, best first"]
    heads += ["To draw up", "To inject, best first", "Drawing up", "Findings"]
    places = [text.index(f"\n{head}\n") for head in heads]
    assert places == sorted(places)
    assert "1. Clean your hands." in text


@pytest.mark.parametrize("language", ["en", "fr"])
@pytest.mark.parametrize("path", SHEETS, ids=[path.stem for path in SHEETS])
def test_every_sheet_fits_the_page_in_either_language(path: Path, language: str) -> None:
    lines = page(path.read_text(encoding="utf-8"), language)
    assert max(map(len, lines)) <= 92
    assert all(line == line.rstrip() for line in lines)
    assert not any("{" in line or "None" in line for line in lines)


def test_it_says_what_it_is_not() -> None:
    assert "it does not replace" in " ".join(page(QUESTION))
