"""Rules written as equations, and the two shapes that nearly all dose arithmetic has.

``whole = left × right`` (a dose is a volume times a strength) and ``whole = part + part`` (what is in the
vial is the diluent and the powder's own volume) are solved for whichever part is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeAlias

from kiosk.core.dose.follow import Rule, Stated, Worked
from kiosk.core.dose.follow_units import combine, turn
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

Work: TypeAlias = Callable[[Stated, tuple[Measure, ...]], Worked]


def names(text: str) -> frozenset[str]:
    """Return a set of fact names written with blanks between."""
    return frozenset(text.split())


def rule(equation: str, work: Work, *, when: str = "", unless: str = "", proves: bool = True) -> Rule:
    """Return a rule from its equation, such as ``volume = dose ÷ strength``.

    Its id is the equation; its needs are the names right of ``=`` in order; everything else there is
    shown as it stands (``_`` for a blank inside a figure: ``24_h``).
    """
    gives, _, right = equation.partition(" = ")
    tokens = right.split()
    needs = tuple(dict.fromkeys(token for token in tokens if token.isidentifier()))
    says = tuple(needs.index(token) if token in needs else token.replace("_", " ") for token in tokens)
    return Rule(equation, gives, needs, work, says, names(when), names(unless), proves)


def multiplied(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the product of the values."""
    return combine(values, (), stated.bridges)


def divided(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the first value divided by the others."""
    return combine(values[:1], values[1:], stated.bridges)


def added(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the sum of two values in the first one's unit."""
    one, other = values
    turned = turn(other, one.unit, stated.bridges)
    return None if turned is None else one + turned


def taken_away(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the first value less the second; a part larger than the whole is refused."""
    whole, part = values
    turned = turn(part, whole.unit, stated.bridges)
    if turned is None:
        return None
    if turned > whole:
        return Refusal("part_exceeds_whole", {"whole": whole, "part": turned})
    return whole - turned


def same(_stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the value itself: one fact stands for the other here."""
    return values[0]


def stands_for(equation: str, *, when: str = "", unless: str = "", proves: bool = True) -> Rule:
    """Return a rule by which one fact stands for another: ``drawn_volume = volume``."""
    return rule(equation, same, when=when, unless=unless, proves=proves)


def product(equation: str, *, solve: str = "", when: str = "", unless: str = "") -> Iterator[Rule]:
    """Yield ``whole = left × right`` for every part, or only for the facts of ``solve``.

    The multiplication proves the three together; a division only fills a gap.
    """
    whole, _, left, _, right = equation.split()
    ways = (
        rule(equation, multiplied, when=when, unless=unless),
        rule(f"{left} = {whole} ÷ {right}", divided, when=when, unless=unless, proves=False),
        rule(f"{right} = {whole} ÷ {left}", divided, when=when, unless=unless, proves=False),
    )
    yield from (way for way in ways if not solve or way.gives in names(solve))


def total(equation: str, *, when: str = "", unless: str = "") -> Iterator[Rule]:
    """Yield ``whole = one + other`` for every part; only the sum proves.

    (The label rounds, and a small error of the whole would be a large one of a small part.)
    """
    whole, _, one, _, other = equation.split()
    yield rule(equation, added, when=when, unless=unless)
    yield rule(f"{one} = {whole} − {other}", taken_away, when=when, unless=unless, proves=False)
    yield rule(f"{other} = {whole} − {one}", taken_away, when=when, unless=unless, proves=False)
