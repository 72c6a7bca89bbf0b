"""Slow jobs: elsewhere, answered here, never swallowed."""

from __future__ import annotations

import threading

import pytest

from kiosk.ui.worker import Worker


@pytest.fixture
def told():
    return []


@pytest.fixture
def worker(qapp, told):
    made = Worker(lambda: told.append("settled"), lambda bug: told.append(bug))
    yield made
    made.close()


def test_the_job_runs_elsewhere_and_its_answer_comes_here(qtbot, worker, told):
    here = threading.get_ident()
    there: list[int] = []

    def job() -> str:
        there.append(threading.get_ident())
        return "0.10"

    worker(job, lambda answer: told.append((answer, threading.get_ident())))
    assert worker.under_way == 1
    qtbot.waitUntil(lambda: "settled" in told)
    assert told == [("0.10", here), "settled"]
    assert there[0] != here
    assert worker.under_way == 0


def test_the_interface_goes_on_while_a_job_is_under_way(qtbot, worker, told):
    gate = threading.Event()
    worker(gate.wait, lambda answer: told.append(answer))
    ticks = []
    qtbot.waitUntil(lambda: ticks.append(1) or len(ticks) > 3)
    assert told == []
    gate.set()
    qtbot.waitUntil(lambda: told == [True, "settled"])


def test_a_job_that_raises_is_surfaced(qtbot, worker, told):
    def job() -> None:
        raise ValueError("broken printer driver")

    worker(job, lambda answer: told.append("never"))
    qtbot.waitUntil(lambda: bool(told))
    assert str(told[0]) == "broken printer driver"
    assert "never" not in told
    assert worker.under_way == 0


def test_an_answer_that_cannot_be_taken_is_surfaced(qtbot, worker, told):
    def then(answer: int) -> None:
        raise KeyError("no such page")

    worker(lambda: 1, then)
    qtbot.waitUntil(lambda: bool(told))
    assert isinstance(told[0], KeyError)
    assert "settled" not in told


def test_answers_after_the_window_closed_are_dropped(qtbot, worker, told):
    gate, ended = threading.Event(), threading.Event()

    def job() -> int:
        gate.wait()
        ended.set()
        return 1

    worker(job, lambda answer: told.append(answer))
    worker.close()
    gate.set()
    qtbot.waitUntil(ended.is_set)
    for thread in threading.enumerate():
        if thread.name == "kiosk-job":
            thread.join()
    qtbot.waitUntil(lambda: True)
    assert told == []
