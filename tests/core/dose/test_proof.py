"""A short run of the random proof; ``python -m tests.core.dose.proof_random`` is the long one."""

from __future__ import annotations

from collections import Counter

import pytest

from kiosk.core.dose import agreed
from kiosk.core.dose.plan import VolumePlan
from tests.core.dose.proof_random import prove


def test_six_hundred_random_cases_agree_and_break_nothing() -> None:
    tally = prove(600, seed=7)
    assert tally.failures == []
    assert tally.outcomes["plan"] > 200
    assert len(tally.refusals) > 12


def test_the_proof_sees_a_planted_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(agreed, "_differing", lambda *_: ())  # nobody compares any more
    real = agreed.volume_plan

    def a_hair_too_much(*args: object) -> object:
        made = real(*args)  # type: ignore[arg-type]
        if not isinstance(made, VolumePlan):
            return made
        return VolumePlan(made.dose, made.strength, made.volume.scaled(2), made.takes, made.working)

    monkeypatch.setattr(agreed, "volume_plan", a_hair_too_much)
    tally = prove(50, seed=7)
    kinds = Counter(failure.split(": ", 1)[1].split(" ")[0] for failure in tally.failures)
    assert kinds["the"] > 10  # the draws do not add up
    assert kinds["dose,"] > 10  # dose, strength and volume do not belong together


def test_the_proof_sees_an_escaping_exception(monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(agreed, "volume_plan", breaks)
    assert len(prove(5, seed=7).failures) == 5
