"""Loads the whole bundle of device tables, once, when the machine is put together."""

from __future__ import annotations

from kiosk.core.catalogue.device_tables import DeviceTables, Mixing, StepRow, VolumeLimit
from kiosk.core.catalogue.routes import Site
from kiosk.tables import needle_tables, syringe_tables
from kiosk.tables.csv_rows import Door, rows
from kiosk.tables.device_rows import ages, basis, route


def device_tables(door: Door = rows) -> DeviceTables:
    """Load every device table through a door, such as ``with_site(folder)``. Raises ``BadTable``."""
    force = door("force_limits", ())
    return DeviceTables(
        bands=syringe_tables.bands(door),
        insulin_shares=syringe_tables.insulin_shares(door),
        insulin_scales=syringe_tables.insulin_scales(door),
        tubing=needle_tables.tubing(door),
        lengths=needle_tables.lengths(door),
        guides=needle_tables.guides(door),
        gauges=needle_tables.gauges(door),
        needle_notes=needle_tables.notes(door),
        muscle_reach=needle_tables.muscle_reach(door),
        volume_limits=volume_limits(door),
        bores=syringe_tables.bores(door),
        needle_dead_spaces=needle_tables.dead_spaces(door),
        water_mpa_s=needle_tables.water(door),
        force={row.text("id"): row.decimal("newtons") for row in force},
        force_basis={row.text("id"): basis(row) for row in force},
        paces=needle_tables.paces(door),
        steps=steps(door),
        mixing=mixing(door),
        hub_colours=needle_tables.hub_colours(door),
        policy=syringe_tables.policy(syringe_tables.chosen(door)),
        rules=syringe_tables.choice_bases(door) | {r.text("id"): basis(r) for r in door("drawup_rules", ())},
    )


def volume_limits(door: Door = rows) -> tuple[VolumeLimit, ...]:
    """Load how much each site takes, by age."""
    return tuple(
        VolumeLimit(
            row.text("id"),
            route(row),
            Site(row["site"]) if row["site"] else None,
            ages(row),
            row.measure("usual_ml", "mL"),
            row.measure("most_ml", "mL"),
            basis(row),
        )
        for row in door("volume_limits", ())
    )


def steps(door: Door = rows) -> tuple[StepRow, ...]:
    """Load the steps of drawing up in their order."""
    return tuple(
        StepRow(
            row.text("block"),
            row.text("phase"),
            row.text("does"),
            frozenset(row["when"].split()),
            row["amount"],
            row["wait"],
            basis(row),
        )
        for row in door("drawup_steps", ("block", "phase", "does"))
    )


def mixing(door: Door = rows) -> tuple[Mixing, ...]:
    """Load which classes of drug may share a syringe."""
    return tuple(
        Mixing(
            row.text("first_class"),
            row.text("second_class"),
            row.text("together") == "yes",
            row["draw_first"],
            basis(row),
        )
        for row in door("mixing", ())
    )
