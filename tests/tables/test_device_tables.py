"""The device tables as typed rows: all there, all sourced, and refused by file and line when they are not."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from kiosk.core.catalogue.basis import Basis, Known
from kiosk.core.catalogue.device_tables import LengthClass
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.units import Measure
from kiosk.tables import csv_rows
from kiosk.tables.csv_rows import BadTable, rows
from kiosk.tables.device_tables import device_tables
from kiosk.tables.resources import resource

TABLES = device_tables()
DEVICE_FILES = [
    "syringe_iso7886",
    "insulin_scales_iso8537",
    "insulin_tolerance_iso8537",
    "needle_tubing_iso9626",
    "needle_nominal_bore",
    "needle_hub_colour_iso6009",
    "needle_lengths",
    "common_syringes",
    "needle_guide",
    "needle_gauge_by_liquid",
    "needle_notes",
    "muscle_reach",
    "volume_limits",
    "volume_published",
    "barrel_bore",
    "dead_space",
    "fluid_viscosity",
    "force_limits",
    "injection_pace",
    "drawup_devices",
    "drawup_rules",
    "drawup_steps",
    "device_choices",
    "device_facts",
    "mixing",
]


def test_every_file_becomes_as_many_rows_as_it_has() -> None:
    assert len(TABLES.bands) * 7 == len(rows("syringe_iso7886", ("band", "attribute")))
    assert len(TABLES.guides) == len(rows("needle_guide"))
    assert len(TABLES.tubing) == len(rows("needle_tubing_iso9626"))
    assert len(TABLES.steps) == len(rows("drawup_steps", ("block", "phase", "does")))
    assert len(TABLES.volume_limits) == len(rows("volume_limits"))
    assert len(TABLES.lengths) == 14
    assert len(TABLES.insulin_scales) == 11


@pytest.mark.parametrize("name", DEVICE_FILES)
def test_every_row_says_where_it_is_from_and_how_it_is_known(name: str) -> None:
    for row in rows(name, _header(name)):
        assert row["source"]
        assert row["known"] in {"seen", "from memory", "common practice"}
        assert row["source"] != "practice"
        if row["known"] == "common practice":
            assert row["source"].startswith(("common practice", "derived")), row.where


def _header(name: str) -> list[str]:
    with resource("tables", f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return next(csv.reader(handle))


def test_a_finding_says_what_is_from_memory() -> None:
    assert Basis("a standard", Known.FROM_MEMORY).said == "a standard (from memory)"
    assert Basis("a standard", Known.SEEN).said == "a standard"
    assert Basis("common practice, no source", Known.COMMON_PRACTICE).said == "common practice, no source"


def test_the_defaults_of_a_choice_among_sources_are_the_safer_ones() -> None:
    policy = TABLES.policy
    assert policy.filter_for_glass
    assert policy.stopper_wipe == Measure.of(30, "s")  # of 15 and 30 s the longer
    assert policy.insulin_tolerance == "continuous"  # of 1 % and 1.5 % the larger
    assert policy.friction_n == Decimal(6)  # of 2 to 6 N the larger
    assert not policy.half_lines


def test_a_length_spans_what_packs_print_for_it() -> None:
    inch = next(one for one in TABLES.lengths if one.inch == "1 1/2")
    assert (inch.shortest, inch.longest) == (Measure.of(38, "mm"), Measure.of(40, "mm"))
    alone = LengthClass("x", Measure.of(5, "mm"), (), inch.basis)
    assert alone.shortest == alone.longest == Measure.of(5, "mm")


def test_nominal_sizes_lie_within_the_standards_limits() -> None:
    # A check of one table (seen) by another (from memory): outer within its limits, bore not below the least.
    for tube in TABLES.tubing.values():
        if tube.outer is not None and tube.bore is not None:
            assert tube.outer_least <= tube.outer <= tube.outer_most, tube.gauge
            assert tube.bore >= tube.least_bore_regular, tube.gauge


def test_the_common_syringes_keep_to_the_coarsest_scale_the_standard_allows() -> None:
    for row in rows("common_syringes", _header("common_syringes")):
        if row["scale_unit"] == "mL":
            capacity = row.measure("nominal_ml", "mL")
            band = next(
                b
                for b in TABLES.bands
                if b.capacity_from <= capacity and (b.capacity_below is None or capacity < b.capacity_below)
            )
            assert row.measure("graduation", "mL") <= band.coarsest_interval
            assert row.measure("numbered_every", "mL") <= band.numbered_at_most_every


def test_limits_are_never_above_what_some_source_gives() -> None:
    for limit in TABLES.volume_limits:
        assert limit.usual <= limit.most
    published = [
        Decimal(row["high_ml"])
        for row in rows("volume_published", ("site", "age", "source"))
        if row["site"] == Site.DELTOID.value and row["age"] == "adult"
    ]
    adult = next(limit for limit in TABLES.volume_limits if limit.id == "deltoid_adult")
    assert adult.most.decimal == max(published)


Change = Callable[[str], str]


def spoilt(monkeypatch: pytest.MonkeyPatch, folder: Path, name: str, change: Change) -> None:
    """Load from a copy of the tables in which one file is changed."""
    copy = folder / "tables"
    shutil.copytree(resource("tables"), copy)
    path = copy / f"{name}.csv"
    before = path.read_text(encoding="utf-8")
    after = change(before)
    assert after != before
    path.write_text(after, encoding="utf-8")
    monkeypatch.setattr(csv_rows, "resource", lambda *parts: folder.joinpath(*parts))


@pytest.mark.parametrize(
    ("name", "old", "new", "why"),
    [
        ("needle_guide", "intramuscular", "into muscle", "needle_guide.csv:2: unknown route"),
        ("needle_guide", "vastus lateralis", "thigh muscle", "needle_guide.csv:2: unknown site"),
        ("needle_guide", "0 d,29 d", "0 d,4 weeks", "needle_guide.csv:2: age_until is not an age"),
        ("needle_guide", ",any,16,", ",water,16,", "needle_guide.csv:2: unknown liquid"),
        (
            "needle_guide",
            ",16,16,16,22",
            ",16,16,16,22.5",
            "needle_guide.csv:2: thickest_gauge is not a whole",
        ),
        (
            "needle_notes",
            "skin_stretched_flat",
            "something_new",
            "needle_notes.csv:2: no words for the finding",
        ),
        (
            "device_choices",
            "half_lines,yes,no",
            "half_lines,yes,yes",
            "device_choices.csv:3: two options are",
        ),
        (
            "device_choices",
            "half_lines,no,yes",
            "half_lines,no,no",
            "device_choices.csv: nothing is chosen for",
        ),
        (
            "device_choices",
            "half_lines,no,yes",
            "half_lines,no,maybe",
            "device_choices.csv:2: chosen is yes or",
        ),
        ("syringe_iso7886", ",1.5,percent", ",1.5e0,percent", "syringe_iso7886.csv:2: value is not a plain"),
        ("drawup_rules", ",seen", ",", "drawup_rules.csv:2: known must be one of"),
        ("barrel_bore", "1,4.7,", "1,,", "barrel_bore.csv:2: bore_mm is empty"),
    ],
)
def test_a_spoilt_table_is_refused_by_file_and_line(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str, old: str, new: str, why: str
) -> None:
    spoilt(monkeypatch, tmp_path, name, lambda text: text.replace(old, new, 1))
    with pytest.raises(BadTable) as trouble:
        device_tables()
    assert str(trouble.value).startswith(why)


def test_a_site_may_choose_another_option(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def uk(text: str) -> str:
        return text.replace("needle_body,acip,yes", "needle_body,acip,no").replace(
            "needle_body,uk,no", "needle_body,uk,yes"
        )

    spoilt(monkeypatch, tmp_path, "device_choices", uk)
    assert device_tables().policy.needle_body == "uk"


def test_paces_are_known_for_every_route_that_takes_a_needle() -> None:
    assert set(TABLES.paces) == {Route.INTRAMUSCULAR, Route.SUBCUTANEOUS, Route.INTRADERMAL}
