"""Unit algebra for following facts: multiply, divide, cancel, cross the bridges a question states.

Units are the closed codes of ``kiosk.core.units`` (one numerator, any number of denominators). A
bridge is a stated equivalence between kinds that no law of units gives: a molar mass (``g/mol``), a
valence (``mEq/mmol``), a potency (``units/mg``), a grain (``mg/grain``), or the pounds to a kilogram
that a text insists on (``lb/kg``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from kiosk.core.units import Measure, factor, same_kind

POUNDS = frozenset({"lb", "oz"})
SIZES = frozenset({"kg", "lb", "oz"})  # of a body; a drug's mass is brought in g or smaller
PERCENT = "%"


def parts(code: str) -> tuple[list[str], list[str]]:
    """Return the numerators and denominators of a unit code; ``1`` stands for none."""
    top, *bottom = code.split("/")
    return ([] if top == "1" else [top]), bottom


@dataclass(frozen=True, slots=True)
class Bridges:
    """The stated equivalences, each a measure in ``a/b``: so many ``a`` to one ``b``."""

    stated: tuple[Measure, ...] = ()

    def link(self, unit: str, to: str) -> Fraction | None:
        """Return how many ``to`` are in one ``unit``, by law or over a bridge; None when neither leads."""
        stated_pounds = self._pounds(unit, to)
        if stated_pounds is not None:
            return stated_pounds
        if same_kind(unit, to):
            return factor(unit, to)
        return self._over_a_bridge(unit, to)

    def _pounds(self, unit: str, to: str) -> Fraction | None:
        """Return the stated, not the exact, number of pounds or kilograms, where one is stated."""
        for bridge in self.stated:
            if bridge.unit != "lb/kg" or (unit in POUNDS) == (to in POUNDS) or not same_kind(unit, to):
                continue
            if unit in POUNDS:
                return factor(unit, "lb") / bridge.value * factor("kg", to)
            return factor(unit, "kg") * bridge.value * factor("lb", to)
        return None

    def _over_a_bridge(self, unit: str, to: str) -> Fraction | None:
        """Return the way over the first bridge that leads there, using each at most once."""
        for at, bridge in enumerate(self.stated):
            rest = Bridges(self.stated[:at] + self.stated[at + 1 :])
            (near,), (far,) = parts(bridge.unit)
            for here, there, step in ((near, far, 1 / bridge.value), (far, near, bridge.value)):
                if bridge.unit == "lb/kg" or not same_kind(unit, here):
                    continue
                onward = rest.link(there, to)
                if onward is not None:
                    return factor(unit, here) * step * onward
        return None


def plain(measure: Measure) -> Measure:
    """Return a percentage as the mg/mL that it means, and anything else as it is."""
    return measure.to("mg/mL") if measure.unit == PERCENT else measure


def combine(
    over: Sequence[Measure], under: Sequence[Measure], bridges: Bridges = Bridges()
) -> Measure | None:
    """Return the product of ``over`` divided by each of ``under``, units cancelled.

    A body's kilograms never cancel against a drug's milligrams. None when what is left is not one
    numerator over denominators, or a divisor is nothing: then the figures do not belong together.
    """
    value, top, bottom = Fraction(1), list[str](), list[str]()
    for measure in map(plain, over):
        value *= measure.value
        up, down = parts(measure.unit)
        top, bottom = top + up, bottom + down
    for measure in map(plain, under):
        if measure.value == 0:
            return None
        value /= measure.value
        up, down = parts(measure.unit)
        top, bottom = top + down, bottom + up
    return _cancelled(value, top, bottom, bridges)


def _cancelled(value: Fraction, top: list[str], bottom: list[str], bridges: Bridges) -> Measure | None:
    """Cancel every numerator that links to a denominator by law; over bridges only what is still too many."""
    value *= _cancel(top, bottom, Bridges(tuple(b for b in bridges.stated if b.unit == "lb/kg")), 0)
    value *= _cancel(top, bottom, bridges, 1)
    if len(top) > 1:
        return None
    return Measure(value, "/".join([top[0] if top else "1", *bottom]))


def _cancel(top: list[str], bottom: list[str], way: Bridges, enough: int) -> Fraction:
    """Cancel in place until ``enough`` numerators are left; return the factor of what was cancelled."""
    factors = Fraction(1)
    for up in tuple(top):
        for down in bottom:
            link = way.link(up, down) if len(top) > enough and (up in SIZES) == (down in SIZES) else None
            if link is not None:
                factors *= link
                top.remove(up)
                bottom.remove(down)
                break
    return factors


def turn(measure: Measure, unit: str, bridges: Bridges = Bridges()) -> Measure | None:
    """Return the same thing in another unit, over bridges if need be; None when no way leads there."""
    if unit == PERCENT:
        in_mg = turn(measure, "mg/mL", bridges)
        return None if in_mg is None else in_mg.to(PERCENT)
    start = plain(measure)
    (top, bottom), (want_top, want_bottom) = parts(start.unit), parts(unit)
    up = _links(top, want_top, bridges)
    down = _links(bottom, want_bottom, bridges)
    return None if up is None or down is None else Measure(start.value * up / down, unit)


def _links(have: Iterable[str], want: Iterable[str], bridges: Bridges) -> Fraction | None:
    """Return the factor that turns every unit of ``have`` into its fellow of ``want``."""
    have, want = list(have), list(want)
    if len(have) != len(want):
        return None
    whole = Fraction(1)
    for unit in have:
        for other in want:
            link = bridges.link(unit, other)
            if link is not None:
                whole *= link
                want.remove(other)
                break
        else:
            return None
    return whole


def agree(one: Measure, other: Measure, bridges: Bridges = Bridges()) -> Fraction | None:
    """Return how far two measures are apart as a share of the larger; None when not comparable."""
    turned = turn(other, one.unit, bridges)
    if turned is None:
        return None
    largest = max(abs(one.value), abs(turned.value))
    return Fraction(0) if largest == 0 else abs(one.value - turned.value) / largest
