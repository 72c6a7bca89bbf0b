"""Reads what a text states to link two units or two figures: pounds to a kilogram, a salt's share."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from kiosk.core.dose.follow_units import parts
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_shapes import shape
from kiosk.feeds.worksheet_stating import in_family


def pounds(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read the pounds to a kilogram, or the kilograms to a pound."""
    default = "kg/lb" if row.name == "kg_per_lb" else row.unit
    value = the.measure(node, path, default)
    if value.unit not in ("lb/kg", "kg/lb"):
        raise BadInput(f"{path}.unit", "unit_of_another_kind", unit=value.unit)
    found.state(row.fact, value if value.unit == "lb/kg" else Measure(1 / value.value, "lb/kg"), path)


def grain(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read how much a grain is: so many mg to the grain, or an amount alone."""
    value = the.measure(node, path, row.unit)
    if shape(value.unit) == "amount":
        value = Measure.of(value.value, f"{value.unit}/grain")
    in_family("grain", row, value, path, found)


def an_equivalence(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read so many of one unit to one of another: 1600 units/mg."""
    value = the.measure(node, path)
    above, below = parts(value.unit)
    if len(above) != 1 or len(below) != 1:
        raise BadInput(path, "not_an_equivalence", unit=value.unit)
    found.state("lb_per_kg" if value.unit == "lb/kg" else row.fact, value, path)


def portion(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read how much of a whole a part is: a share above 0 and up to 1, or a percentage."""
    value, spelt = the.quantity(node, path, "1")
    part = value / 100 if spelt.unit == "%" else value
    if not 0 < part <= 1 or spelt.unit not in ("1", "%"):
        raise BadInput(path, "not_a_portion")
    found.state(row.fact, Measure(part, "1"), path)


def share(the: Figures, _row: FactName, node: Any, path: str, found: Given) -> None:
    """Read an allowed error: a share (0.05) or a percentage."""
    value, spelt = the.quantity(node, path, "1")
    share = value / 100 if spelt.unit == "%" else value
    if not 0 <= share <= Fraction(1, 2) or spelt.unit not in ("1", "%"):
        raise BadInput(path, "not_a_share")
    found.allowed_error = share
