"""Which fact a field of ``given`` states: its unit's shape decides among those of its family."""

from __future__ import annotations

from kiosk.core.units import Measure
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_shapes import FAMILIES, shape


def in_family(family: str, row: FactName, value: Measure, path: str, found: Given) -> None:
    """State the fact that this shape of unit means in this family of fields."""
    template = FAMILIES[family].get(shape(value.unit))
    if template is None:
        raise BadInput(f"{path}.unit" if family else path, "unit_of_another_kind", unit=value.unit)
    fact = template.format(row.fact)
    if fact.endswith("!day"):
        fact, value = fact.removesuffix("!day"), Measure.of(value.value, f"{value.unit}/day")
    found.state(fact, value, path)
