"""Cells of the device tables that are more than a number: ages, weights, lists, sources."""

from __future__ import annotations

import re

from kiosk.core.catalogue.basis import AgeSpan, Basis, Known, WeightSpan
from kiosk.core.catalogue.device_tables import Shares
from kiosk.core.catalogue.routes import Route, Site
from kiosk.tables.csv_rows import Row

_AGE = re.compile(r"(\d+) (d|mo)")


def basis(row: Row) -> Basis:
    """Return where the row is from."""
    return Basis(row["source"], Known(row["known"]))


def many(row: Row, column: str) -> tuple[str, ...]:
    """Return the parts of a cell that lists several things between semicolons."""
    return tuple(part.strip() for part in row[column].split(";") if part.strip())


def route(row: Row) -> Route:
    """Return the route the row is for."""
    try:
        return Route(row.text("route"))
    except ValueError as trouble:
        raise row.refused(f"unknown route {row['route']!r}") from trouble


def sites(row: Row, column: str) -> frozenset[Site]:
    """Return the sites a cell lists; none means any."""
    try:
        return frozenset(Site(part) for part in many(row, column))
    except ValueError as trouble:
        raise row.refused(f"unknown site in {row[column]!r}") from trouble


def ages(row: Row, first: str = "age_from", last: str = "age_until") -> AgeSpan:
    """Return the ages between two cells such as ``29 d`` and ``12 mo``; an empty cell is no bound."""
    from_days, from_months = _age(row, first)
    until_days, until_months = _age(row, last)
    return AgeSpan(from_days, from_months, until_days, until_months)


def _age(row: Row, column: str) -> tuple[int | None, int | None]:
    """Return an age cell as (days, None) or (None, months)."""
    if not row.get(column):
        return None, None
    found = _AGE.fullmatch(row[column])
    if found is None:
        raise row.refused(f"{column} is not an age such as '29 d' or '12 mo': {row[column]!r}")
    number = int(found[1])
    return (number, None) if found[2] == "d" else (None, number)


def weights(row: Row) -> WeightSpan:
    """Return the span of body weights of a guide row, in kg."""
    at_least, above, at_most, below = (
        row.measure_or_none(column, "kg") for column in ("from_kg", "over_kg", "to_kg", "below_kg")
    )
    return WeightSpan(at_least, above, at_most, below)


def shares(row: Row) -> Shares:
    """Return a tolerance formula given in percent."""
    nominal, expelled, half = (
        row.decimal(column) / 100
        for column in ("below_half_pct_nominal", "below_half_pct_expelled", "from_half_pct_expelled")
    )
    return Shares(nominal, expelled, half, basis(row))
