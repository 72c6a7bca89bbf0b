"""The second computation: plain Fractions in smallest units, desired over have, on its own tables.

Written from the definitions a second time and on purpose in another way: everything is brought to
nanograms, microlitres and grams of body first; draws are cut out of running totals. It reads the values
and unit codes of the order and the containers, and shares no helper with the first computation: no
``Measure`` method, no factor, no bridge, no root. What it cannot reckon it says in one word.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from math import ceil

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.strength import MakeUp
from kiosk.core.dose.order import Order
from kiosk.core.dose.second_dose import desired
from kiosk.core.dose.second_stock import Label, across, read_label
from kiosk.core.dose.second_table import MICROLITRES_PER_ML, Stuck, size


@dataclass(frozen=True, slots=True)
class Reckoned:
    """``dose`` in the drug's unit, ``strength`` per mL, ``volume`` in mL; draws as (id, mL, mL left)."""

    dose: Fraction
    strength: Fraction
    volume: Fraction
    draws: tuple[tuple[str, Fraction, Fraction], ...]
    containers: int


@dataclass(frozen=True, slots=True)
class TooLittle:
    """The containers do not hold the dose: mL needed, mL in hand, how many like the first would do."""

    needed: Fraction
    in_hand: Fraction
    containers: int


@dataclass(frozen=True, slots=True)
class NotReckoned:
    """There is no figure; ``why`` in one word, for the record."""

    why: str


def reckon(
    order: Order, containers: Sequence[Container], make_up: MakeUp | None = None
) -> Reckoned | TooLittle | NotReckoned:
    """Return the figures of the plan by the second way, or why there are none."""
    try:
        return _reckoned(order, containers, make_up)
    except Stuck as stuck:
        return NotReckoned(str(stuck))


def _reckoned(order: Order, containers: Sequence[Container], make_up: MakeUp | None) -> Reckoned | TooLittle:
    """Return desired / have x volume, cut into draws. Raises ``Stuck``."""
    kind, whole = desired(order)
    amount = whole / order.parts
    labels = [read_label(container, order, kind == "volume", make_up) for container in containers]
    _one_strength(labels, containers)
    label = labels[0]
    volume = (
        amount
        if kind == "volume"
        else across(amount, kind, order.drug) / label.sure_amount * label.microlitres
    )
    totals = list(accumulate((each.holds for each in labels), initial=Fraction(0)))
    like_first = ceil(volume / label.full)
    if totals[-1] < volume:
        return TooLittle(volume / MICROLITRES_PER_ML, totals[-1] / MICROLITRES_PER_ML, like_first)
    draws = [
        _draw(container, min(max(volume - before, Fraction(0)), each.holds), each)
        for container, each, before in zip(containers, labels, totals, strict=False)
    ]
    dose, strength = _told(order, kind, volume, label)
    kept = tuple(draw for draw in draws if draw[1])
    return Reckoned(dose, strength, volume / MICROLITRES_PER_ML, kept, like_first)


def _draw(container: Container, microlitres: Fraction, label: Label) -> tuple[str, Fraction, Fraction]:
    """Return one draw in mL."""
    left = label.holds - microlitres
    return container.id, microlitres / MICROLITRES_PER_ML, left / MICROLITRES_PER_ML


def _one_strength(labels: Sequence[Label], containers: Sequence[Container]) -> None:
    """Raise ``Stuck`` when there is nothing, one thing twice, or two strengths."""
    if not labels:
        raise Stuck("nothing")
    ids = [container.id for container in containers]
    if any(ids.count(c.id) > 1 for c in containers if c.left is not None or c.serial):
        raise Stuck("twice")
    if len({label.strength for label in labels}) > 1:
        raise Stuck("mixed")


def _told(order: Order, kind: str, volume: Fraction, label: Label) -> tuple[Fraction, Fraction]:
    """Return dose and strength per mL in the unit they are told in."""
    drug_kind, unit = size(order.drug.measured_in) if label.amount is not None else ("volume", Fraction(1))
    if kind == "volume" and drug_kind == "volume":
        return volume / MICROLITRES_PER_ML, Fraction(1)
    strength = label.sure_amount / unit / (label.microlitres / MICROLITRES_PER_ML)
    return strength * (volume / MICROLITRES_PER_ML), strength
