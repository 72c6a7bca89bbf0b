"""Every way a label states its strength, brought to an amount in a volume."""

from __future__ import annotations

from decimal import Decimal

from kiosk.core.catalogue.strength import (
    AmountInVolume,
    AmountOnly,
    MakeUp,
    PercentWeightInVolume,
    Ratio,
    Strength,
)
from kiosk.core.dose.bridge import positive
from kiosk.core.dose.holds import Have, is_amount, is_volume, shown
from kiosk.core.dose.make_up import made_up
from kiosk.core.dose.working import both
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


def have(strength: Strength, make_up: MakeUp | None = None) -> Have | Refusal:
    """Return what a strength says, for a powder by one line of its label.

    Refusals: ``strength_not_stated`` (a total amount alone), ``strength_not_understood``,
    ``make_up_not_chosen``, and those of ``make_up.made_up``.
    """
    if isinstance(strength, AmountInVolume):
        return _in_volume(strength.amount, strength.volume)
    if isinstance(strength, PercentWeightInVolume):
        return _weight_in_volume(strength.percent, Decimal(100), "percent")
    if isinstance(strength, Ratio):
        return _weight_in_volume(strength.parts, strength.within, "ratio")
    if isinstance(strength, AmountOnly):
        return Refusal("strength_not_stated", {"amount": shown(strength.amount)})
    if make_up is None:
        return Refusal("make_up_not_chosen", {"lines": len(strength.make_ups)})
    return made_up(strength, make_up)


def strength_per_ml(strength: Strength, make_up: MakeUp | None = None) -> Measure | Refusal:
    """Return the strength as an amount per mL in the label's own unit; refusals as for ``have``."""
    found = have(strength, make_up)
    return found if isinstance(found, Refusal) else found.per_ml


def _in_volume(amount: Measure, volume: Measure) -> Have | Refusal:
    """Return an amount in a volume, once both are what they say."""
    if not is_amount(amount) or not is_volume(volume):
        return Refusal("strength_not_understood", {"strength": (shown(amount), shown(volume))})
    return Have(amount, volume.to("mL"))


def _weight_in_volume(parts: Decimal, within: Decimal, note: str) -> Have | Refusal:
    """Return grams in millilitres, which is what percent w/v and ratio strength mean.

    More grams than millilitres is refused: no injection is heavier than its own bulk in drug.
    """
    grams, millilitres = positive(parts), positive(within)
    if grams is None or millilitres is None or grams > millilitres:
        return Refusal("strength_not_understood", {"strength": f"{parts} g / {within} mL"})
    amount, volume = Measure(grams, "g"), Measure(millilitres, "mL")
    return Have(amount, volume, None, both(note, amount, "/", volume))
