"""Deciding the first half of the path: from taking up an order to the plunger being read."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from kiosk.core.apparatus.site_limits import volume_at_site
from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.people import Role
from kiosk.core.checks.check import ContainerCase, OrderCase, run
from kiosk.core.checks.order_checks import checks_of_size, with_dose_known
from kiosk.core.dose.parts import whole_of
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.at_the_shelf import weighed
from kiosk.core.preparation.checking import no_longer_fit, settle
from kiosk.core.preparation.fitting import own_syringe_taken, taken_with_what_follows
from kiosk.core.preparation.form_events import PauseBegan
from kiosk.core.preparation.listing import with_entry
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.prefilled import position_read, prefilled_trouble
from kiosk.core.preparation.state import Preparation, apply_all
from kiosk.core.preparation.stops import first_caution, first_stop
from kiosk.core.preparation.two_people import (
    CONTAINER,
    FIGURE,
    NEEDLE,
    PLUNGER,
    container_value,
    facts_digest,
    figure_agrees,
    measure_value,
    needle_value,
    owed_form,
)
from kiosk.core.units import Measure

Answer = tuple[e.Event, ...] | Refusal


def take_up(state: Preparation | None, action: a.TakeUp, rules: Rules, now: datetime) -> Answer:
    """Open a syringe for an order that nothing stops, by the version of the drug's entry in force."""
    if state is not None:
        return Refusal("already_open")
    person = rules.people.get(action.by)
    if person is None or Role.PREPARER not in person.roles:
        return Refusal("may_not_prepare")
    entry = rules.listed(action.order.drug, now)
    if isinstance(entry, Refusal):
        return entry
    order = with_entry(action.order, entry)
    findings = run(rules.order_checks, OrderCase(order, now))
    if stop := first_stop(findings):
        return stop
    if caution := first_caution(findings, action.dealt_with):
        return caution
    looked_for = tuple(f.id for f in findings if f.level is Level.SECOND_PERSON)
    reasons = tuple(dict.fromkeys(rules.second_reasons(order, person) + looked_for))
    form = rules.other_form(order, person)
    beside = "" if reasons or form is CheckForm.ONE else form.value
    return (
        e.Opened(action.by, order, action.syringe_code, bool(reasons), reasons, beside, entry.number),
        *(e.Acknowledged(action.by, caution) for caution in action.dealt_with),
    )


def take_container(state: Preparation, action: a.TakeContainer, rules: Rules, now: datetime) -> Answer:
    """Accept a container that every check lets pass and that fits those already taken."""
    container = _as_begun(state, action.container)
    if state.to_see_again:
        return _see_again(state, action, rules, now)
    case = ContainerCase(state.order, container, state.taken, now, action.beside)
    findings = weighed(run(rules.container_checks, case), action.read_by)
    if stop := first_stop(findings):
        return stop
    if caution := first_caution(findings, action.insisted):
        return caution
    reasons = tuple(f.id for f in findings if f.level is Level.SECOND_PERSON)
    taken = e.ContainerTaken(action.by, container, action.read_by, True, reasons)
    then = apply_all(state, (taken,))
    answer = plans.plan(then, now)
    if refusal := prefilled_trouble(then, answer, rules):
        return refusal
    if isinstance(answer, Refusal):
        if answer.code != "more_containers_needed":
            return answer
        if refusal := _too_much_however_many(state, answer, rules, now):
            return refusal
        taken = e.ContainerTaken(action.by, container, action.read_by, False, reasons)
    else:
        sized = _dose_once_known(state, answer, rules, now)
        if refusal := _against_volume(state, answer, action, rules, now, sized):
            return refusal
        more = reasons + _second_once_known(state, answer, rules, sized)
        taken = e.ContainerTaken(action.by, container, action.read_by, True, more)
    return (taken, *(e.Acknowledged(action.by, caution) for caution in action.insisted))


def _as_begun(state: Preparation, container: Container) -> Container:
    """Return a container whose drug is what the version that this syringe began with says."""
    product, drug = container.product, state.order.drug
    return (
        replace(container, product=replace(product, drug=drug)) if product.drug.id == drug.id else container
    )


def _too_much_however_many(
    state: Preparation, shortage: Refusal, rules: Rules, now: datetime
) -> Refusal | None:
    """Say at the first container, not at the last, that the whole volume is too much for the site."""
    needed = shortage.facts["needed"]
    assert isinstance(needed, Measure)
    return first_stop(volume_at_site(state.order, needed, now.date(), rules.tables))


def _dose_once_known(
    state: Preparation, plan: VolumePlan, rules: Rules, now: datetime
) -> tuple[Finding, ...]:
    """Say what the bounds of the list see in a dose that was ordered by volume, now that it is a dose."""
    known = with_dose_known(state.order, whole_of(plan.dose, state.order))
    return run(checks_of_size(rules.order_checks), OrderCase(known, now)) if known else ()


def _second_once_known(
    state: Preparation, plan: VolumePlan, rules: Rules, sized: tuple[Finding, ...]
) -> tuple[str, ...]:
    """Return why a second person is needed that only the known dose shows."""
    known = with_dose_known(state.order, whole_of(plan.dose, state.order))
    preparer = rules.people.get(state.preparer)
    by_rule = rules.second_reasons(known, preparer) if known and preparer else ()
    return by_rule + tuple(f.id for f in sized if f.level is Level.SECOND_PERSON)


def _against_volume(
    state: Preparation,
    plan: VolumePlan,
    action: a.TakeContainer,
    rules: Rules,
    now: datetime,
    sized: tuple[Finding, ...],
) -> Refusal | None:
    """Say what stands against this volume: the plan's own findings, the site, the bounds of the dose."""
    at_site = volume_at_site(state.order, plan.volume, now.date(), rules.tables)
    findings = plan.findings + at_site + sized
    return first_stop(findings) or first_caution(findings, action.insisted)


def _see_again(state: Preparation, action: a.TakeContainer, rules: Rules, now: datetime) -> Answer:
    """After a gap: only a container that was drawn from counts, by product and lot, and only if still fit."""
    seen = {(c.product.id, c.lot): c.id for c in state.taken if c.id in state.to_see_again}
    found = seen.get((action.container.product.id, action.container.lot))
    if found is None:
        return Refusal("not_the_container_drawn_from")
    if unfit := no_longer_fit(state, (action.container,), rules, now):
        return unfit
    return (e.ContainerSeenAgain(action.by, found),)


def commit_figure(state: Preparation, action: a.CommitFigure, rules: Rules, now: datetime) -> Answer:
    """Compare the committed figure with the kiosk's; either way it is on record."""
    exact = plans.figure_wanted(state, now)
    agrees = figure_agrees(action.figure, exact, state.order.drug.allowed_error)
    committed = e.VolumeCommitted(action.by, action.figure, exact, agrees)
    return (committed, *own_syringe_taken(state, action.by, rules, now)) if agrees else (committed,)


def take_syringe(state: Preparation, action: a.TakeSyringe, rules: Rules, now: datetime) -> Answer:
    """Accept a syringe that can measure the dose."""
    options = plans.syringe_options(state, rules, now)
    option = next((o for o in options if o.syringe.id == action.syringe), None)
    if option is None:
        return Refusal("unknown_syringe")
    if stop := first_stop(option.findings):
        return stop
    return taken_with_what_follows(state, option, action.by, rules)


def take_draw_up(state: Preparation, action: a.TakeDrawUpDevice, rules: Rules, now: datetime) -> Answer:
    """Accept the device that these containers call for."""
    options = plans.draw_up_options(state, rules)
    option = next((o for o in options if (o.device.id if o.device else "") == action.device), None)
    if option is None:
        return Refusal("not_a_draw_up_device")
    return first_stop(option.findings) or (e.DrawUpDeviceTaken(action.by, action.device),)


def take_needle(state: Preparation, action: a.TakeNeedle, rules: Rules, now: datetime) -> Answer:
    """Accept a needle that suits route, site, patient and liquid."""
    options = plans.needle_options(state, rules, now)
    option = next((o for o in options if o.needle.id == action.needle), None)
    if option is None:
        return Refusal("not_an_injection_needle")
    if stop := first_stop(option.findings):
        return stop
    needle = option.needle
    return (e.NeedleTaken(action.by, needle.id, needle.gauge, needle.length.to("mm")),)


def do_step(state: Preparation, action: a.DoStep, rules: Rules, now: datetime) -> Answer:
    """Accept only the step whose turn it is."""
    wanted = plans.steps(state, rules, now)
    turn = len(state.steps_done)
    if wanted[turn].id != action.step:
        return Refusal("not_this_step")
    return (e.StepDone(action.by, action.step, turn + 1 == len(wanted)),)


def read_plunger(state: Preparation, action: a.ReadPlunger, rules: Rules, now: datetime) -> Answer:
    """Compare the reading with the line; on the line, the preparer vouches for the whole."""
    assert state.syringe is not None
    line = state.syringe.line
    position = position_read(state, action, rules)
    if position is None or not position.is_like(line):
        return Refusal("not_this_scale")
    on_the_line = position.same(line)
    read = e.PlungerRead(action.by, position, on_the_line, action.content)
    if not on_the_line:
        return (read,)
    return _vouch(apply_all(state, (read,)), read, rules, now)


def _vouch(state: Preparation, read: e.PlungerRead, rules: Rules, now: datetime) -> Answer:
    """Put the preparer's own readings on record as statements; alone they may be enough.

    A matter that is open again after a difference is not said for them: they redo it blind.
    """
    assert state.needle is not None
    assert state.figure is not None
    facts = facts_digest(state)
    said = {
        CONTAINER: container_value(state.taken),
        FIGURE: measure_value(state.figure),
        NEEDLE: needle_value(state.needle.gauge, state.needle.length),
        PLUNGER: measure_value(read.position),
    }
    redo = set(state.differences[-1].matters) - {PLUNGER} if state.differences else set()
    statements = tuple(e.Stated(read.by, m, v, facts, state.round) for m, v in said.items() if m not in redo)
    alone = owed_form(state) is CheckForm.SELF
    pause = timedelta(seconds=float(rules.self_check_pause.to("s").value))
    waits = (PauseBegan(read.by, now + pause),) if alone else ()
    return (read, *statements, *waits, *settle(apply_all(state, (*statements, *waits)), now))
