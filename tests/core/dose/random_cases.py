"""Random orders and containers of every kind, each with the answer its raw figures have by definition.

``sound_case`` picks plain figures first, reckons the answer from them by ``oracle`` and only then writes
them down as an order and containers. ``broken_case`` spoils one field of a sound case: no answer is
expected, only that nothing breaks and both computations see it alike.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from random import Random

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient, Weighed
from kiosk.core.catalogue.strength import (
    AmountInVolume,
    AmountOnly,
    MakeUp,
    PercentWeightInVolume,
    Powder,
    Ratio,
    Strength,
)
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Order, Ordered
from kiosk.core.units import Measure
from tests.core.dose import oracle, things

ROUGH = Fraction(1, 10**9)
"""How far a plan by body surface may lie from the floating answer."""


@dataclass(frozen=True, slots=True)
class Case:
    """An order, containers, and the answer: the volume in mL, exact unless ``rough``; None is unknown."""

    order: Order
    containers: tuple[Container, ...]
    volume: Fraction | None
    in_hand: Fraction
    rough: bool = False


@dataclass(frozen=True, slots=True)
class Dose:
    """One dose, in mg (or the drug's own unit), and how it is ordered."""

    ordered: Ordered
    size: Fraction
    rough: bool = False


@dataclass(frozen=True, slots=True)
class Stock:
    """A strength as ``amount`` (mg or the drug's own unit) in ``volume`` mL, and how it is labelled."""

    strength: Strength
    amount: Fraction
    volume: Fraction
    contents: Measure | None
    full: Fraction


def figure(random: Random) -> Fraction:
    """Return a figure as people write them, now and then an awkward one."""
    digits = random.choice([random.randint(1, 9), random.randint(1, 99), random.randint(1, 9999)])
    return Fraction(digits) * random.choice([Fraction(1), Fraction(10), Fraction(1, 10), Fraction(1, 100)])


def in_unit(value: Fraction, unit: str, sizes: dict[str, Fraction]) -> Measure:
    """Write a value of the standard unit down in another."""
    return Measure(value / sizes[unit], unit)


def sound_case(random: Random) -> Case:
    """Return one order with containers and its answer."""
    kind = random.choice(["mass", "mass", "mass", "units", "mEq", "mmol", "salt"])
    unit = {"mass": random.choice(["mg", "mcg", "g"]), "salt": "mg"}.get(kind, kind)
    sizes = oracle.MG if kind in ("mass", "salt") else {unit: Fraction(1)}
    patient = _patient(random)
    drug = Drug("d", "d", unit, weight_basis=random.choice(["actual", "actual", "actual", "ideal"]))
    if kind in ("mEq", "mmol"):
        drug = replace(
            drug, valence=random.randint(1, 3), molar_mass_g_per_mol=Decimal(random.randint(20, 400))
        )
    dose = _dose(random, sizes, patient, drug.weight_basis)
    stock = _stock(random, sizes)
    return _case(random, kind, drug, patient, dose, stock)


def _case(random: Random, kind: str, drug: Drug, patient: Patient, dose: Dose, stock: Stock) -> Case:
    """Return the case, with the bridge or the basis that its kind asks for."""
    order = things.order(dose.ordered, drug, patient)
    product: dict[str, object] = {}
    size, amount = dose.size, stock.amount
    if kind in ("mEq", "mmol"):
        order, size = _other_charge(random, order, dose)
    if kind == "salt":
        share = Decimal(random.randint(30, 99)) / 100
        drug = replace(drug, salt_to_base=share)
        order = replace(order, drug=drug, stated_as=random.choice(["base", "salt"]))
        product["stated_as"] = random.choice(["base", "salt"])
        amount = _as_ordered(amount, Fraction(share), order.stated_as, str(product["stated_as"]))
    if isinstance(dose.ordered, FixedDose) and random.random() < 0.1:
        millilitres = figure(random)
        order = replace(order, dose=FixedDose(in_unit(millilitres, random.choice([*oracle.ML]), oracle.ML)))
        wanted = millilitres
    else:
        wanted = oracle.volume(size, amount, stock.volume)
    containers, in_hand = _containers(random, drug, stock, wanted, product)
    return Case(order, containers, wanted, in_hand, dose.rough and not _is_volume(order))


def _is_volume(order: Order) -> bool:
    return isinstance(order.dose, FixedDose) and order.dose.amount.unit in oracle.ML


def _other_charge(random: Random, order: Order, dose: Dose) -> tuple[Order, Fraction]:
    """Now and then order mEq of a drug measured in mmol, or the other way round: mEq = mmol x valence."""
    unit, valence = order.drug.measured_in, order.drug.valence
    if not isinstance(dose.ordered, FixedDose) or random.random() < 0.5 or valence is None:
        return order, dose.size
    other = "mmol" if unit == "mEq" else "mEq"
    size = dose.size * valence if unit == "mEq" else dose.size / valence
    return replace(order, dose=FixedDose(Measure(dose.size, other))), size


def _as_ordered(amount: Fraction, share: Fraction, ordered: str, labelled: str) -> Fraction:
    """Count a labelled amount as the order counts it: base = salt x share."""
    if ordered == labelled:
        return amount
    return amount * share if ordered == "base" else amount / share


def _patient(random: Random) -> Patient:
    """Return a patient whose height always has an ideal weight."""
    kg = Fraction(random.randint(5, 1500), 10)
    cm = Fraction(random.randint(1530, 2000), 10)
    weight = in_unit(kg, random.choice([*oracle.KG]), oracle.KG)
    made = things.patient(None, None, random.choice(["female", "male"]))
    height = in_unit(cm, random.choice([*oracle.CM]), oracle.CM)
    return replace(made, weighed=Weighed(weight, things.NOW.date()), height=height)


def _size(patient: Patient) -> tuple[Fraction, Fraction]:
    """Return kg and cm of a patient."""
    assert patient.weighed is not None
    assert patient.height is not None
    weight, height = patient.weighed.weight, patient.height
    return weight.value * oracle.KG[weight.unit], height.value * oracle.CM[height.unit]


def _dose(random: Random, sizes: dict[str, Fraction], patient: Patient, basis: str) -> Dose:
    """Return a dose of any form."""
    unit = random.choice([*sizes])
    forms: list[Callable[[], Dose]] = [
        lambda: _fixed(random, unit, sizes),
        lambda: _ranged(random, unit, sizes),
        lambda: _by_weight(random, unit, sizes, patient, basis),
        lambda: _by_weight(random, unit, sizes, patient, basis),
        lambda: _by_surface(random, unit, sizes, patient),
    ]
    return random.choice(forms)()


def _fixed(random: Random, unit: str, sizes: dict[str, Fraction]) -> Dose:
    value = figure(random)
    return Dose(FixedDose(Measure(value, unit)), value * sizes[unit])


def _ranged(random: Random, unit: str, sizes: dict[str, Fraction]) -> Dose:
    low = figure(random)
    high = low * random.randint(1, 4)
    chosen = low + (high - low) * Fraction(random.randint(0, 4), 4)
    return Dose(
        DoseRange(Measure(low, unit), Measure(high, unit), Measure(chosen, unit)), chosen * sizes[unit]
    )


def _by_weight(random: Random, unit: str, sizes: dict[str, Fraction], patient: Patient, basis: str) -> Dose:
    """Return a dose per weight, perhaps per day in divided doses, perhaps with bounds."""
    rate, body = figure(random), random.choice(["kg", "kg", "lb", "g"])
    daily = random.random() < 0.5
    doses = random.randint(1, 6) if daily else 1
    kg, cm = _size(patient)
    used = min(kg, oracle.devine(cm, patient.sex)) if basis == "ideal" else kg
    size = oracle.per_body(rate * sizes[unit], used / oracle.KG[body], doses)
    bounds, held = _bounds(random, size, unit, sizes, doses)
    written = Measure(rate, f"{unit}/{body}/day" if daily else f"{unit}/{body}")
    return Dose(DosePerBody(written, doses, **bounds), held)


def _bounds(
    random: Random, size: Fraction, unit: str, sizes: dict[str, Fraction], doses: int
) -> tuple[dict[str, Measure], Fraction]:
    """Return bounds round a dose, and the dose held between them."""
    least = size * Fraction(random.choice([1, 9, 11]), 10) if random.random() < 0.3 else None
    floor = least or Fraction(0)
    most = max(size * Fraction(random.choice([8, 10, 15]), 10), floor) if random.random() < 0.3 else None
    day = max(size * Fraction(random.choice([8, 20]), 10), floor) * doses if random.random() < 0.3 else None
    held = oracle.held_between(size, least, most, day, doses)
    named = {"minimum": least, "maximum": most, "daily_maximum": day}
    return {name: in_unit(bound, unit, sizes) for name, bound in named.items() if bound is not None}, held


def _by_surface(random: Random, unit: str, sizes: dict[str, Fraction], patient: Patient) -> Dose:
    """Return a dose per body surface; its answer is rough."""
    rate, formula = figure(random), random.choice(["mosteller", "du bois"])
    kg, cm = _size(patient)
    surface = oracle.mosteller(cm, kg) if formula == "mosteller" else oracle.du_bois(cm, kg)
    ordered = DosePerBody(Measure(rate, f"{unit}/m2"), surface_by=formula)
    return Dose(ordered, rate * sizes[unit] * Fraction(surface), rough=True)


def _stock(random: Random, sizes: dict[str, Fraction]) -> Stock:
    """Return a strength labelled in any way that these units allow."""
    ways = [_in_volume, _in_volume, _powder, _powder]
    if "mg" in sizes:
        ways += [_percent, _ratio]
    return random.choice(ways)(random, sizes)


def _in_volume(random: Random, sizes: dict[str, Fraction]) -> Stock:
    unit, vol = random.choice([*sizes]), random.choice([*oracle.ML])
    amount, volume, full = figure(random), figure(random), figure(random)
    strength = AmountInVolume(Measure(amount, unit), in_unit(volume, vol, oracle.ML))
    return Stock(strength, amount * sizes[unit], volume, Measure(full, "mL"), full)


def _percent(random: Random, _: dict[str, Fraction]) -> Stock:
    percent, full = Decimal(random.randint(1, 5000)) / 100, figure(random)
    return Stock(
        PercentWeightInVolume(percent), Fraction(percent) * 1000, Fraction(100), Measure(full, "mL"), full
    )


def _ratio(random: Random, _: dict[str, Fraction]) -> Stock:
    within, full = random.choice([100, 200, 1000, 10000, 200000]), figure(random)
    return Stock(
        Ratio(Decimal(1), Decimal(within)), Fraction(1000), Fraction(within), Measure(full, "mL"), full
    )


def _powder(random: Random, sizes: dict[str, Fraction]) -> Stock:
    """Return a powder whose label states its final volume in any of the usual ways, alone or together."""
    unit = random.choice([*sizes])
    amount, volume = figure(random), figure(random)
    taken_up = volume * Fraction(random.randint(0, 30), 100)
    per_vial = Measure(taken_up, "mL")
    per_gram = Measure(taken_up / (amount * sizes[unit] / 1000), "mL/g") if "mg" in sizes else per_vial
    displacement = random.choice([per_vial, per_gram])
    diluent, total = Measure(volume - taken_up, "mL"), Measure(volume, "mL")
    strength = Measure(amount / volume, f"{unit}/mL")
    line = random.choice(
        [
            MakeUp("water", diluent, displacement),
            MakeUp("water", diluent, None, total),
            MakeUp("water", diluent, None, None, strength),
            MakeUp("water", diluent, displacement, total, strength),
            MakeUp("water", None, None, total),
            MakeUp("water", None, displacement, total),
            MakeUp("water", None, None, None, strength),
        ]
    )
    return Stock(Powder(Measure(amount, unit), (line,)), amount * sizes[unit], volume, None, volume)


def _containers(
    random: Random, drug: Drug, stock: Stock, wanted: Fraction, product: dict[str, object]
) -> tuple[tuple[Container, ...], Fraction]:
    """Return up to ten containers of one strength, some opened, mostly enough; and what they hold."""
    if stock.contents is not None and stock.full * 4 < wanted:
        full = Fraction(oracle.ceiling(wanted / random.randint(1, 4)))
        stock = replace(stock, contents=Measure(full, "mL"), full=full)
    count = min(max(oracle.ceiling(wanted / stock.full) + random.choice([-1, 0, 0, 1]), 1), 10)
    found, in_hand = [], Fraction(0)
    for number in range(count):
        opened = random.random() < 0.3
        left = stock.full * Fraction(random.randint(0, 10), 10) if opened else None
        held = stock.full if left is None else left
        in_hand += held
        made = things.vial(stock.strength, None, drug, **product)
        made = replace(made, id=f"c{number}", left=None if left is None else Measure(left, "mL"))
        found.append(replace(made, product=replace(made.product, contents=stock.contents)))
    return tuple(found), in_hand


BAD_MEASURES = tuple(
    Measure(Fraction(value), unit)
    for value in (0, -1, 3)
    for unit in (
        "mg",
        "mL",
        "units",
        "mg/kg",
        "mg/m2",
        "mg/h",
        "mg/kg/day",
        "pinch",
        "",
        "/",
        "cm",
        "mL/g",
        "%",
    )
)
BAD_STRENGTHS: tuple[Strength, ...] = (
    PercentWeightInVolume(Decimal("NaN")),
    PercentWeightInVolume(Decimal(0)),
    Ratio(Decimal(0), Decimal("Infinity")),
    Ratio(Decimal(1000), Decimal(1)),
    AmountOnly(Measure(Fraction(5), "mg")),
    AmountOnly(Measure(Fraction(5), "pinch")),
    Powder(Measure(Fraction(5), "mg")),
    Powder(Measure(Fraction(5), "mg"), (MakeUp("water"), MakeUp("water"))),
)


def broken_case(random: Random) -> Case:
    """Return a case with one field spoilt, or two; its answer is not known."""
    case = sound_case(random)
    for _ in range(random.choice([1, 1, 2])):
        spoil = random.choice([_spoil_order, _spoil_dose, _spoil_patient, _spoil_drug, _spoil_container])
        case = spoil(random, case)
    return replace(case, volume=None)


def _bad(random: Random) -> Measure:
    return random.choice(BAD_MEASURES)


def _spoil_order(random: Random, case: Case) -> Case:
    spoilt: dict[str, object] = random.choice(
        [
            {"stated_as": random.choice(["base", "free"])},
            {"doses_per_day": random.choice([0, -1, 3])},
            {"concentration_asked": Decimal(random.choice(["NaN", "0", "-1", "10"]))},
            {"dose": FixedDose(_bad(random))},
        ]
    )
    return replace(case, order=replace(case.order, **spoilt))  # type: ignore[arg-type]


def _spoil_dose(random: Random, case: Case) -> Case:
    """Spoil a field of the dose, whatever form it has."""
    dose = case.order.dose
    if isinstance(dose, DosePerBody):
        name = random.choice(["rate", "maximum", "minimum", "daily_maximum", "divided_into", "surface_by"])
        other: dict[str, object] = {"divided_into": random.choice([0, -2, 4]), "surface_by": "guess"}
        dose = replace(dose, **{name: other.get(name, _bad(random))})  # type: ignore[arg-type]
    elif isinstance(dose, DoseRange):
        name = random.choice(["low", "high", "chosen"])
        dose = replace(
            dose, **{name: random.choice([_bad(random), None]) if name == "chosen" else _bad(random)}
        )
    else:
        dose = FixedDose(_bad(random))
    return replace(case, order=replace(case.order, dose=dose))


def _spoil_patient(random: Random, case: Case) -> Case:
    patient = case.order.patient
    spoilt: dict[str, object] = random.choice(
        [
            {"weighed": None},
            {"weighed": Weighed(_bad(random), things.NOW.date())},
            {"height": None},
            {"height": _bad(random)},
            {"sex": ""},
        ]
    )
    made = replace(patient, **spoilt)  # type: ignore[arg-type]
    return replace(case, order=replace(case.order, patient=made))


def _spoil_drug(random: Random, case: Case) -> Case:
    """Spoil the drug for order and containers alike; or make the order's another drug."""
    drug = case.order.drug
    spoilt: dict[str, object] = random.choice(
        [
            {"id": "another"},
            {"measured_in": random.choice(["mL", "units", "mEq", "pinch", "", "mg/mL"])},
            {"salt_to_base": Decimal(random.choice(["0", "NaN", "0.5"]))},
            {"valence": random.choice([0, -1, None])},
            {"molar_mass_g_per_mol": random.choice([None, Decimal(0), Decimal("Infinity")])},
            {"weight_basis": random.choice(["guess", "adjusted", "ideal"])},
        ]
    )
    made = replace(drug, **spoilt)  # type: ignore[arg-type]
    containers = case.containers
    if made.id == drug.id:
        containers = tuple(replace(c, product=replace(c.product, drug=made)) for c in containers)
    return replace(case, order=replace(case.order, drug=made), containers=containers)


def _spoil_container(random: Random, case: Case) -> Case:
    """Spoil one container, or take all away."""
    if random.random() < 0.1 or not case.containers:
        return replace(case, containers=())
    at = random.randrange(len(case.containers))
    one = case.containers[at]
    product = one.product
    spoilt = random.choice(
        [
            replace(one, left=_bad(random)),
            replace(one, id="c0", serial="S"),
            replace(one, used_up=True),
            replace(one, product=replace(product, contents=random.choice([None, _bad(random)]))),
            replace(one, product=replace(product, strength=random.choice(BAD_STRENGTHS))),
            replace(one, product=replace(product, strength=AmountInVolume(_bad(random), _bad(random)))),
            replace(one, product=replace(product, strength=_spoilt_powder(random, product.strength))),
            replace(one, product=replace(product, strength=_another(random, product.drug.measured_in))),
            replace(one, product=replace(product, stated_as="guess")),
            replace(one, made_up=MakeUp("elsewhere", Measure(Fraction(3), "mL"))),
        ]
    )
    return replace(case, containers=(*case.containers[:at], spoilt, *case.containers[at + 1 :]))


def _another(random: Random, unit: str) -> Strength:
    """Return a strength of its own, good in itself: two of them do not go into one syringe."""
    return AmountInVolume(Measure(figure(random), unit), Measure(figure(random), "mL"))


def _spoilt_powder(random: Random, strength: Strength) -> Strength:
    """Spoil one figure of a powder's label."""
    if not isinstance(strength, Powder) or not strength.make_ups:
        return Powder(
            _bad(random), (MakeUp("water", _bad(random), _bad(random), _bad(random), _bad(random)),)
        )
    name = random.choice(["diluent", "displacement", "final_volume", "final_strength"])
    return replace(strength, make_ups=(replace(strength.make_ups[0], **{name: _bad(random)}),))
