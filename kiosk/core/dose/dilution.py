"""Diluting: to reach a strength, or to make a small dose measurable, in one step or two.

"Make up to" ends at a volume; "add" puts a volume to what is there: 1 mL made up to 10 mL and 1 mL with
10 mL added are two strengths. Volumes are taken to add up (common practice for clear aqueous liquids).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kiosk.core.dose.bridge import VOLUME, kind_of
from kiosk.core.dose.holds import is_volume, shown
from kiosk.core.dose.plan import RecipeStep
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Dilution:
    """So much stock made up with so much diluent to ``volume`` of ``strength``; all volumes in mL.

    ``draw`` is the volume that carries the dose, None when the dilution is for a strength alone.
    """

    stock: Measure
    diluent: Measure
    volume: Measure
    strength: Measure
    recipe: tuple[RecipeStep, ...]
    draw: Measure | None = None


def is_strength(strength: Measure) -> bool:
    """Say whether this is an amount per volume, above zero."""
    amount, _, per = strength.unit.partition("/")
    return strength.value > 0 and kind_of(amount) not in (None, VOLUME) and kind_of(per) == VOLUME


def strength_after_adding(stock: Measure, stock_volume: Measure, diluent: Measure) -> Measure | Refusal:
    """Return the strength once ``diluent`` has been added to ``stock_volume`` of ``stock``.

    Refusal: ``dilution_not_understood``.
    """
    if not is_volume(diluent) or not is_volume(stock_volume):
        return _not_understood(diluent, stock_volume)
    return strength_after_making_up(stock, stock_volume, stock_volume + diluent)


def strength_after_making_up(stock: Measure, stock_volume: Measure, volume: Measure) -> Measure | Refusal:
    """Return the strength once ``stock_volume`` of ``stock`` has been made up to ``volume``.

    Refusals: ``dilution_not_understood``, ``made_up_to_too_little`` (less than is already there).
    """
    if not is_strength(stock) or not is_volume(stock_volume) or not is_volume(volume):
        return _not_understood(stock, stock_volume, volume)
    if volume < stock_volume:
        return Refusal("made_up_to_too_little", {"stock": stock_volume, "volume": volume})
    return stock.scaled(stock_volume.ratio(volume))


def _not_understood(*figures: Measure) -> Refusal:
    """Refuse figures that are no strength or volume, or not above zero."""
    return Refusal("dilution_not_understood", {"figures": tuple(shown(figure) for figure in figures)})


def dilution_to(
    stock: Measure, wanted: Measure, volume: Measure, stock_name: str = "", diluent_name: str = ""
) -> Dilution | Refusal:
    """Return how to make ``volume`` of strength ``wanted`` from ``stock``: C1 V1 = C2 V2.

    Refusals: ``dilution_not_understood``, ``stock_too_weak``.
    """
    alike = is_strength(stock) and is_strength(wanted) and stock.is_like(wanted)
    if not alike or not is_volume(volume):
        return _not_understood(stock, wanted, volume)
    if wanted > stock:
        return Refusal("stock_too_weak", {"stock": stock, "wanted": wanted})
    total = volume.to("mL")
    return made(stock, total.scaled(wanted.ratio(stock)), total, stock_name, diluent_name)


def made(
    stock: Measure, stock_volume: Measure, volume: Measure, stock_name: str, diluent_name: str
) -> Dilution:
    """Return the dilution of so much stock made up to so much; figures already checked, in mL."""
    strength = stock.scaled(stock_volume.ratio(volume))
    recipe = (
        RecipeStep("draw_stock", stock_volume, stock_name),
        RecipeStep("make_up_to", volume, diluent_name, strength, volume),
    )
    return Dilution(stock_volume, volume - stock_volume, volume, strength, recipe)


def in_two_steps(first: Dilution, second: Dilution) -> Dilution:
    """Return two dilutions as one recipe: the second takes its stock from the first.

    ``stock`` is the first one's stock volume and ``volume``, ``strength`` and ``draw`` the second's;
    ``diluent`` is all of both.
    """
    _, *after = second.recipe
    middle = RecipeStep("draw_mixture", second.stock)
    recipe = (*first.recipe, middle, *after)
    diluent = first.diluent + second.diluent
    return Dilution(first.stock, diluent, second.volume, second.strength, recipe, second.draw)


def with_draw(dilution: Dilution, draw: Measure) -> Dilution:
    """Return the dilution with the volume that carries the dose as its last step."""
    recipe = (*dilution.recipe, RecipeStep("draw_dose", draw))
    return Dilution(dilution.stock, dilution.diluent, dilution.volume, dilution.strength, recipe, draw)


def share_drawn(dilution: Dilution) -> Fraction:
    """Return which share of the mixture is drawn; the rest is waste."""
    return Fraction(1) if dilution.draw is None else dilution.draw.ratio(dilution.volume)
