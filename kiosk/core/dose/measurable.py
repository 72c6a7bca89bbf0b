"""A small dose made measurable: the simplest dilution, of whole round figures, that carries it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from kiosk.core.dose.dilution import Dilution, in_two_steps, is_strength, made, with_draw
from kiosk.core.dose.holds import is_amount, is_volume, shown
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure, decimal_places

ROUND_STOCK: Final = tuple(Measure.of(text, "mL") for text in ("0.1", "0.2", "0.5", "1", "2", "5", "10"))
ROUND_TOTALS: Final = tuple(Measure.of(text, "mL") for text in ("1", "2", "5", "10", "20", "50", "100"))
"""Volumes people make up without a slip (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Measurable:
    """What can be measured at this counter, in mL.

    ``least`` is the smallest volume that may be measured; ``graduation`` the lines it must stand on;
    ``most`` the largest vessel to mix in; ``available`` how much stock there is, None for enough.
    """

    least: Measure
    graduation: Measure
    most: Measure
    available: Measure | None = None
    stock_name: str = ""
    diluent_name: str = ""


def measurable_dilution(dose: Measure, stock: Measure, limits: Measurable) -> Dilution | Refusal:
    """Return the simplest dilution by which ``dose`` of ``stock`` (amount per mL) can be measured.

    Simplest: one step before two; the dose on a line; the strength with the fewest digits; the least
    volume mixed. Refusals: ``dilution_not_understood``, ``no_dilution_found``.
    """
    volumes = (limits.least, limits.graduation, limits.most)
    if not is_amount(dose) or not is_strength(stock) or not all(map(is_volume, volumes)):
        return Refusal(
            "dilution_not_understood", {"figures": (shown(dose), shown(stock), *map(shown, volumes))}
        )
    if not dose.is_like(stock.unit.partition("/")[0]):
        return Refusal("dilution_not_understood", {"figures": (shown(dose), shown(stock))})
    singles = list(_dilutions(stock, limits, limits.available))
    found = [*_carrying(dose, singles, limits)] or [*_carrying(dose, _doubles(singles, limits), limits)]
    if not found:
        return Refusal("no_dilution_found", {"dose": dose, "stock": stock})
    return min(found, key=lambda dilution: _clumsiness(dilution, limits))


def _dilutions(stock: Measure, limits: Measurable, available: Measure | None) -> Iterator[Dilution]:
    """Yield every dilution of round figures that can be measured and mixed."""
    for volume in ROUND_STOCK:
        if volume < limits.least or not _on_a_line(volume, limits) or (available and volume > available):
            continue
        for total in ROUND_TOTALS:
            if volume < total <= limits.most:
                yield made(stock, volume, total, limits.stock_name, limits.diluent_name)


def _doubles(singles: list[Dilution], limits: Measurable) -> Iterator[Dilution]:
    """Yield every dilution of a dilution."""
    for first in singles:
        for second in _dilutions(first.strength, limits, first.volume):
            yield in_two_steps(first, second)


def _carrying(
    dose: Measure, dilutions: Iterator[Dilution] | list[Dilution], limits: Measurable
) -> Iterator[Dilution]:
    """Yield the dilutions that hold the dose in a volume that can be measured."""
    for dilution in dilutions:
        draw = dose.over(dilution.strength, "mL")
        if limits.least <= draw <= dilution.volume:
            yield with_draw(dilution, draw)


def _on_a_line(volume: Measure, limits: Measurable) -> bool:
    """Say whether a volume stands on a line."""
    return volume.ratio(limits.graduation).denominator == 1


def _clumsiness(dilution: Dilution, limits: Measurable) -> tuple[Fraction, int, Fraction, Fraction]:
    """Return how clumsy a recipe is: off the line, digits of the strength, volume mixed, stock used."""
    assert dilution.draw is not None
    lines = dilution.draw.ratio(limits.graduation)
    off = abs(lines - (2 * lines + 1) // 2) / lines
    return off, _digits(dilution.strength.value), dilution.volume.value, dilution.stock.value


def _digits(value: Fraction) -> int:
    """Return how many significant digits write a number; many for one that none write exactly."""
    places = decimal_places(value)
    return 99 if places is None else len(str(int(value * 10**places)).strip("0"))
