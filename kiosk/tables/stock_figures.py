"""Reads the figures of stock and scans: how long an opened vial is kept, which scans are one and the same."""

from __future__ import annotations

from kiosk.core.stock.figures import InUseFigures, ScanFigures
from kiosk.core.units import Measure
from kiosk.tables.csv_rows import BadTable, Row, rows


def in_use_figures() -> InUseFigures:
    """Return the published in-use figures, each with its source. Raises ``BadTable``."""
    found = _by_id("in_use")
    sources = tuple((name, row.text("source")) for name, row in found.items())
    return InUseFigures(
        multi_dose_vial=_figure(found, "multi_dose_vial", "day"),
        nearly_empty=_figure(found, "nearly_empty", "mL"),
        sources=sources,
    )


def scan_figures() -> ScanFigures:
    """Return the figures scans are judged by. Raises ``BadTable``."""
    found = _by_id("scan")
    return ScanFigures(
        repeat_within=_figure(found, "repeat_within", "s"),
        expiry_ahead=_figure(found, "expiry_ahead", "day"),
        expiry_behind=_figure(found, "expiry_behind", "day"),
    )


def _by_id(name: str) -> dict[str, Row]:
    """Return the rows of a table by their id."""
    return {row.text("id"): row for row in rows(name)}


def _figure(found: dict[str, Row], id: str, like: str) -> Measure:
    """Return one figure above zero, of the kind of ``like``. Raises ``BadTable`` where it is missing."""
    if id not in found:
        raise BadTable(f"no row {id!r}")
    value = found[id].measure("value")
    if not value.is_like(like) or value.value <= 0:
        raise found[id].refused(f"{id} must be above zero and of the kind of {like}")
    return value
