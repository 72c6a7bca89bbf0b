"""Reads what labels need to know: how long a syringe may wait, which barrels take which label."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from kiosk.core.label.discard_after import ImmediateUse
from kiosk.core.label.placement import Placement
from kiosk.tables.csv_rows import BadTable, Row, rows

SIZES: Final = ("label_height", "scale_window", "wall")


def immediate_use_limits() -> tuple[ImmediateUse, ...]:
    """Return the published immediate-use limits; exactly one is the default. Raises ``BadTable``."""
    return limits_of(rows("immediate_use"))


def limits_of(found: Sequence[Row]) -> tuple[ImmediateUse, ...]:
    """Return the limits of these rows. Raises ``BadTable``."""
    for row in found:
        if row.text("counts_from") != "start of preparation" or row.text("chosen") not in ("yes", "no"):
            raise row.refused("counts_from must be the start of preparation, chosen yes or no")
    if [row["chosen"] for row in found].count("yes") != 1:
        raise BadTable("immediate_use.csv: exactly one limit is the default")
    return tuple(
        ImmediateUse(row.text("id"), row.measure("within"), row["chosen"] == "yes", row.text("source"))
        for row in found
    )


def placement() -> Placement:
    """Return the sizes that decide which label suits a barrel. Raises ``BadTable``."""
    return placement_of(rows("label_placement"))


def placement_of(found: Sequence[Row]) -> Placement:
    """Return the sizes of these rows. Raises ``BadTable``."""
    sizes = {row.text("id"): row.measure("value") for row in found}
    if set(sizes) != set(SIZES):
        raise BadTable(f"label_placement.csv: the rows must be {', '.join(SIZES)}")
    return Placement(**sizes)
