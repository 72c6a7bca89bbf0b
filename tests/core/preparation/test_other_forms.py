"""Weaker forms of check, where a site asks for them and nothing asks for a second person.

The demo's plain order and its ampoule; the site's rule asks for one form or the other. No published list
asks for these forms: they are more than one person alone (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, invariant, precondition, rule

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.checking import pending, proof, turn
from kiosk.core.preparation.decide import Accepted, decide
from kiosk.core.preparation.form_events import PauseBegan, SelfCheckBegan, Witnessed
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation, Stage, apply_all, begin, fold, stage
from kiosk.core.preparation.two_people import MATTERS, awaiting, container_value, measure_value, needle_value
from tests.core.preparation.test_anything_in_any_order import Counter as AnyCounter
from tests.core.preparation.test_anything_in_any_order import who
from tests.counter import NOW, container, order, rules

PREPARER, OTHER, MAY_NOT_WITNESS = "N01", "N03", "N05"
PAUSE = timedelta(seconds=120)  # independence.csv: common practice, no source
FORMS = (CheckForm.SELF, CheckForm.WITNESS)


def asking(form: CheckForm) -> Rules:
    return replace(rules(), other_form=lambda order, person: form)


class Bench:
    """One syringe, its rules and the time."""

    def __init__(self, form: CheckForm, order_id: str = "O01", container_id: str = "C002") -> None:
        self.rules, self.now = asking(form), NOW
        answer = decide(None, a.TakeUp(PREPARER, order(order_id), "D100001"), self.rules, self.now)
        assert isinstance(answer, Accepted)
        opened = answer.events[0]
        assert isinstance(opened, e.Opened)
        self.state = apply_all(begin("p1", opened), answer.events[1:])
        self.happened: list[e.Event] = list(answer.events)
        self.suits = container(container_id)

    def do(self, action: a.Action) -> Refusal | None:
        answer = decide(self.state, action, self.rules, self.now)
        if isinstance(answer, Refusal):
            return answer
        self.state = apply_all(self.state, answer.events)
        self.happened += answer.events
        return None

    def fill(self) -> Bench:
        """Up to the plunger on its line."""
        self.do(a.TakeContainer(PREPARER, self.suits))
        self.do(a.CommitFigure(PREPARER, plans.figure_wanted(self.state, self.now)))
        self.do(
            a.TakeSyringe(PREPARER, plans.syringe_options(self.state, self.rules, self.now)[0].syringe.id)
        )
        if stage(self.state) is Stage.DRAW_UP_DEVICE:
            device = plans.draw_up_options(self.state, self.rules)[0].device
            self.do(a.TakeDrawUpDevice(PREPARER, device.id if device else ""))
        needles = plans.needle_options(self.state, self.rules, self.now)
        self.do(a.TakeNeedle(PREPARER, needles[0].needle.id))
        while stage(self.state) is Stage.DRAW_UP:
            steps = plans.steps(self.state, self.rules, self.now)
            self.do(a.DoStep(PREPARER, steps[len(self.state.steps_done)].id))
        assert self.state.syringe is not None
        self.do(a.ReadPlunger(PREPARER, self.state.syringe.line))
        assert stage(self.state) is Stage.CHECK
        return self

    def reading(self, matter: str) -> str:
        state = self.state
        assert state.syringe is not None
        assert state.needle is not None
        return {
            "container": container_value(state.taken),
            "figure": measure_value(plans.figure_wanted(state, self.now)),
            "needle": needle_value(state.needle.gauge, state.needle.length),
            "plunger": measure_value(state.syringe.line),
        }[matter]

    def say_all(self, wrong: str = "") -> None:
        """State every open matter, one of them wrongly if asked."""
        for matter in pending(self.state, PREPARER):
            said = "9 mL" if matter == wrong else self.reading(matter)
            assert self.do(a.MakeStatement(PREPARER, matter, said)) is None


# --- a self-check after a pause -------------------------------------------------------------------


def test_one_person_alone_steps_back_and_reads_it_all_again() -> None:
    bench = Bench(CheckForm.SELF).fill()
    assert isinstance(bench.happened[-1], PauseBegan)
    assert bench.happened[-1].until == NOW + PAUSE
    assert proof(bench.state, bench.now) is None
    bench.now += PAUSE
    assert bench.do(a.BeginSelfCheck(PREPARER)) is None
    assert turn(bench.state) == PREPARER
    assert pending(bench.state, PREPARER) == MATTERS
    bench.say_all()
    assert bench.state.vouched is not None
    assert (bench.state.vouched.people, bench.state.vouched.form) == ((PREPARER,), "self-check after a pause")
    assert stage(bench.state) is Stage.LABEL


def test_the_pause_cannot_be_cut_short() -> None:
    bench = Bench(CheckForm.SELF).fill()
    bench.now += PAUSE - timedelta(milliseconds=1)
    refusal = bench.do(a.BeginSelfCheck(PREPARER))
    assert refusal == Refusal("pause_not_over", {"seconds": 1})
    assert bench.do(a.MakeStatement(PREPARER, "figure", bench.reading("figure"))) is not None


def test_what_was_said_before_the_pause_no_longer_counts() -> None:
    bench = Bench(CheckForm.SELF).fill()
    bench.now += PAUSE
    bench.do(a.BeginSelfCheck(PREPARER))
    for matter in MATTERS[:-1]:
        bench.do(a.MakeStatement(PREPARER, matter, bench.reading(matter)))
        assert proof(bench.state, bench.now) is None
    bench.do(a.MakeStatement(PREPARER, MATTERS[-1], bench.reading(MATTERS[-1])))
    assert proof(bench.state, bench.now) is not None


@pytest.mark.parametrize("wrong", MATTERS)
def test_a_second_reading_that_differs_is_redone_and_twice_is_given_up(wrong: str) -> None:
    bench = Bench(CheckForm.SELF).fill()
    bench.now += PAUSE
    bench.do(a.BeginSelfCheck(PREPARER))
    bench.say_all(wrong)
    assert bench.happened[-1] == e.Differed((wrong,), 1)
    assert pending(bench.state, PREPARER) == (wrong,)
    bench.say_all(wrong)
    assert stage(bench.state) is Stage.DISCARD


def test_it_begins_once_and_only_where_it_is_owed() -> None:
    bench = Bench(CheckForm.SELF).fill()
    bench.now += PAUSE
    bench.do(a.BeginSelfCheck(PREPARER))
    assert bench.do(a.BeginSelfCheck(PREPARER)) == Refusal("no_self_check_owed")
    seen = Bench(CheckForm.WITNESS).fill()
    assert seen.do(a.BeginSelfCheck(PREPARER)) == Refusal("no_self_check_owed")


def test_nobody_else_makes_it_for_the_preparer() -> None:
    bench = Bench(CheckForm.SELF).fill()
    bench.now += PAUSE
    assert bench.do(a.BeginSelfCheck(OTHER)) == Refusal("not_the_preparer")
    assert bench.do(a.ComeToCheck(OTHER)) == Refusal("no_second_owed")
    assert bench.do(a.ComeToWitness(OTHER)) == Refusal("no_witness_owed")


# --- a witness ------------------------------------------------------------------------------------


def test_a_witness_sees_it_and_the_record_says_that_this_was_all() -> None:
    bench = Bench(CheckForm.WITNESS).fill()
    assert proof(bench.state, bench.now) is None
    assert bench.do(a.ComeToWitness(OTHER)) is None
    assert bench.state.vouched is not None
    assert bench.state.vouched.form == "seen by a witness"
    assert bench.state.vouched.people == (PREPARER,)  # who made no reading vouches for nothing
    made = proof(bench.state, bench.now)
    assert made is not None
    assert made.people == (PREPARER, OTHER)  # but the label names both


@pytest.mark.parametrize(
    ("by", "code"),
    [(PREPARER, "witness_is_preparer"), (MAY_NOT_WITNESS, "may_not_witness"), ("nobody", "may_not_witness")],
)
def test_only_another_person_who_may_witness_is_one(by: str, code: str) -> None:
    assert Bench(CheckForm.WITNESS).fill().do(a.ComeToWitness(by)) == Refusal(code)


# --- what outweighs them --------------------------------------------------------------------------


@pytest.mark.parametrize("form", FORMS)
def test_a_dose_that_needs_a_second_person_is_owed_one_whatever_the_site_asks(form: CheckForm) -> None:
    bench = Bench(form, "O02", "C053").fill()  # insulin: high-alert
    assert bench.state.form == ""
    assert not awaiting(bench.state)
    for action in (a.BeginSelfCheck(PREPARER), a.ComeToWitness(OTHER)):
        assert bench.do(action) is not None
    bench.do(a.ComeToCheck("N02"))
    for matter in pending(bench.state, "N02"):
        bench.do(a.MakeStatement("N02", matter, bench.reading(matter)))
    assert bench.state.vouched is not None
    assert bench.state.vouched.form == "independent second person"


@pytest.mark.parametrize("form", FORMS)
def test_a_reason_that_appears_later_outweighs_them_too(form: CheckForm) -> None:
    bench = Bench(form).fill()
    grown = replace(bench.state, second_reasons=("dose_slightly_above_limit",))
    assert proof(grown, bench.now) is None
    assert not awaiting(grown)


@pytest.mark.parametrize("form", FORMS)
def test_after_a_gap_it_is_made_again(form: CheckForm) -> None:
    bench = Bench(form).fill()
    bench.now += PAUSE
    bench.do(a.BeginSelfCheck(PREPARER))
    bench.do(a.ComeToWitness(OTHER))
    bench.do(a.Resume(PREPARER))
    state = bench.state
    assert (state.pause_until, state.self_checking, state.seen_by, state.vouched) == (None, False, "", None)


def test_a_syringe_of_old_without_a_form_is_as_it_was() -> None:
    bench = Bench(CheckForm.ONE)
    assert bench.state.form == ""


# --- anything in any order ------------------------------------------------------------------------


class Forms(AnyCounter):
    """The machine that does anything in any order, at a site that asks for weaker forms."""

    @initialize(form=st.sampled_from(FORMS), by=who)
    def begin(self, form: CheckForm, by: str) -> None:  # type: ignore[override]
        self.rules = asking(form)
        self.suits = container("C002")
        answer = decide(None, a.TakeUp(by, order("O01"), "D100001"), self.rules, self.now)
        if isinstance(answer, Accepted):
            opened = answer.events[0]
            assert isinstance(opened, e.Opened)
            self.state = apply_all(begin("p1", opened), answer.events[1:])
            self.happened = list(answer.events)

    def do(self, action: a.Action) -> None:
        self.now += timedelta(seconds=1)
        assert self.state is not None
        answer = decide(self.state, action, self.rules, self.now)
        if isinstance(answer, Accepted):
            self.state = apply_all(self.state, answer.events)
            self.happened += answer.events

    def check_move(self, state: Preparation, right: bool, checker: str) -> None:
        if awaiting(state):
            self.now += PAUSE if right else timedelta()
            self.do(a.BeginSelfCheck(state.preparer))
            self.do(a.ComeToWitness(checker))
        else:
            super().check_move(state, right, checker)

    @precondition(lambda self: self.state)
    @rule(by=who, late=st.booleans())
    def try_the_forms_out_of_turn(self, by: str, late: bool) -> None:
        self.now += PAUSE if late else timedelta()
        self.do(a.BeginSelfCheck(by))
        self.do(a.ComeToWitness(by))

    @invariant()
    def a_label_was_only_ever_asked_for_once_its_form_was_made(self) -> None:
        for n, event in enumerate(self.happened):
            if isinstance(event, e.LabelRequested):
                before = self.happened[:n]
                gap = max((m for m, one in enumerate(before) if isinstance(one, e.Resumed)), default=-1)
                since = before[gap + 1 :] if not _labelled_at(before, gap) else before
                state = fold("p1", before)
                assert state is not None
                kind = SelfCheckBegan if state.form == CheckForm.SELF else Witnessed
                assert any(isinstance(one, kind) for one in since)


def _labelled_at(happened: list[e.Event], gap: int) -> bool:
    """Say whether the syringe was labelled already when somebody came back to it."""
    state = fold("p1", happened[: max(0, gap)])
    return state is not None and state.scanned_back


Forms.TestCase.settings = settings(max_examples=40, stateful_step_count=40, deadline=None)
TestTheFormsInAnyOrder = Forms.TestCase
del AnyCounter
