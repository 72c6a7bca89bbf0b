"""Splitting one volume over several syringes or sites, each within a limit, together exactly the whole."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from kiosk.core.dose.holds import is_volume, shown
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

MOST_PARTS: Final = 20
"""More parts than this are no plan for one patient (common practice, no source): a figure is wrong."""


def split(
    volume: Measure, largest: Measure, graduation: Measure | None = None
) -> tuple[Measure, ...] | Refusal:
    """Return the fewest parts no larger than ``largest`` that add up to ``volume`` exactly, in mL.

    Without a ``graduation`` the parts are equal. With one, every part stands on a line and no two differ
    by more than one line; the larger ones come first. Refusals: ``split_not_understood``,
    ``volume_not_on_a_line``, ``limit_below_one_line``, ``split_into_too_many``.
    """
    figures = (volume, largest) if graduation is None else (volume, largest, graduation)
    if not all(map(is_volume, figures)):
        return Refusal("split_not_understood", {"figures": tuple(map(shown, figures))})
    whole = volume.to("mL")
    if graduation is not None:
        return _on_lines(whole, largest, graduation)
    parts = parts_needed(whole, largest)
    if parts > MOST_PARTS:
        return _too_many(whole, largest, parts)
    return (whole.scaled(Fraction(1, parts)),) * parts


def _too_many(volume: Measure, largest: Measure, parts: int) -> Refusal:
    """Refuse a split that nobody would carry out."""
    return Refusal("split_into_too_many", {"volume": volume, "largest": largest, "parts": parts})


def parts_needed(volume: Measure, largest: Measure) -> int:
    """Return how many parts of at most ``largest`` hold ``volume``. Raises on a limit of zero: a bug."""
    return -int(-volume.ratio(largest) // 1)


def _on_lines(volume: Measure, largest: Measure, graduation: Measure) -> tuple[Measure, ...] | Refusal:
    """Return parts that are whole numbers of lines."""
    lines = volume.ratio(graduation)
    if lines.denominator != 1:
        return Refusal("volume_not_on_a_line", {"volume": volume, "graduation": graduation})
    most = int(largest.ratio(graduation))
    if most < 1:
        return Refusal("limit_below_one_line", {"largest": largest, "graduation": graduation})
    total = int(lines)
    parts = -(-total // most)
    if parts > MOST_PARTS:
        return _too_many(volume, largest, parts)
    each, over = divmod(total, parts)
    line = graduation.to("mL")
    return (line.scaled(each + 1),) * over + (line.scaled(each),) * (parts - over)
