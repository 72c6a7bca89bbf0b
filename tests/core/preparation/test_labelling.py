"""No vial opened for a syringe is done with before its in-use label is on it; every copy is asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation.decide import Accepted, decide
from kiosk.core.preparation.in_use_events import InUseLabelAsked, InUseLabelSaid
from kiosk.core.preparation.state import Preparation, Stage, apply_all, fold, stage
from kiosk.core.units import Measure
from tests.counter import NOW, container, order, rules

LINE, SEALED, OPENED = Measure.of("0.2", "mL"), "C054", "C053"
ASKED, FAILED = InUseLabelAsked("N01", SEALED, 1), e.InUseLabelEnded("V9", "failed", "no_folder", SEALED)
PRINTED = e.InUseLabelEnded("V9", "printed", "", SEALED)


def at_the_rest(vial: str, *more: e.Event, fate: str = "kept") -> Preparation:
    """A syringe of N01 whose label is on it, and what has become of its vial."""
    taken = e.ContainerTaken("N01", container(vial))
    rest = e.RestAccounted("N01", vial, Measure.of("9.8", "mL"), fate, "", NOW)
    state = fold("p1", [e.Opened("N01", order("O02"), "A1", False), taken, rest, *more])
    assert state is not None
    return replace(
        state,
        figures=(e.VolumeCommitted("N01", Measure.of(20, "units"), Measure.of(20, "units"), True),),
        syringe=e.SyringeTaken("N01", "insulin-u100-0.3ml", LINE, LINE, Measure.of(20, "units")),
        draw_up=e.DrawUpDeviceTaken("N01", ""),
        needle=e.NeedleTaken("N01", "", 31, Measure.of(8, "mm")),
        drawn=True,
        plunger=e.PlungerRead("N01", Measure.of(20, "units"), True),
        vouched=e.Vouched("d", "independent", ("N01", "N02")),
        scanned_back=True,
        labels=fold_labels(),
    )


def fold_labels() -> tuple[object, ...]:
    state = fold(
        "p0",
        [
            e.Opened("N01", order("O02"), "A1", False),
            e.LabelRequested("N01", "d"),
            e.LabelEnded("d", 1, "printed"),
        ],
    )
    assert state is not None
    return state.labels


def answer(state: Preparation, action: a.Action) -> tuple[e.Event, ...] | str:
    """What an action amounts to: its entries, or the code of its refusal."""
    found = decide(state, action, rules(), NOW)
    return found.events if isinstance(found, Accepted) else found.code


def test_a_vial_just_opened_waits_for_its_label_before_the_sharps() -> None:
    assert stage(at_the_rest(SEALED)) is Stage.IN_USE_LABEL
    assert answer(at_the_rest(SEALED), a.Finish("N01")) == "not_now"


@pytest.mark.parametrize(
    ("vial", "fate"), [(OPENED, "kept"), (SEALED, "wasted")], ids=["labelled before", "thrown away"]
)
def test_a_vial_that_has_its_label_or_is_thrown_away_waits_for_none(vial: str, fate: str) -> None:
    assert stage(at_the_rest(vial, fate=fate)) is Stage.SHARPS


@pytest.mark.parametrize(
    "happened",
    [
        (ASKED, PRINTED),
        (ASKED, FAILED, InUseLabelSaid("N01", SEALED, "by hand")),
        (ASKED, FAILED, InUseLabelAsked("N01", SEALED, 2), PRINTED),
        (ASKED, InUseLabelSaid("N01", SEALED, "on paper")),
    ],
    ids=["printed", "by hand", "printed again", "seen on paper"],
)
def test_with_its_label_on_it_the_vial_is_done_with(happened: tuple[e.Event, ...]) -> None:
    assert stage(at_the_rest(SEALED, *happened)) is Stage.SHARPS


@pytest.mark.parametrize(
    "happened",
    [(ASKED,), (ASKED, FAILED), (ASKED, InUseLabelSaid("N01", SEALED, "no paper"))],
    ids=["under way", "failed", "seen missing"],
)
def test_without_it_the_vial_is_not(happened: tuple[e.Event, ...]) -> None:
    assert stage(at_the_rest(SEALED, *happened)) is Stage.IN_USE_LABEL


def test_after_a_failed_print_another_copy_is_asked_for_and_counted() -> None:
    state = at_the_rest(SEALED, ASKED, FAILED)
    assert answer(state, a.AskInUseLabel("N01", SEALED)) == (InUseLabelAsked("N01", SEALED, 2),)


def test_while_nobody_knows_how_a_print_ended_none_is_asked_for() -> None:
    for state in (
        at_the_rest(SEALED, ASKED),
        at_the_rest(SEALED, ASKED, e.InUseLabelEnded("V9", "unknown", "", SEALED)),
    ):
        assert answer(state, a.AskInUseLabel("N01", SEALED)) == "in_use_label_not_answered"
        assert answer(state, a.SayInUseLabel("N01", SEALED, "by hand")) == "no_such_answer"
        assert answer(state, a.SayInUseLabel("N01", SEALED, "no paper")) == (
            InUseLabelSaid("N01", SEALED, "no paper"),
        )


def test_a_label_that_is_on_the_vial_is_printed_again_only_with_a_reason() -> None:
    state = at_the_rest(SEALED, ASKED, PRINTED)
    assert answer(state, a.AskInUseLabel("N01", SEALED)) == "copy_needs_reason"
    again = InUseLabelAsked("N01", SEALED, 2, "lost")
    assert answer(state, a.AskInUseLabel("N01", SEALED, "lost")) == (again,)
    assert stage(apply_all(state, [again])) is Stage.IN_USE_LABEL


def test_only_the_preparer_speaks_for_the_vial_and_only_of_one_that_goes_back() -> None:
    failed = at_the_rest(SEALED, ASKED, FAILED)
    assert answer(failed, a.SayInUseLabel("N02", SEALED, "by hand")) == "not_the_preparer"
    assert answer(failed, a.AskInUseLabel("N01", "C002")) == "no_such_label"
    assert answer(at_the_rest(OPENED), a.AskInUseLabel("N01", OPENED)) == "no_such_label"
    assert answer(at_the_rest(SEALED, fate="wasted"), a.AskInUseLabel("N01", SEALED)) == "no_such_label"


def test_an_answer_of_the_printer_counts_once() -> None:
    end = a.EndInUseLabel("V9", "failed", "no_folder", SEALED)
    assert answer(at_the_rest(SEALED, ASKED), end) == (FAILED,)
    assert answer(at_the_rest(SEALED, ASKED, FAILED), end) == "no_such_label"


def test_the_vial_of_a_syringe_that_was_given_up_goes_back_with_its_label_too() -> None:
    given_up = at_the_rest(SEALED, e.Discarded("N01", "dropped"))
    assert answer(given_up, a.AskInUseLabel("N01", SEALED)) == (InUseLabelAsked("N01", SEALED, 1),)
    finished = at_the_rest(SEALED, ASKED, PRINTED, e.Finished("N01"))
    assert answer(finished, a.AskInUseLabel("N01", SEALED, "lost")) == "no_such_label"


def test_an_entry_from_before_names_the_vial_by_its_own_key() -> None:
    old = e.InUseLabelEnded(OPENED, "printed")
    assert at_the_rest(OPENED, old).in_use[0].container == OPENED


def test_refusals_are_values() -> None:
    found = decide(at_the_rest(SEALED), a.SayInUseLabel("N01", SEALED, "on paper"), rules(), NOW)
    assert isinstance(found, Refusal)
