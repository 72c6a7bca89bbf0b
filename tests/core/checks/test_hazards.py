"""The hazard table: every hazard has a control, every control a test that exists, every check its row."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

from kiosk.core.checks.container_checks import CONTAINER_CHECKS
from kiosk.tables.csv_rows import Row, rows
from tests.core.checks.ward import CHECKS

ROOT = Path(__file__).parents[3]
TABLE = rows("hazards", ("hazard", "control", "check"))

# What can go wrong on the path of a syringe, from the order to the sharps: the list this table must answer.
HAZARDS = {
    "wrong_patient",
    "unclear_order",
    "wrong_drug",
    "wrong_strength",
    "wrong_route",
    "wrong_time",
    "dose_too_soon",
    "overdose",
    "allergy",
    "tenfold_slip",
    "unit_slip",
    "wrong_weight",
    "salt_for_base",
    "day_for_dose",
    "misread_writing",
    "misread_scale",
    "unmeasurable_volume",
    "displacement_ignored",
    "glass_in_dose",
    "wrong_depth",
    "unfit_stock",
    "contaminated_stock",
    "stale_in_use_vial",
    "unlabelled_syringe",
    "swapped_syringe",
    "late_use",
    "check_not_independent",
    "diversion",
    "software_fault",
    "lost_record",
}


@cache
def names_in(path: str) -> frozenset[str]:
    """The names of the tests of one file, those in classes and state machines too."""
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    functions = {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    assigned = {
        target.id
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    return frozenset(name for name in functions | assigned if name.startswith(("test_", "Test")))


def test_every_hazard_of_the_path_is_answered_and_no_other_is_named() -> None:
    assert {row["hazard"] for row in TABLE} == HAZARDS


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row['hazard']}: {row['control']}")
def test_every_control_has_a_test_that_exists(row: Row) -> None:
    path, _, name = row.text("test").partition("::")
    assert (ROOT / path).is_file(), path
    assert name in names_in(path), row["test"]
    assert row.text("cause")
    assert row.text("control")


def test_every_check_stands_in_the_table_under_the_hazard_it_names() -> None:
    named = {(check.id, check.hazard) for check in (*CHECKS, *CONTAINER_CHECKS)}
    listed = {(row["check"], row["hazard"]) for row in TABLE if row["check"]}
    assert named <= listed
    assert {check for check, _ in listed} == {check for check, _ in named}
