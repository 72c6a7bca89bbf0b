"""The figures that stock and scans are judged by; each is a row of a table with its source."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class InUseFigures:
    """How an opened vial is kept where the maker says nothing.

    ``multi_dose_vial`` is the longest time from the first puncture; ``nearly_empty`` the volume at or below
    which a vial counts as empty. ``sources`` names the source of each by its field.
    """

    multi_dose_vial: Measure
    nearly_empty: Measure
    sources: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ScanFigures:
    """When the same symbol again is the same scan, and which expiry dates are out of the question."""

    repeat_within: Measure
    expiry_ahead: Measure
    expiry_behind: Measure
