"""The figures of stock and scans come from their tables, with a source each."""

from __future__ import annotations

from kiosk.core.units import Measure
from kiosk.tables.stock_figures import in_use_figures, scan_figures


def test_an_opened_vial_is_good_for_28_days_by_its_sources() -> None:
    figures = in_use_figures()
    assert figures.multi_dose_vial == Measure.of(28, "day")  # CDC; USP <797>
    assert figures.nearly_empty == Measure.of("0.1", "mL")
    assert all(source for _, source in figures.sources)


def test_a_scan_repeated_within_a_second_is_one_scan() -> None:
    figures = scan_figures()
    assert figures.repeat_within == Measure.of(1, "s")
    assert figures.expiry_ahead.is_like("day")
