"""What a person may type as a figure: plain digits, one point, written the safe way; else a refusal.

A comma is never taken for a point nor for grouping, since it is one of them in one country and the
other in the next; the number pad puts in the point whatever sign the screen shows for it.
"""

from __future__ import annotations

import re
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

LONGEST_FIGURE: Final = 10
"""Characters a figure may have: ten digits are twenty million units and more; a slip beyond that."""

_PLAIN: Final = re.compile(r"(0|[1-9][0-9]*)(\.[0-9]*[1-9])?")
_FAULTS: Final = (
    ("figure_grouped", re.compile(r"[0-9]{1,3}([ \u00a0\u202f,'’][0-9]{3})+(\.[0-9]*)?")),
    ("figure_comma", re.compile(r"[0-9]*,[0-9]*")),
    ("figure_naked_decimal", re.compile(r"\.[0-9]+")),
    ("figure_open_decimal", re.compile(r"[0-9]+\.")),
    ("figure_leading_zero", re.compile(r"0[0-9]+(\.[0-9]*)?")),
    ("figure_trailing_zero", re.compile(r"[0-9]+\.[0-9]*0")),
)


def read_figure(text: str, unit: str) -> Measure | Refusal:
    """Return what was typed as a measure in ``unit``, or why it is not taken.

    Codes: ``figure_empty``, ``figure_too_long``, ``figure_grouped``, ``figure_comma``,
    ``figure_naked_decimal`` (.5), ``figure_open_decimal`` (5.), ``figure_leading_zero`` (05),
    ``figure_trailing_zero`` (5.0), ``figure_not_a_number``. Fact ``typed`` is the text. Raises
    ``UnknownUnit`` when ``unit`` is outside the closed list: a bug.
    """
    typed = text.strip()
    code = _fault(typed)
    return Refusal(code, {"typed": typed}) if code else Measure.of(typed, unit)


def _fault(typed: str) -> str:
    """Return the code of what is wrong with a figure, or nothing."""
    if not typed:
        return "figure_empty"
    if len(typed) > LONGEST_FIGURE:
        return "figure_too_long"
    if _PLAIN.fullmatch(typed):
        return ""
    return next((code for code, pattern in _FAULTS if pattern.fullmatch(typed)), "figure_not_a_number")
