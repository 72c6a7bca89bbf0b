"""Signs of rubber-stamping in the record; each against a record made for it, and silence for honest ones."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.checks.independence import (
    Reading,
    SecondCheck,
    always_the_same_pair,
    never_differs,
    report,
    same_mistakes,
    too_fast,
)
from kiosk.core.findings import Level
from kiosk.tables.check_tables import independence_figures
from kiosk.tables.words import languages, words

FIGURES = independence_figures()
HONEST = {"container": 6, "figure": 25, "needle": 8, "plunger": 12}


def a_check(
    preparer: str = "ann",
    checker: str = "ben",
    *,
    number: int = 1,
    took: dict[str, int] | None = None,
    wrong: dict[str, tuple[str, str]] | None = None,
) -> SecondCheck:
    """A check; ``wrong`` says for a matter what preparer and checker said when it was not right."""
    readings = []
    for matter, seconds in {**HONEST, **(took or {})}.items():
        said = (wrong or {}).get(matter, ("right", "right"))
        for who, value, time in ((preparer, said[0], seconds), (checker, said[1], seconds)):
            readings.append(Reading(who, matter, value, time, 1, value == "right"))
    return SecondCheck(f"s{number}", preparer, checker, tuple(readings))


def test_honest_checks_are_not_reported() -> None:
    mixed = [a_check(checker=who, number=n) for n, who in enumerate(["ben", "cal", "dee"] * 5)]
    assert report(mixed, FIGURES) == ()
    assert report([], FIGURES) == ()


def test_the_same_wrong_answer_by_both_is_a_caution() -> None:
    (found,) = same_mistakes([a_check(wrong={"figure": ("15 mL", "15 mL")})])
    assert (found.id, found.level) == ("same_mistake", Level.CAUTION)
    assert (found.facts["matter"], found.facts["value"]) == ("figure", "15 mL")


def test_two_different_slips_are_what_a_check_is_for() -> None:
    assert same_mistakes([a_check(wrong={"figure": ("15 mL", "1.4 mL")})]) == ()
    assert same_mistakes([a_check(wrong={"figure": ("15 mL", "right")})]) == ()


def test_the_same_slip_in_another_round_is_not_the_same_slip() -> None:
    readings = (
        Reading("ann", "figure", "15 mL", 20, 1, False),
        Reading("ben", "figure", "15 mL", 20, 2, False),
    )
    assert same_mistakes([SecondCheck("s1", "ann", "ben", readings)]) == ()


def test_a_figure_reckoned_in_four_seconds_was_not_reckoned() -> None:
    (found,) = too_fast([a_check(took={"figure": 4, "needle": 1})], FIGURES)
    assert found.facts["matters"] == ("figure", "needle")
    assert too_fast([a_check(took={"figure": 5, "needle": 2, "plunger": 3, "container": 1})], FIGURES) == ()


def test_only_the_checkers_haste_is_reported() -> None:
    hasty_preparer = SecondCheck("s1", "ann", "ben", (Reading("ann", "figure", "right", 0),))
    assert too_fast([hasty_preparer], FIGURES) == ()


def test_a_pair_is_a_habit_from_eight_in_ten_of_ten() -> None:
    ben, cal = a_check(checker="ben"), a_check(checker="cal")
    (found,) = always_the_same_pair([ben] * 8 + [cal] * 2, FIGURES)
    assert (found.facts["checker"], found.facts["times"], found.facts["of"]) == ("ben", 8, 10)
    assert always_the_same_pair([ben] * 7 + [cal] * 3, FIGURES) == ()
    assert always_the_same_pair([ben] * 9, FIGURES) == ()


def test_never_finding_anything_counts_only_against_what_others_find() -> None:
    """Others differ in 1 of 10: 43 checks without any have a chance of 0.9^43 = 0.0108, 44 of 0.0097."""
    others = [a_check(checker="cal", wrong={"figure": ("15 mL", "right")})] + [a_check(checker="cal")] * 9
    assert never_differs(others + [a_check()] * 43, FIGURES) == ()
    (found,) = never_differs(others + [a_check()] * 44, FIGURES)
    assert (found.facts["checker"], found.facts["times"]) == ("ben", 44)
    assert never_differs([a_check()] * 500, FIGURES) == ()


def test_the_report_has_words_in_every_language() -> None:
    for language in languages():
        said = words(language)
        for id in ("same_mistake", "checked_too_fast", "always_the_same_pair", "checker_never_differs"):
            assert {f"finding.{id}.{part}" for part in ("what", "why", "now")} <= said.keys()


CHECKS = st.builds(
    lambda preparer, checker, seconds, wrong: a_check(
        preparer, checker, took={"figure": seconds}, wrong={"figure": ("15 mL", "15 mL")} if wrong else None
    ),
    st.sampled_from(["ann", "bea"]),
    st.sampled_from(["cal", "dee"]),
    st.integers(0, 60),
    st.booleans(),
)


@given(st.lists(CHECKS, max_size=30))
def test_the_order_of_the_record_changes_no_count(checks: list[SecondCheck]) -> None:
    forwards, backwards = report(checks, FIGURES), report(checks[::-1], FIGURES)
    assert sorted(f.id for f in forwards) == sorted(f.id for f in backwards)
