"""A unit at the end of a name: ``dose_mg``, ``strength_mg_per_mL``, ``weight_in_kg``."""

from __future__ import annotations

import re
from typing import Final

_ABOVE: Final = (
    "mg|mcg|ug|ng|g|kg|lbs?|oz|st|mL|ml|L|units?|IU|iu|mmol|mEq|meq|h|hr|hours?|min|minutes?|days?|weeks?"
    "|months?|years?|cm|m|in|ft|m2|percent|drops?|gtt|tsp"
)
_BELOW: Final = "kg|lb|m2|mL|ml|L|h|hr|hour|min|minute|day|dose|tablet|vial|ampoule|mmol|mol|mg|g"
SUFFIX: Final = rf"_(?:in_)?((?:{_ABOVE})(?:_per_(?:{_BELOW}))*)$"
"""What stands at the end of such a name, as a regular expression; the schema publishes it."""

_SUFFIX: Final = re.compile(SUFFIX)


def without_unit(name: str) -> tuple[str, str] | None:
    """Return a name without the unit at its end, and that unit; None when there is none."""
    found = _SUFFIX.search(name)
    return (name[: found.start()], found[1].replace("_per_", "/")) if found and found.start() else None
