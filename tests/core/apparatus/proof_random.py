"""Random patients, routes, volumes and trays: never a pick the tables forbid, never silence.

``python -m tests.core.apparatus.proof_random --count 20000 --seed 1`` runs long; the suite runs a short one.
Every pick is judged by ``oracle``, which reads the tables by itself.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal

from kiosk.core.apparatus.choices import DrawUpOption, NeedleOption, SyringeOption
from kiosk.core.apparatus.drawup_choice import rank_draw_up
from kiosk.core.apparatus.needle_choice import rank_needles
from kiosk.core.apparatus.picks import best_draw_up, best_needle, best_syringe
from kiosk.core.apparatus.site_limits import SITES
from kiosk.core.apparatus.steps import draw_up_steps
from kiosk.core.apparatus.syringe_choice import rank_syringes
from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe, Tip
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import Take, VolumePlan
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from kiosk.tables.words import words
from tests.core.apparatus import oracle
from tests.core.apparatus.samples import (
    CLOUDY,
    DEVICES,
    FIVE,
    HALF,
    INSULIN,
    ONE,
    TEN,
    THIRTY,
    THREE,
    TODAY,
    TWENTY,
    a_container,
    a_drug,
    a_needle,
    a_patient,
    a_syringe,
    an_insulin_syringe,
    an_order,
    tables,
)

SYRINGES = (
    HALF,
    ONE,
    THREE,
    FIVE,
    TEN,
    TWENTY,
    THIRTY,
    a_syringe("1", "0.01", every="0.1", tip=Tip.SLIP),
    a_syringe("3", "0.1", every="0.5", tip=Tip.SLIP),
    a_syringe("5", "0.2", tip=Tip.ORAL),
    a_syringe("0.5", "0.01", every="0.1", tip=Tip.FIXED, needle=a_needle(29, "12.7")),
    a_syringe("1", "0.01", every="0.1", tip=Tip.FIXED, needle=a_needle(25, "25.4")),
    an_insulin_syringe("100", "2"),
    an_insulin_syringe("50"),
    an_insulin_syringe("30", "0.5", every="5", scale="43", needle=a_needle(31, "6")),
    an_insulin_syringe("40", per_ml="40"),
)
GAUGES = tuple(range(18, 32))
LENGTHS = ("5.95", "8", "9.53", "12.7", "15.875", "16", "19.05", "22.225", "25.4", "31.75", "38.1", "50.8")
DRUGS: tuple[Drug, ...] = (
    a_drug(),
    a_drug("narrow", allowed="0.02"),
    a_drug("generous", allowed="0.1"),
    a_drug("depot", viscosity="50"),
    a_drug("thick", viscosity="200"),
    a_drug("vaccine", classes=frozenset({"vaccine"})),
    a_drug("suspension", cloudy=True),
    INSULIN,
    CLOUDY,
)
ROUTES = (Route.INTRAMUSCULAR,) * 3 + (Route.SUBCUTANEOUS,) * 3 + (Route.INTRADERMAL, Route.INTRAVENOUS)
WORDS = words("en")


@dataclass(frozen=True)
class Case:
    """One random syringe to be made, and what lies on the counter."""

    order: Order
    plan: VolumePlan
    containers: tuple[Container, ...]
    syringes: tuple[Syringe, ...]
    devices: tuple[DrawUpDevice, ...]
    needles: tuple[InjectionNeedle, ...]


def cases(count: int, seed: int) -> Iterator[Case]:
    """Yield random cases; the same seed gives the same ones."""
    chance = random.Random(seed)
    for _ in range(count):
        yield _case(chance)


def _case(chance: random.Random) -> Case:
    route = chance.choice(ROUTES)
    drug = chance.choice(DRUGS if route is not Route.SUBCUTANEOUS else (*DRUGS, INSULIN, CLOUDY, INSULIN))
    born = TODAY - timedelta(days=int(chance.triangular(0, 36000, 9000)))
    patient = a_patient(
        born=born,
        kg=chance.choice([None, *(str(Decimal(chance.randint(25, 2000)) / 10) for _ in range(5))]),
        sex=chance.choice(["female", "male", ""]),
        height=chance.choice([None, str(chance.randint(50, 205))]),
    )
    order = an_order(drug, patient=patient, route=route, site=_site(chance, route))
    form = chance.choice(list(Form)[:4] + [Form.PREFILLED])
    return Case(
        order,
        _plan(chance, drug),
        (replace(a_container(form, drug=drug, contents="10"), lot="R"),),
        tuple(chance.sample(SYRINGES, chance.choice([0, 1, 2, 5, 10, len(SYRINGES)]))),
        tuple(chance.sample(DEVICES, chance.choice([0, 1, 2, 3, 3, 3]))),
        tuple(
            a_needle(chance.choice(GAUGES), chance.choice(LENGTHS))
            for _ in range(chance.choice([0, 1, 6, 20, 40]))
        ),
    )


def _site(chance: random.Random, route: Route) -> Site | None:
    """Return a site: mostly one that belongs to the route, sometimes any, sometimes none."""
    own = SITES.get(route, (Site.CANNULA,))
    return chance.choice([*own, *own, *own, *own, chance.choice(list(Site)), None])


def _plan(chance: random.Random, drug: Drug) -> VolumePlan:
    """Return a volume from drops to spoons; insulin in whole, half and odd units."""
    if drug.is_insulin:
        per_ml = Measure.of(chance.choice([100, 100, 40, 500]), "units/mL")
        dose = Measure.of(Decimal(chance.randint(1, 240)) / 2, "units")
        volume = dose.over(per_ml, "mL")
        return VolumePlan(dose, per_ml, volume, (Take("c1", volume, Measure.of(3, "mL")),), ())
    figure = Decimal(repr(10 ** chance.uniform(-2, 1.5)))
    volume = Measure.of(max(Decimal("0.001"), round(figure, chance.choice([1, 1, 2, 3]))), "mL")
    strength = Measure.of(chance.choice([1, 5, 12, 100]), "mg/mL")
    dose = Measure(volume.value * strength.value, "mg")
    return VolumePlan(dose, strength, volume, (Take("c1", volume, Measure.of(1, "mL")),), ())


def judge(case: Case) -> tuple[str, list[str]]:
    """Return how far the choice went, and every fault found in it."""
    faults: list[str] = []
    syringe = best_syringe(rank_syringes(case.plan, case.order, case.syringes, tables()), case.plan)
    if isinstance(syringe, Refusal):
        return f"syringe: {syringe.code}", [*_silent(syringe)]
    faults += _syringe_faults(case, syringe)
    draw_up = best_draw_up(rank_draw_up(case.containers, syringe.syringe, case.devices, tables()))
    if isinstance(draw_up, Refusal):
        return f"draw-up: {draw_up.code}", [*faults, *_silent(draw_up)]
    faults += _draw_up_faults(case, syringe.syringe, draw_up)
    volume = case.plan.volume
    options = rank_needles(case.order, volume, syringe.syringe, case.needles, tables(), TODAY)
    needle = best_needle(options, case.order, TODAY, tables())
    if isinstance(needle, Refusal):
        return f"needle: {needle.code}", [*faults, *_silent(needle)]
    faults += _needle_faults(case, needle)
    assert syringe.setting is not None
    steps = draw_up_steps(
        case.containers,
        syringe.syringe,
        draw_up.device,
        needle.needle,
        case.plan,
        syringe.setting,
        tables(),
    )
    glass = any(c.product.form is Form.GLASS_AMPOULE for c in case.containers)
    last = "sharps_away" if glass or draw_up.device else "clear_away"
    if len({step.id for step in steps}) != len(steps) or steps[-1].does != last:
        faults.append("steps")
    return "made", faults


def _silent(refusal: Refusal) -> Iterator[str]:
    """A refusal nobody can read is silence."""
    if f"refusal.{refusal.code}.what" not in WORDS and f"finding.{refusal.code}.what" not in WORDS:
        yield f"no words for {refusal.code}"


def _syringe_faults(case: Case, option: SyringeOption) -> Iterator[str]:
    syringe, at = option.syringe, option.setting
    if at is None:
        yield "no setting"
        return
    if case.order.drug.is_insulin != syringe.is_insulin:
        yield "insulin and barrel do not match"
    if syringe.tip is Tip.ORAL:
        yield "oral syringe"
    if at.line > syringe.nominal or at.line.ratio(syringe.graduation).denominator != 1:
        yield "not on the scale"
    if syringe.is_insulin:
        if at.line != case.plan.dose or syringe.insulin_strength != case.plan.strength:
            yield "not the units ordered"
        return
    wanted, line = case.plan.volume.decimal, at.line.decimal
    rounding = abs(line - wanted) / wanted
    half = syringe.graduation.decimal / 2 / line
    worst = rounding + max(oracle.tolerance_share(syringe.capacity.decimal, line), half)
    allowed = case.order.drug.allowed_error
    most = min(allowed * oracle.chosen("worst_case_factor"), oracle.chosen("worst_case_most"))
    if rounding > allowed + Decimal("1e-20"):
        yield f"rounded by {rounding}"
    if worst > most + Decimal("1e-20"):
        yield f"off by {worst}"


def _draw_up_faults(case: Case, syringe: Syringe, option: DrawUpOption) -> Iterator[str]:
    form = case.containers[0].product.form
    kind = option.device.kind.value if option.device else ""
    if option.device is None and syringe.fixed_needle is None and form is not Form.PREFILLED:
        yield "nothing to draw up with"
    if option.device is not None and syringe.fixed_needle is not None:
        yield "a device on a fixed needle"
    if form is Form.GLASS_AMPOULE and "filter" not in kind:
        yield "glass without a filter"
    if case.order.drug.cloudy and "filter" in kind:
        yield "a suspension filtered"
    if "straw" in kind and "vial" in form.value:
        yield "a straw through a stopper"


def _needle_faults(case: Case, option: NeedleOption) -> Iterator[str]:
    order, needle = case.order, option.needle
    patient = order.patient
    kg = patient.weighed.weight.decimal if patient.weighed else None
    body = oracle.Someone(patient.born, TODAY, kg, patient.sex)
    drug = order.drug
    thick = drug.viscosity_mpa_s is not None and drug.viscosity_mpa_s >= oracle.chosen("viscous_from_mpa_s")
    liquid = (
        "insulin"
        if drug.is_insulin
        else "viscous"
        if thick
        else "vaccine"
        if "vaccine" in drug.classes
        else "aqueous"
    )
    site = order.site.value if order.site else ""
    why = oracle.needle_forbidden(order.route.value, site, liquid, body, needle.gauge, needle.length.decimal)
    if why:
        yield why


def run(count: int, seed: int) -> tuple[Counter[str], list[tuple[Case, list[str]]]]:
    """Judge so many cases; return where they ended and the faulty ones."""
    ends: Counter[str] = Counter()
    faulty = []
    for case in cases(count, seed):
        end, faults = judge(case)
        ends[end] += 1
        if faults:
            faulty.append((case, faults))
    return ends, faulty


def main(arguments: Sequence[str] | None = None) -> int:
    """Run from the command line; exit 1 when any pick is forbidden."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    ends, faulty = run(asked.count, asked.seed)
    for end, number in ends.most_common():
        print(f"{number:8}  {end}")
    for case, faults in faulty[:10]:
        print(faults, case, sep="\n")
    print(f"{asked.count} cases, {len(faulty)} faulty")
    return 1 if faulty else 0


if __name__ == "__main__":
    raise SystemExit(main())
