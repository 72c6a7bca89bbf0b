"""Reads the figures of signing on, and a site's own stricter ones."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from pathlib import Path
from typing import Final

from kiosk.core.catalogue.check_tables import Figure
from kiosk.core.catalogue.sign_on import SignOnFigures, site_figures
from kiosk.core.findings import Refusal
from kiosk.tables.csv_rows import BadTable, Row, read, rows

_FILE: Final = "sign_on.csv"


def sign_on_figures(site: Path | None = None, own: Iterable[Figure] | None = None) -> SignOnFigures:
    """Return the published figures, made stricter by ``sign_on.csv`` in the folder of a site.

    ``own`` are figures that take the place of those in the site's file. Raises ``BadTable``, also when a
    site's figure is looser than the published one.
    """
    published = _figures(_figure(row) for row in rows("sign_on"))
    if own is None:
        filed = site is not None and (site / _FILE).exists()
        own = [_figure(row) for row in read(site / _FILE)] if site is not None and filed else []
    stricter = site_figures(published, own)
    if isinstance(stricter, Refusal):
        raise BadTable(f"{_FILE}: {stricter.code}: {stricter.facts['figure']}")
    return stricter


def _figure(row: Row) -> Figure:
    """Return one figure, above zero."""
    value = row.measure("value")
    if value.value <= 0 or row["stricter"] not in ("lower", "higher"):
        raise row.refused("a figure is above zero and says which way is stricter: lower or higher")
    return Figure(row.text("id"), value, row["stricter"], row["source"])


def _figures(found: Iterable[Figure]) -> SignOnFigures:
    """Return the figures by name; the table must have exactly those that are asked for."""
    by_name = {figure.name: figure for figure in found}
    wanted = {field.name for field in fields(SignOnFigures)}
    if by_name.keys() != wanted:
        raise BadTable(f"{_FILE}: missing or unknown: {sorted(by_name.keys() ^ wanted)}")
    return SignOnFigures(**by_name)
