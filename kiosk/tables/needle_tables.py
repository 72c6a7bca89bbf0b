"""Loads what is published about needles: tubing, lengths, whose choice for whom, and pace."""

from __future__ import annotations

from decimal import Decimal

from kiosk.core.apparatus.needle_rules import FOOTNOTES
from kiosk.core.catalogue.device_tables import (
    GaugeForLiquid,
    LengthClass,
    Liquid,
    MuscleReach,
    NeedleDeadSpace,
    NeedleGuide,
    NeedleNote,
    Pace,
    Tubing,
)
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.findings import Level
from kiosk.core.units import Measure
from kiosk.tables.csv_rows import Door, Row, rows
from kiosk.tables.device_rows import ages, basis, many, route, sites, weights


def tubing(door: Door = rows) -> dict[int, Tubing]:
    """Load ISO 9626 by gauge number, with the nominal sizes where a chart gives them."""
    nominal = {row.whole("gauge"): row for row in door("needle_nominal_bore", ("gauge",))}
    return {
        row.whole("gauge"): _tubing(row, nominal.get(row.whole("gauge")))
        for row in door("needle_tubing_iso9626", ("gauge",))
    }


def _tubing(row: Row, nominal: Row | None) -> Tubing:
    """Make one gauge of its two rows."""
    return Tubing(
        row.whole("gauge"),
        row.measure("metric_mm", "mm"),
        row.measure("od_min_mm", "mm"),
        row.measure("od_max_mm", "mm"),
        row.measure("id_min_regular_mm", "mm"),
        row.measure_or_none("id_min_thin_mm", "mm"),
        row.measure_or_none("id_min_extra_thin_mm", "mm"),
        basis(row),
        nominal.measure("outer_mm", "mm") if nominal else None,
        nominal.measure("bore_mm", "mm") if nominal else None,
        basis(nominal) if nominal else None,
    )


def lengths(door: Door = rows) -> tuple[LengthClass, ...]:
    """Load the lengths needles come in, shortest first."""
    made = (
        LengthClass(
            row.text("inch"),
            row.measure("exact_mm", "mm"),
            tuple(Measure.of(part, "mm") for part in many(row, "labelled_mm")),
            basis(row),
        )
        for row in door("needle_lengths", ("inch",))
    )
    return tuple(sorted(made, key=lambda length: length.exact.value))


def liquid(row: Row) -> Liquid | None:
    """Return the kind of liquid a row is for; ``any`` is None."""
    try:
        return None if row.text("liquid") == "any" else Liquid(row["liquid"])
    except ValueError as trouble:
        raise row.refused(f"unknown liquid {row['liquid']!r}") from trouble


def guides(door: Door = rows) -> tuple[NeedleGuide, ...]:
    """Load the published choices of needle, one row per population, site and body."""
    return tuple(
        NeedleGuide(
            row.text("id"),
            row.text("body"),
            route(row),
            sites(row, "sites"),
            ages(row),
            weights(row),
            row["sex"],
            liquid(row),
            row.measure("shortest_mm", "mm"),
            row.measure("longest_mm", "mm"),
            row.measure("usual_mm", "mm"),
            row.whole("thickest_gauge") if row["thickest_gauge"] else None,
            row.whole("finest_gauge") if row["finest_gauge"] else None,
            row.whole("angle_deg"),
            basis(row),
        )
        for row in door("needle_guide", ())
    )


def gauges(door: Door = rows) -> tuple[GaugeForLiquid, ...]:
    """Load the gauge numbers for each kind of liquid."""
    return tuple(
        GaugeForLiquid(
            route(row),
            Liquid(row.text("liquid")),
            row.whole("thickest_gauge"),
            row.whole("finest_gauge"),
            row.whole("usual_gauge"),
            basis(row),
        )
        for row in door("needle_gauge_by_liquid", ("route", "liquid"))
    )


def notes(door: Door = rows) -> tuple[NeedleNote, ...]:
    """Load the footnotes of the guide."""
    return tuple(
        NeedleNote(
            row.text("id"),
            frozenset(many(row, "guides")),
            row.measure_or_none("over_mm", "mm"),
            row.measure_or_none("up_to_mm", "mm"),
            ages(row, first="", last="age_until"),
            row.decimal_or_none("bmi_below"),
            _footnote(row),
            Level(row.text("level")),
            basis(row),
        )
        for row in door("needle_notes", ())
    )


def _footnote(row: Row) -> str:
    """Return the finding a footnote raises; one without words is refused."""
    if row.text("finding") not in FOOTNOTES:
        raise row.refused(f"no words for the finding {row['finding']!r}")
    return row["finding"]


def muscle_reach(door: Door = rows) -> tuple[MuscleReach, ...]:
    """Load beyond which body mass index a needle may stay in fat."""
    return tuple(
        MuscleReach(
            Site(row.text("site")),
            row.text("sex"),
            row.decimal("bmi_above"),
            row.measure("length_mm", "mm"),
            basis(row),
        )
        for row in door("muscle_reach", ())
    )


def dead_spaces(door: Door = rows) -> tuple[NeedleDeadSpace, ...]:
    """Load what stays in hub and bore, for the gauges that were measured."""
    return tuple(
        NeedleDeadSpace(row.whole("gauge"), row.measure("volume_ml", "mL"), basis(row))
        for row in door("dead_space", ())
        if row["item"] == "needle"
    )


def paces(door: Door = rows) -> dict[Route, Pace]:
    """Load how slowly each route is injected."""
    return {
        route(row): Pace(route(row), row.decimal("seconds_per_ml"), basis(row))
        for row in door("injection_pace", ("route",))
    }


def water(door: Door = rows) -> Decimal:
    """Load the viscosity of water at 20 C in mPa s: what a drug that states none is taken for."""
    key = ("fluid", "temperature_c", "source")
    found = [r for r in door("fluid_viscosity", key) if (r["fluid"], r["temperature_c"]) == ("water", "20")]
    return next(row.decimal("low_mpa_s") for row in found if row["preferred"] == "yes")


def hub_colours(door: Door = rows) -> dict[int, str]:
    """Load the ISO 6009 colour word by gauge number, where one was found. Decoration only, never a cue."""
    found = door("needle_hub_colour_iso6009", ("gauge",))
    return {row.whole("gauge"): row["colour"] for row in found if row["colour"]}
