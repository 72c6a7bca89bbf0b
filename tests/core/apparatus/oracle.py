"""A second reading of the device tables, straight from the CSV files and by plain decimals.

Shares nothing with the loader or the rules it judges: own parsing, own arithmetic, own matching of rows.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

TABLES = Path(__file__).parents[3] / "resources" / "tables"
D = Decimal


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    with (TABLES / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return tuple(csv.DictReader(handle))


def chosen(choice: str) -> Decimal:
    (row,) = [r for r in rows("device_choices") if r["choice"] == choice and r["chosen"] == "yes"]
    return D(row["value"])


def tolerance_share(capacity_ml: Decimal, volume_ml: Decimal) -> Decimal:
    """ISO 7886-1 tolerance of a mL barrel, as a share of the volume."""
    figures = {
        row["attribute"]: D(row["value"]) / 100
        for row in rows("syringe_iso7886")
        if D(row["nominal_from_ml"]) <= capacity_ml
        and (not row["nominal_below_ml"] or capacity_ml < D(row["nominal_below_ml"]))
        and row["unit"] == "percent"
    }
    if volume_ml < capacity_ml / 2:
        off = figures["tol_below_half_pct_of_nominal"] * capacity_ml
        return (off + figures["tol_below_half_pct_of_expelled"] * volume_ml) / volume_ml
    return figures["tol_from_half_pct_of_expelled"]


@dataclass(frozen=True)
class Someone:
    """A body as the guide asks of it; ``kg`` None is not weighed, ``sex`` empty not recorded."""

    born: date
    on: date
    kg: Decimal | None
    sex: str


def _old(bound: str, body: Someone) -> bool:
    """Whether somebody is at least as old as a bound such as ``29 d`` or ``12 mo``."""
    number, unit = bound.split()
    if unit == "d":
        return (body.on - body.born).days >= int(number)
    years, months = divmod(int(number), 12)
    month = body.born.month - 1 + months
    year = body.born.year + years + month // 12
    for day in range(body.born.day, 27, -1):
        try:
            return body.on >= date(year, month % 12 + 1, day)
        except ValueError:
            continue
    return body.on >= date(year, month % 12 + 1, body.born.day)


def _heavy(row: dict[str, str], kg: Decimal) -> bool:
    return (
        (not row["from_kg"] or kg >= D(row["from_kg"]))
        and (not row["over_kg"] or kg > D(row["over_kg"]))
        and (not row["to_kg"] or kg <= D(row["to_kg"]))
        and (not row["below_kg"] or kg < D(row["below_kg"]))
    )


def _for(route: str, site: str, liquid: str, body: Someone) -> Iterator[dict[str, str]]:
    for row in rows("needle_guide"):
        if (
            row["route"] == route
            and row["body"] in ("acip", "general")
            and site in row["sites"].split(";")
            and row["liquid"] in ("any", liquid)
            and _old(row["age_from"], body)
            and not (row["age_until"] and _old(row["age_until"], body))
        ):
            yield row


def span(mm: Decimal) -> tuple[Decimal, Decimal]:
    """The millimetres that packs print for the same inches."""
    for row in rows("needle_lengths"):
        same = [D(row["exact_mm"]), *(D(m) for m in row["labelled_mm"].split(";"))]
        if min(same) <= mm <= max(same):
            return min(same), max(same)
    return mm, mm


def needle_forbidden(route: str, site: str, liquid: str, body: Someone, gauge: int, mm: Decimal) -> str:
    """Why the tables forbid a needle; empty when they do not."""
    found = list(_for(route, site, liquid, body))
    found = [r for r in found if r["body"] == "acip"] or found
    found = [r for r in found if r["liquid"] != "any"] or found
    weighing = [r for r in found if any(r[k] for k in ("from_kg", "over_kg", "to_kg", "below_kg"))]
    if weighing:
        if body.kg is None:
            return "no weight"
        found = [r for r in weighing if _heavy(r, body.kg)]
    found = [r for r in found if not r["sex"] or not body.sex or r["sex"] == body.sex]
    if not found:
        return "no row"
    for row in found:
        if not span(D(row["shortest_mm"]))[0] <= mm <= span(D(row["longest_mm"]))[1]:
            return f"length against {row['id']}"
    if liquid == "viscous":
        found = [r for r in rows("needle_gauge_by_liquid") if (r["route"], r["liquid"]) == (route, "viscous")]
    gauged = [r for r in found if r["thickest_gauge"]]
    outside = [r for r in gauged if not int(r["thickest_gauge"]) <= gauge <= int(r["finest_gauge"])]
    return "gauge" if outside else ""
