"""Rules about the body: weight as it is to be used, body surface, ideal weight, old rules for children.

Clark, Young and Fried scale an adult's dose by a child's weight or age. They are in old textbooks only
and are worked here when a question names them, always with a caution (figures: common practice of
nursing arithmetic texts, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import isqrt
from typing import Final

from kiosk.core.dose.body import (
    adjusted_weight,
    ideal_weight,
    root,
    surface_by_weight,
    surface_du_bois,
    surface_gehan,
    surface_haycock,
    surface_mosteller,
)
from kiosk.core.dose.follow import Rule, Stated, Worked
from kiosk.core.dose.follow_relations import rule, same
from kiosk.core.dose.follow_units import turn
from kiosk.core.dose.rounding import to_places
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

ADULT_SURFACE: Final = Measure.of("1.73", "m2")
CLARK_POUNDS: Final = Measure.of(150, "lb")
FRIED_MONTHS: Final = Measure.of(150, "month")
YOUNG_YEARS: Final = Measure.of(144, "month")  # twelve years


def _in_kg(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the weight in kg, by the stated pounds to the kilogram where a text states them."""
    return turn(values[0], "kg", stated.bridges)


def _rounded_weight(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the weight in kg, rounded before going on, as some texts have it."""
    in_kg = turn(values[0], "kg", stated.bridges)
    decimals = stated.measures["weight_decimals"].value
    return None if in_kg is None else to_places(in_kg, int(decimals))


def _surface(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the body surface by the formula named, Mosteller when none is."""
    height, weight = values
    in_kg = turn(weight, "kg", stated.bridges)
    formula = stated.words.get("formula", "mosteller")
    if in_kg is None:
        return None
    if formula in _BY_POWERS:
        return _BY_POWERS[formula](height, in_kg)
    if formula == "mosteller 3131":
        pounds = turn(weight, "lb", stated.bridges)
        assert pounds is not None  # what can be turned into kg can be turned into lb
        return Measure(root(height.to("in").value * pounds.value / 3131, 2), "m2")
    if formula.startswith("mosteller"):
        return _exact_mosteller(height, in_kg) or surface_mosteller(height, in_kg)
    return Refusal("surface_formula_unknown", {"formula": formula})


_BY_POWERS: Final = {"du bois": surface_du_bois, "haycock": surface_haycock, "gehan": surface_gehan}


def _by_weight_alone(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the body surface by the formula that needs no height: (4W + 7) / (W + 90)."""
    in_kg = turn(values[0], "kg", stated.bridges)
    return None if in_kg is None else surface_by_weight(in_kg)


def _rounded_surface(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the body surface rounded before going on, as some texts have it."""
    worked = _surface(stated, values)
    decimals = stated.measures["surface_decimals"].value
    return to_places(worked, int(decimals)) if isinstance(worked, Measure) else worked


def _exact_mosteller(height: Measure, in_kg: Measure) -> Measure | None:
    """Return the surface where the root is a fraction (100 cm, 16 kg: two thirds), else None."""
    square = height.to("cm").value * in_kg.value / 3600
    top, bottom = isqrt(square.numerator), isqrt(square.denominator)
    found = Fraction(top, bottom)
    return Measure(found, "m2") if found**2 == square else None


def _ideal(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the ideal weight by height and sex."""
    return ideal_weight(values[0], stated.words.get("sex", ""))


def _adjusted(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return ideal + 0.4 × (actual − ideal); who is lighter than the ideal keeps the actual weight."""
    actual = turn(values[0], "kg", stated.bridges)
    return None if actual is None else actual if actual <= values[1] else adjusted_weight(actual, values[1])


def _share(stated: Stated, values: tuple[Measure, ...], whole: Measure) -> Worked:
    """Return the adult dose times the child's size over ``whole``."""
    adult, size = values
    turned = turn(size, whole.unit, stated.bridges)
    return None if turned is None else adult.scaled(turned.value / whole.value)


def _clark(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the child's dose by weight: pounds over 150 of the adult's."""
    return _share(stated, values, CLARK_POUNDS)


def _fried(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the infant's dose by age: months over 150 of the adult's."""
    return _share(stated, values, FRIED_MONTHS)


def _by_surface(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the child's dose by body surface over 1.73 m2 of the adult's."""
    return _share(stated, values, ADULT_SURFACE)


def _by_adult_surface(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the child's dose by body surface over the adult's that is stated."""
    adult, size, whole = values
    return _share(stated, (adult, size), whole)


def _young(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the child's dose by age: years over (years + 12) of the adult's."""
    adult, age = values
    months = turn(age, "month", stated.bridges)
    return None if months is None else adult.scaled(months.value / (months + YOUNG_YEARS).value)


WEIGHTS: Final = {"on_ideal": "ideal_weight", "on_adjusted": "adjusted_weight"}
"""The word by which a question names the weight to reckon on, and the fact that it is."""


def _weights() -> Iterator[Rule]:
    """Yield the weight to reckon on.

    Where an ideal or adjusted weight is stated beside the actual one, the question must name its choice.
    """
    others = "dosing_weight on_ideal on_adjusted"
    apart = f"{others} ideal_weight adjusted_weight"
    yield rule("weight = body_weight", _rounded_weight, when="weight_decimals", unless=apart)
    yield rule("weight = body_weight", same, unless=f"weight_decimals {apart}")
    yield rule("weight = body_weight", same, when="on_actual", unless=f"weight_decimals {others}")
    yield rule("weight = dosing_weight", same)
    for named, fact in WEIGHTS.items():
        (other,) = set(WEIGHTS.values()) - {fact}
        yield rule(f"weight = {fact}", same, when=named, unless="dosing_weight on_actual")
        yield rule(f"weight = {fact}", same, when=fact, unless=f"{others} on_actual body_weight {other}")
    yield rule("weight_kg = weight", _in_kg)
    yield rule("ideal_weight = height", _ideal, when="sex", proves=False)
    yield rule(
        "adjusted_weight = 0.4 × ( body_weight − ideal_weight ) + ideal_weight", _adjusted, proves=False
    )


def rules() -> Iterator[Rule]:
    """Yield every rule about the body; an old rule for children only when it is named."""
    yield from _weights()
    yield rule("bsa = height , weight", _surface, unless="bsa surface_by_weight surface_decimals")
    yield rule("bsa = height , weight", _rounded_surface, when="surface_decimals", unless="bsa")
    yield rule("bsa = weight", _by_weight_alone, when="surface_by_weight", unless="bsa")
    yield rule("worked_dose = adult_dose × weight ÷ 150_lb", _clark, when="clark")
    yield rule("worked_dose = adult_dose × age ÷ 150_months", _fried, when="fried")
    yield rule("worked_dose = adult_dose × age ÷ ( age + 12_years )", _young, when="young")
    yield rule(
        "worked_dose = adult_dose × bsa ÷ 1.73_m²", _by_surface, when="surface_share", unless="adult_bsa"
    )
    yield rule("worked_dose = adult_dose × bsa ÷ adult_bsa", _by_adult_surface)
