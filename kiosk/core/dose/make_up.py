"""Powders: the volume and strength a label line leads to, and how to get there.

"Add" (a diluent is stated) and "make up to" (a final volume and no diluent) are two different things and
stay so: 10 mL added to a powder that takes up 0.4 mL is 10.4 mL.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from typing import Final

from kiosk.core.catalogue.strength import MakeUp, Powder
from kiosk.core.dose.bridge import MASS, VOLUME, kind_of
from kiosk.core.dose.holds import Have, is_amount, is_volume, shown
from kiosk.core.dose.plan import RecipeStep, WorkingLine
from kiosk.core.dose.working import both
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.units import Measure

AGREES_WITHIN: Final = Fraction(5, 100)
"""How far two statements of one powder label may lie apart: labels round (common practice, no source)."""


def lines_for(powder: Powder, route: str = "") -> tuple[MakeUp, ...]:
    """Return the label lines that hold for a route; a line that names no route holds for every one."""
    return tuple(line for line in powder.make_ups if not route or not line.routes or route in line.routes)


@lru_cache(maxsize=512)
def made_up(powder: Powder, line: MakeUp) -> Have | Refusal:
    """Return what a powder is once made up by one line of its label.

    The label's stated strength counts first, then its stated volume, then diluent + displacement; where
    it states several they must agree within ``AGREES_WITHIN``. Refusals: ``strength_not_understood``,
    ``make_up_not_understood``, ``strength_after_mixing_not_stated``, ``make_up_contradicts``.
    """
    if not is_amount(powder.amount):
        return Refusal("strength_not_understood", {"strength": shown(powder.amount)})
    volumes = stated_volumes(powder, line)
    if isinstance(volumes, Refusal):
        return volumes
    if not volumes:
        return Refusal("strength_after_mixing_not_stated", {"diluent": line.diluent_name})
    return _contradiction(volumes, line) or _liquid(powder, line, volumes)


def stated_volumes(powder: Powder, line: MakeUp) -> tuple[Measure, ...] | Refusal:
    """Return each volume in mL that the line leads to, the label's surest statement first."""
    taken_up = None if line.displacement is None else displaced_by(powder.amount, line.displacement)
    if isinstance(taken_up, Refusal):
        return taken_up
    by_strength = (
        None if line.final_strength is None else _volume_by_strength(powder.amount, line.final_strength)
    )
    if isinstance(by_strength, Refusal):
        return by_strength
    for figure in (line.final_volume, line.diluent):
        if figure is not None and not is_volume(figure):
            return Refusal("make_up_not_understood", {"figure": shown(figure)})
    together = line.diluent.to("mL") + taken_up if line.diluent and taken_up else None
    return tuple(volume.to("mL") for volume in (by_strength, line.final_volume, together) if volume)


def _volume_by_strength(amount: Measure, strength: Measure) -> Measure | Refusal:
    """Return the volume in mL in which the whole amount has the stated strength."""
    unit, _, per = strength.unit.partition("/")
    if strength.value <= 0 or kind_of(unit) != kind_of(amount.unit) or kind_of(per) != VOLUME:
        return Refusal("make_up_not_understood", {"figure": shown(strength)})
    return amount.over(strength, "mL")


def displaced_by(amount: Measure, displacement: Measure) -> Measure | Refusal:
    """Return the powder's own volume in the liquid in mL; the displacement is per vial or per mass.

    Zero is a statement: the label says that it may be ignored. Refusal: ``make_up_not_understood``.
    """
    unit, _, per = displacement.unit.partition("/")
    if displacement.value >= 0 and kind_of(unit) == VOLUME:
        if not per:
            return displacement.to("mL")
        if kind_of(per) == MASS and kind_of(amount.unit) == MASS:
            return displacement.times(amount, "mL")
    return Refusal("make_up_not_understood", {"figure": shown(displacement)})


def _contradiction(volumes: tuple[Measure, ...], line: MakeUp) -> Refusal | None:
    """Refuse a line whose figures disagree, or that ends with less liquid than goes in."""
    first = volumes[0]
    for other in volumes[1:]:
        if abs(other.value - first.value) > AGREES_WITHIN * first.value:
            return Refusal("make_up_contradicts", {"volume": first, "other": other})
    if line.diluent and line.diluent.to("mL").value > first.value * (1 + AGREES_WITHIN):
        return Refusal("make_up_contradicts", {"volume": first, "other": line.diluent})
    return None


def _liquid(powder: Powder, line: MakeUp, volumes: tuple[Measure, ...]) -> Have | Refusal:
    """Return the made-up liquid with its recipe and what was noticed."""
    volume = volumes[0]
    stated = line.final_strength
    strength = stated or powder.amount.over(volume, f"{powder.amount.unit}/mL")
    recipe = _recipe(powder, line, volume, strength)
    if isinstance(recipe, Refusal):
        return recipe
    noticed = _rounded_label(volumes)
    if stated is None:
        return Have(powder.amount, volume, volume, _mixing(powder, line, volume, strength), recipe, noticed)
    unit, _, per = stated.unit.partition("/")
    in_volume = Measure(Fraction(1), per).to("mL")
    return Have(
        Measure(stated.value, unit), in_volume, volume, both("strength_by_label", stated), recipe, noticed
    )


def _rounded_label(volumes: tuple[Measure, ...]) -> tuple[Finding, ...]:
    """Note that the label's figures agree only roughly; its surest one was taken."""
    other = next((volume for volume in volumes if volume != volumes[0]), None)
    if other is None:
        return ()
    return (
        Finding("make_up_label_rounded", Level.NOTE, {"volume": volumes[0], "other": other}, "the label"),
    )


def _mixing(powder: Powder, line: MakeUp, volume: Measure, strength: Measure) -> tuple[WorkingLine, ...]:
    """Return the lines that lead to the strength after mixing."""
    last = both("strength_after_mixing", powder.amount, "/", volume, "=", strength)
    if line.final_volume is not None or line.diluent is None:
        return last
    diluent = line.diluent.to("mL")
    return both("displacement", diluent, "+", volume - diluent, "=", volume) + last


def _recipe(
    powder: Powder, line: MakeUp, volume: Measure, strength: Measure
) -> tuple[RecipeStep, ...] | Refusal:
    """Return the step of making up: add so much, or make up to so much."""
    name = line.diluent_name
    if line.diluent is not None:
        return (RecipeStep("add_diluent", line.diluent.to("mL"), name, strength, volume),)
    if line.displacement is None:
        return (RecipeStep("make_up_to", volume, name, strength, volume),)
    displaced = displaced_by(powder.amount, line.displacement)
    assert isinstance(displaced, Measure)  # ``stated_volumes`` refused it before
    if displaced >= volume:
        return Refusal("make_up_contradicts", {"volume": volume, "other": displaced})
    return (RecipeStep("add_diluent_to_make", volume - displaced, name, strength, volume),)


def displacement_of(powder: Powder, line: MakeUp) -> Measure | Refusal:
    """Return in mL what the powder takes up: final volume less diluent, or what the label states.

    Refusals: those of ``made_up``; ``strength_after_mixing_not_stated`` where the line tells neither.
    """
    if line.displacement is not None:
        return displaced_by(powder.amount, line.displacement)
    liquid = made_up(powder, line)
    if isinstance(liquid, Refusal):
        return liquid
    if line.diluent is None or liquid.contents is None:
        return Refusal("strength_after_mixing_not_stated", {"diluent": line.diluent_name})
    return liquid.contents - line.diluent.to("mL")


def line_for_limit(
    powder: Powder, lines: Iterable[MakeUp], dose: Measure, largest: Measure
) -> MakeUp | Refusal:
    """Return the line by which the dose has the largest volume that is not over ``largest``.

    The weakest solution that still fits one injection hurts least and measures best (nursing textbooks on
    multi-strength labels). Refusals: ``no_line_within_limit`` (facts ``dose``, ``largest``).
    """
    fitting: list[tuple[Measure, MakeUp]] = []
    for line in lines:
        liquid = made_up(powder, line)
        if isinstance(liquid, Have) and kind_of(dose.unit) == kind_of(liquid.amount.unit):
            volume = dose.over(liquid.per_ml, "mL")
            fitting += [(volume, line)] if volume <= largest else []
    if not fitting:
        return Refusal("no_line_within_limit", {"dose": shown(dose), "largest": shown(largest)})
    return max(fitting, key=lambda found: found[0].value)[1]
