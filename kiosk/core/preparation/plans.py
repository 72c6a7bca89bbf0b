"""What follows from a syringe as it stands: the plan, the choices of device, the steps, the truth.

Pure functions over the state and the counter's ``Rules``; screens and ``decide`` ask the same ones.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from kiosk.core.apparatus.choices import DrawUpOption, DrawUpStep, NeedleOption, SyringeOption
from kiosk.core.apparatus.drawup_choice import rank_draw_up
from kiosk.core.apparatus.needle_choice import rank_needles
from kiosk.core.apparatus.prefilled import is_own, is_prefilled, own_option, own_syringe
from kiosk.core.apparatus.steps import draw_up_steps
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.catalogue.people import Person
from kiosk.core.checks.check import Check, ContainerCase, OrderCase
from kiosk.core.dose.agreed import agreed_plan
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Refusal
from kiosk.core.preparation.listing import Listed
from kiosk.core.preparation.state import Preparation
from kiosk.core.preparation.two_people import Reference, container_value, measure_value, needle_value
from kiosk.core.stock.figures import InUseFigures
from kiosk.core.units import Measure

SELF_CHECK_PAUSE: Final = Measure.of(120, "s")
"""As in independence.csv, which the counter reads; for rules put together without a table."""


def no_other_form(order: Order, preparer: Person) -> CheckForm:
    """Ask for no form of check beside the independent second person: what a site has that adds none."""
    return CheckForm.ONE


@dataclass(frozen=True, slots=True)
class Rules:
    """What the counter knows besides the syringe: tables, devices in stock, people, checks.

    ``listed`` finds the version of a drug's entry that is in force. ``site_in_use`` is the site's own limit
    on an opened vial, where it is shorter. ``other_form`` is what a site asks for where nothing calls for a
    second person; a self-check waits ``self_check_pause``.
    """

    tables: DeviceTables
    syringes: tuple[Syringe, ...]
    draw_up_devices: tuple[DrawUpDevice, ...]
    needles: tuple[InjectionNeedle, ...]
    people: Mapping[str, Person]
    order_checks: tuple[Check[OrderCase], ...]
    container_checks: tuple[Check[ContainerCase], ...]
    second_reasons: Callable[[Order, Person], tuple[str, ...]]
    in_use: InUseFigures
    listed: Listed
    site_in_use: Measure | None = None
    other_form: Callable[[Order, Person], CheckForm] = no_other_form
    self_check_pause: Measure = SELF_CHECK_PAUSE


def plan(state: Preparation, now: datetime) -> VolumePlan | Refusal:
    """Return the agreed plan for the containers taken so far."""
    return agreed_plan(state.order, state.taken, now)


def sure_plan(state: Preparation, now: datetime) -> VolumePlan:
    """Return the plan once the containers hold the dose. Raises when there is none: a bug."""
    answer = plan(state, now)
    if isinstance(answer, Refusal):
        raise ValueError(f"no plan for {state.id}: {answer.code}")
    return answer


def figure_wanted(state: Preparation, now: datetime) -> Measure:
    """Return the exact figure the preparer works out: units for insulin, else mL."""
    made = sure_plan(state, now)
    return made.dose if state.order.drug.is_insulin else made.volume


def syringe_options(state: Preparation, rules: Rules, now: datetime) -> tuple[SyringeOption, ...]:
    """Return the syringes in stock, best first, refused ones last; a prefilled syringe is the only one."""
    if is_prefilled(state.taken):
        product = state.taken[0].product
        return (own_option(sure_plan(state, now), state.order, product, rules.tables),)
    return rank_syringes(sure_plan(state, now), state.order, rules.syringes, rules.tables)


def syringe_taken(state: Preparation, rules: Rules) -> Syringe:
    """Return the syringe in hand."""
    assert state.syringe is not None
    if is_own(state.syringe.syringe):
        return own_syringe(state.taken[0].product, rules.tables)
    return next(s for s in rules.syringes if s.id == state.syringe.syringe)


def draw_up_options(state: Preparation, rules: Rules) -> tuple[DrawUpOption, ...]:
    """Return what may fill the syringe from these containers."""
    return rank_draw_up(state.taken, syringe_taken(state, rules), rules.draw_up_devices, rules.tables)


def needle_options(state: Preparation, rules: Rules, now: datetime) -> tuple[NeedleOption, ...]:
    """Return the injection needles for this patient, route and site, best first."""
    assert state.syringe is not None
    return rank_needles(
        state.order,
        state.syringe.line_volume,
        syringe_taken(state, rules),
        rules.needles,
        rules.tables,
        now.date(),
    )


def steps(state: Preparation, rules: Rules, now: datetime) -> tuple[DrawUpStep, ...]:
    """Return the steps of drawing up for these objects, in order."""
    assert state.draw_up is not None
    device = next((d for d in rules.draw_up_devices if d.id == state.draw_up.device), None)
    option = next(o for o in syringe_options(state, rules, now) if o.syringe.id == _syringe_id(state))
    assert option.setting is not None
    syringe = option.syringe
    return draw_up_steps(
        state.taken,
        syringe,
        device,
        needle_taken(state, rules),
        sure_plan(state, now),
        option.setting,
        rules.tables,
    )


def needle_taken(state: Preparation, rules: Rules) -> InjectionNeedle | None:
    """Return the injection needle in hand, be it fixed or fitted; None where the route takes none."""
    assert state.needle is not None
    fixed = syringe_taken(state, rules).fixed_needle
    return fixed or next((n for n in rules.needles if n.id == state.needle.needle), None)


def _syringe_id(state: Preparation) -> str:
    assert state.syringe is not None
    return state.syringe.syringe


def reference(state: Preparation, now: datetime) -> Reference:
    """Return what is so of this syringe, for comparing statements. Never shown while a check is open."""
    assert state.syringe is not None
    assert state.needle is not None
    return Reference(
        container=container_value(state.taken),
        exact_figure=figure_wanted(state, now),
        allowed_error=state.order.drug.allowed_error,
        needle=needle_value(state.needle.gauge, state.needle.length),
        plunger=measure_value(state.syringe.line),
    )


def left_in(state: Preparation, container: str, now: datetime) -> Measure:
    """Return how much is left in one container, in mL; nothing for one that nothing was drawn from.

    Alike ones of a lot, taken under one key, are accounted for together: what is left in all of them. The
    last one drawn from gives what the line on the syringe takes, which may lie beside the exact volume.
    """
    made = sure_plan(state, now)
    left = sum((take.left for take in made.takes if take.container == container), Measure.of(0, "mL"))
    if state.syringe is None or made.takes[-1].container != container:
        return left
    on_the_line = left - (state.syringe.line_volume - made.volume)
    return max(on_the_line, Measure.of(0, "mL"), key=lambda volume: volume.value)
