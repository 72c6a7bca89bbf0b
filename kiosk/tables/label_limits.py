"""Reads what labels need to know: how long a syringe may wait, which barrels take which label."""

from __future__ import annotations

from kiosk.core.label.discard_after import ImmediateUse
from kiosk.core.label.placement import Placement
from kiosk.tables.csv_rows import rows


def immediate_use_limits() -> tuple[ImmediateUse, ...]:
    """Return the published immediate-use limits; exactly one is the default. Raises ``BadTable``."""
    found = rows("immediate_use")
    for row in found:
        if row.text("counts_from") != "start of preparation" or row.text("chosen") not in ("yes", "no"):
            raise row.refused("counts_from must be the start of preparation, chosen yes or no")
    if [row["chosen"] for row in found].count("yes") != 1:
        raise found[0].refused("exactly one limit is the default")
    return tuple(
        ImmediateUse(row.text("id"), row.measure("within"), row["chosen"] == "yes", row.text("source"))
        for row in found
    )


def placement() -> Placement:
    """Return the sizes that decide which label suits a barrel. Raises ``BadTable``."""
    found = {row.text("id"): row for row in rows("label_placement")}
    return Placement(
        **{name: found[name].measure("value") for name in ("label_height", "scale_window", "wall")}
    )
