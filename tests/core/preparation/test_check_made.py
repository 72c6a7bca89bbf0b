"""A second check read back out of the events of a syringe."""

from __future__ import annotations

from kiosk.core.checks.independence import same_mistakes
from kiosk.core.preparation import events as e
from kiosk.core.preparation.check_made import check_made
from tests.core.samples import an_order

OPENED = e.Opened("ann", an_order(), "code", True, ("spoken_order",))
CAME = e.CheckerCame("ben")


def said(who: str, value: str, round: int = 1) -> e.Stated:
    return e.Stated(who, "figure", value, "facts", round, 20)


def test_without_a_checker_there_is_no_check() -> None:
    assert check_made("s1", [OPENED, said("ann", "1 mL")]) is None
    assert check_made("s1", [CAME]) is None


def test_who_said_what_of_what() -> None:
    check = check_made("s1", [OPENED, said("ann", "1 mL"), CAME, said("ben", "1 mL")])
    assert check is not None
    assert (check.preparer, check.checker, check.differed) == ("ann", "ben", False)
    assert [(r.who, r.value, r.took_s) for r in check.readings] == [("ann", "1 mL", 20), ("ben", "1 mL", 20)]


def test_the_same_wrong_answer_is_seen_only_in_its_round() -> None:
    happened = [
        *(OPENED, said("ann", "10 mL"), CAME, said("ben", "10 mL"), e.Differed(("figure",), 1)),
        *(said("ann", "1 mL", 2), said("ben", "1 mL", 2)),
    ]
    check = check_made("s1", happened)
    assert check is not None
    assert [found.facts["value"] for found in same_mistakes([check])] == ["10 mL"]


def test_two_different_answers_are_no_shared_mistake() -> None:
    differed = e.Differed(("figure",), 1)
    check = check_made("s1", [OPENED, said("ann", "10 mL"), CAME, said("ben", "1 mL"), differed])
    assert check is not None
    assert check.differed
    assert same_mistakes([check]) == ()
