"""Two to four people doing anything in any order: what must never happen does not.

The machine knows the right next move and mixes it with wrong ones, so that it gets deep as well as wide.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation import in_use_labels, plans
from kiosk.core.preparation.checking import label_code, pending, turn
from kiosk.core.preparation.decide import Accepted, decide
from kiosk.core.preparation.state import Preparation, Stage, apply_all, begin, fold, stage
from kiosk.core.preparation.two_people import (
    MATTERS,
    container_value,
    facts_digest,
    measure_value,
    needle_value,
)
from tests.counter import NOW, container, order, rules

PEOPLE = ("N01", "N02", "N03", "N04")
# Order, the container that suits it, and the half-way wrong ones that a hand may also hold up.
CASES = (("O01", "C002"), ("O02", "C053"), ("O02", "C054"), ("O06", "C008"))
OTHERS = ("C001", "C005", "C010", "C055", "C063")
who = st.sampled_from(PEOPLE)


class Counter(RuleBasedStateMachine):
    """One syringe and everybody around it."""

    def __init__(self) -> None:
        super().__init__()
        self.state: Preparation | None = None
        self.happened: list[e.Event] = []
        self.now = NOW

    @initialize(case=st.sampled_from(CASES), by=who)
    def begin(self, case: tuple[str, str], by: str) -> None:
        wanted = order(case[0])
        if case[0] == "O06":
            wanted = replace(wanted, dose=replace(wanted.dose, chosen=wanted.dose.low))  # type: ignore[call-arg,union-attr]
        self.suits = container(case[1])
        answer = decide(None, a.TakeUp(by, wanted, "D100001"), rules(), self.now)
        if isinstance(answer, Accepted):
            opened = answer.events[0]
            assert isinstance(opened, e.Opened)
            self.state = apply_all(begin("p1", opened), answer.events[1:])
            self.happened = list(answer.events)

    def do(self, action: a.Action) -> None:
        """Try an action; only accepted ones move the state."""
        self.now += timedelta(seconds=1)
        assert self.state is not None
        answer = decide(self.state, action, rules(), self.now)
        if isinstance(answer, Refusal):
            return
        self.state = apply_all(self.state, answer.events)
        self.happened += answer.events

    @precondition(lambda self: self.state and stage(self.state) is not Stage.CLOSED)
    @rule(right=st.booleans(), checker=who)
    def the_next_move(self, right: bool, checker: str) -> None:
        """Make the move whose turn it is, mostly well."""
        state = self.state
        assert state is not None
        by, here = state.preparer, stage(state)
        if here in (Stage.STOCK, Stage.VERIFY):
            self.do(a.TakeContainer(by, self.suits))
        elif here is Stage.VOLUME:
            exact = plans.figure_wanted(state, self.now)
            self.do(a.CommitFigure(by, exact if right else exact.scaled(10)))
        elif here is Stage.SYRINGE:
            self.do(a.TakeSyringe(by, plans.syringe_options(state, rules(), self.now)[0].syringe.id))
        elif here is Stage.DRAW_UP_DEVICE:
            device = plans.draw_up_options(state, rules())[0].device
            self.do(a.TakeDrawUpDevice(by, device.id if device else ""))
        elif here is Stage.NEEDLE:
            self.do(a.TakeNeedle(by, plans.needle_options(state, rules(), self.now)[0].needle.id))
        elif here is Stage.DRAW_UP:
            for _ in range(30):
                if self.state and stage(self.state) is Stage.DRAW_UP:
                    steps = plans.steps(self.state, rules(), self.now)
                    self.do(a.DoStep(by, steps[len(self.state.steps_done)].id))
        else:
            self.later_move(state, here, right, checker)

    @precondition(lambda self: self.state and stage(self.state) is not Stage.CLOSED)
    @rule(moves=st.integers(min_value=2, max_value=12), checker=who)
    def a_run_of_good_moves(self, moves: int, checker: str) -> None:
        """Several moves as they should be, so that the far end of the path is reached too."""
        for _ in range(moves):
            if self.state and stage(self.state) not in (Stage.CLOSED, Stage.DISCARD):
                self.the_next_move(right=True, checker=checker)

    def later_move(self, state: Preparation, here: Stage, right: bool, checker: str) -> None:
        """The second half of the path."""
        by = state.preparer
        if here is Stage.READING:
            assert state.syringe is not None
            line = state.syringe.line
            self.do(a.ReadPlunger(by, line if right else line.scaled(Fraction(1, 2))))
        elif here is Stage.CHECK:
            self.check_move(state, right, checker)
        elif here is Stage.LABEL:
            self.do(a.AskForLabel(by))
        elif here is Stage.LABEL_UNKNOWN:
            last = state.labels[-1]
            self.do(a.EndLabel(last.digest, last.copy, "printed" if right else "unknown"))
        elif here is Stage.SCAN_BACK:
            self.do(a.ScanBack(by, label_code(state) if right else "D199999"))
        elif here is Stage.REST:
            left = next(c for c in state.taken if c.id not in {r.container for r in state.rest})
            self.do(a.AccountRest(by, left.id, "kept" if right else "wasted", checker))
            self.do(a.AccountRest(by, left.id, "wasted", checker))
        elif here is Stage.IN_USE_LABEL:
            self.label_move(state, right)
        elif here is Stage.SHARPS:
            self.do(a.Finish(by))

    def label_move(self, state: Preparation, right: bool) -> None:
        """Ask for the in-use label of a vial that goes back, and hear of it; or write it by hand."""
        vial = in_use_labels.owed(state.taken, state.rest, state.in_use)[0]
        self.do(a.AskInUseLabel(state.preparer, vial.id))
        self.do(a.EndInUseLabel("V1", "printed" if right else "failed", "", vial.id))
        if not right:
            self.do(a.SayInUseLabel(state.preparer, vial.id, "by hand"))

    def check_move(self, state: Preparation, right: bool, checker: str) -> None:
        """Come to check, or state the next open matter."""
        person = turn(state)
        if not person:
            self.do(a.ComeToCheck(checker))
            return
        matter = pending(state, person)[0]
        self.do(a.MakeStatement(person, matter, self.reading(state, matter) if right else "3/7 mL"))

    def reading(self, state: Preparation, matter: str) -> str:
        """The true reading of a matter."""
        assert state.syringe is not None
        assert state.needle is not None
        return {
            "container": container_value(state.taken),
            "figure": measure_value(plans.figure_wanted(state, self.now)),
            "needle": needle_value(state.needle.gauge, state.needle.length),
            "plunger": measure_value(state.syringe.line),
        }[matter]

    @precondition(lambda self: self.state)
    @rule(by=who, what=st.sampled_from((*OTHERS, "C002", "C053", "C008")))
    def hold_up_any_container(self, by: str, what: str) -> None:
        self.do(a.TakeContainer(by, container(what)))

    @precondition(lambda self: self.state)
    @rule(by=who, matter=st.sampled_from(MATTERS), right=st.booleans())
    def state_anything(self, by: str, matter: str, right: bool) -> None:
        state = self.state
        assert state is not None
        if state.syringe and state.needle and state.enough:
            self.do(a.MakeStatement(by, matter, self.reading(state, matter) if right else "9 mL"))

    @precondition(lambda self: self.state)
    @rule(by=who, kind=st.sampled_from(("label", "print ended", "scan", "finish", "resume", "come")))
    def try_out_of_turn(self, by: str, kind: str) -> None:
        state = self.state
        assert state is not None
        tries: dict[str, a.Action] = {
            "label": a.AskForLabel(by, "lost"),
            "print ended": a.EndLabel("0" * 64, 1, "printed"),
            "scan": a.ScanBack(by, state.syringe_code),
            "finish": a.Finish(by),
            "resume": a.Resume(by),
            "come": a.ComeToCheck(by),
        }
        self.do(tries[kind])

    @invariant()
    def the_record_alone_gives_the_state(self) -> None:
        assert fold("p1", self.happened) == self.state

    @invariant()
    def a_label_was_only_ever_asked_for_what_enough_people_vouch_for(self) -> None:
        for n, event in enumerate(self.happened):
            if isinstance(event, e.LabelRequested):
                before = fold("p1", self.happened[:n])
                assert before is not None
                said = [s for s in before.statements if s.facts == event.digest == facts_digest(before)]
                people = {s.by for s in said}
                assert before.preparer in people
                assert len(people) >= (2 if before.needs_second else 1)
                for person in people if before.needs_second else {before.preparer}:
                    assert {s.matter for s in said if s.by == person} == set(MATTERS)

    @invariant()
    def nobody_holds_two_roles(self) -> None:
        if self.state:
            witnesses = [r.witness for r in self.state.rest if r.witness]
            roles = [self.state.preparer, *([self.state.checker] if self.state.checker else []), *witnesses]
            assert len(roles) == len(set(roles))

    @invariant()
    def a_syringe_that_differed_twice_gets_no_further_label(self) -> None:
        kinds = [type(event) for event in self.happened]
        if kinds.count(e.Differed) >= 2:
            second = [n for n, kind in enumerate(kinds) if kind is e.Differed][1]
            assert e.LabelRequested not in kinds[second:]
            assert self.state is not None
            assert stage(self.state) in (Stage.DISCARD, Stage.CLOSED)


Counter.TestCase.settings = settings(max_examples=60, stateful_step_count=40, deadline=None)
TestAnythingInAnyOrder = Counter.TestCase
