"""Loads the whole bundle of device tables, once, when the machine is put together."""

from __future__ import annotations

from kiosk.core.catalogue.device_tables import DeviceTables, Mixing, StepRow, VolumeLimit
from kiosk.core.catalogue.routes import Site
from kiosk.tables import needle_tables, syringe_tables
from kiosk.tables.csv_rows import rows
from kiosk.tables.device_rows import ages, basis, route


def device_tables() -> DeviceTables:
    """Load every device table. Raises ``BadTable``."""
    force = rows("force_limits")
    return DeviceTables(
        bands=syringe_tables.bands(),
        insulin_shares=syringe_tables.insulin_shares(),
        insulin_scales=syringe_tables.insulin_scales(),
        tubing=needle_tables.tubing(),
        lengths=needle_tables.lengths(),
        guides=needle_tables.guides(),
        gauges=needle_tables.gauges(),
        needle_notes=needle_tables.notes(),
        muscle_reach=needle_tables.muscle_reach(),
        volume_limits=volume_limits(),
        bores=syringe_tables.bores(),
        needle_dead_spaces=needle_tables.dead_spaces(),
        water_mpa_s=needle_tables.water(),
        force={row.text("id"): row.decimal("newtons") for row in force},
        force_basis={row.text("id"): basis(row) for row in force},
        paces=needle_tables.paces(),
        steps=steps(),
        mixing=mixing(),
        hub_colours=needle_tables.hub_colours(),
        policy=syringe_tables.policy(),
        rules=syringe_tables.choice_bases() | {r.text("id"): basis(r) for r in rows("drawup_rules")},
    )


def volume_limits() -> tuple[VolumeLimit, ...]:
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
        for row in rows("volume_limits")
    )


def steps() -> tuple[StepRow, ...]:
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
        for row in rows("drawup_steps", ("block", "phase", "does"))
    )


def mixing() -> tuple[Mixing, ...]:
    """Load which classes of drug may share a syringe."""
    return tuple(
        Mixing(
            row.text("first_class"),
            row.text("second_class"),
            row.text("together") == "yes",
            row["draw_first"],
            basis(row),
        )
        for row in rows("mixing")
    )
