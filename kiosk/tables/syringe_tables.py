"""Loads what is published about barrels: tolerances, scales, bores, and the site's choices."""

from __future__ import annotations

from decimal import Decimal

from kiosk.core.catalogue.basis import Basis
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import InsulinScale, Shares, SyringeBand, TypicalBore
from kiosk.core.units import Measure
from kiosk.tables.csv_rows import BadTable, Door, Row, rows
from kiosk.tables.device_rows import basis, shares


def bands(door: Door = rows) -> tuple[SyringeBand, ...]:
    """Load ISO 7886-1 by range of capacity; the file has one row per figure."""
    by_band: dict[str, dict[str, Row]] = {}
    for row in door("syringe_iso7886", ("band", "attribute")):
        by_band.setdefault(row.text("band"), {})[row.text("attribute")] = row
    return tuple(_band(name, figures) for name, figures in by_band.items())


def _band(name: str, figures: dict[str, Row]) -> SyringeBand:
    """Make one band of its figures."""
    below_nominal, below_expelled, half = (
        figures[attribute].decimal("value") / 100
        for attribute in (
            "tol_below_half_pct_of_nominal",
            "tol_below_half_pct_of_expelled",
            "tol_from_half_pct_of_expelled",
        )
    )
    first = figures["tol_below_half_pct_of_nominal"]
    scale = figures["scale_interval_coarsest"]
    return SyringeBand(
        name,
        first.measure("nominal_from_ml", "mL"),
        first.measure_or_none("nominal_below_ml", "mL"),
        Shares(below_nominal, below_expelled, half, basis(first)),
        figures["max_dead_space"].measure("value"),
        basis(figures["max_dead_space"]),
        scale.measure("value"),
        figures["max_interval_between_numbered_lines"].measure("value"),
        figures["min_scale_length_to_nominal"].measure("value"),
        basis(scale),
    )


def insulin_shares(door: Door = rows) -> dict[str, Shares]:
    """Load the readings of the ISO 8537 tolerance by their id."""
    return {row.text("id"): shares(row) for row in door("insulin_tolerance_iso8537", ())}


def insulin_scales(door: Door = rows) -> tuple[InsulinScale, ...]:
    """Load the scales of ISO 8537."""
    key = ("concentration_units_per_ml", "nominal_ml", "interval_units")
    return tuple(
        InsulinScale(
            row.measure("concentration_units_per_ml", "units/mL"),
            row.measure("nominal_ml", "mL"),
            row.measure("min_scale_mm", "mm"),
            row.measure("interval_units", "units"),
            row.measure("numbered_every_units", "units"),
            basis(row),
        )
        for row in door("insulin_scales_iso8537", key)
    )


def bores(door: Door = rows) -> tuple[TypicalBore, ...]:
    """Load the inner widths of typical barrels, smallest first."""
    made = (
        TypicalBore(row.measure("capacity_ml", "mL"), row.measure("bore_mm", "mm"), basis(row))
        for row in door("barrel_bore", ("capacity_ml",))
    )
    return tuple(sorted(made, key=lambda bore: bore.capacity.value))


def chosen(door: Door = rows) -> dict[str, Row]:
    """Return the chosen row of every choice; exactly one must be chosen."""
    found: dict[str, Row] = {}
    for row in door("device_choices", ("choice", "option")):
        if row.text("chosen") not in ("yes", "no"):
            raise row.refused("chosen is yes or no")
        if row["chosen"] == "yes" and row.text("choice") in found:
            raise row.refused(f"two options are chosen for {row['choice']}")
        if row["chosen"] == "yes":
            found[row.text("choice")] = row
    return found


def policy(options: dict[str, Row]) -> DevicePolicy:
    """Return the site's choices from the chosen rows. Raises ``BadTable`` when one is missing."""

    def row(choice: str) -> Row:
        if choice not in options:
            raise BadTable(f"device_choices.csv: nothing is chosen for {choice}")
        return options[choice]

    def figure(choice: str) -> Decimal:
        return row(choice).decimal("value")

    def seconds(choice: str) -> Measure:
        return row(choice).measure("value", "s")

    return DevicePolicy(
        half_lines=figure("half_lines") == 1,
        least_barrel_share=figure("least_barrel_share"),
        most_full_share=figure("most_full_share"),
        bubble_room_share=figure("bubble_room_share"),
        worst_case_factor=figure("worst_case_factor"),
        worst_case_most=figure("worst_case_most"),
        strict_tolerance=figure("strict_tolerance") == 1,
        insulin_tolerance=row("insulin_tolerance").text("option"),
        filter_for_glass=figure("filter_for_glass") == 1,
        stopper_wipe=seconds("stopper_wipe_s"),
        stopper_dry=seconds("stopper_dry_s"),
        needle_body=row("needle_body").text("option"),
        viscous_from_mpa_s=figure("viscous_from_mpa_s"),
        friction_n=figure("friction_n"),
        small_insulin=row("small_insulin_units").measure("value", "units"),
    )


def choice_bases(door: Door = rows) -> dict[str, Basis]:
    """Return where each chosen option is from, by the name of the choice."""
    return {choice: basis(row) for choice, row in chosen(door).items()}
