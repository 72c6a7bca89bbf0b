"""Hagen-Poiseuille against published worked problems, two wrong ones among them, and computed tables.

P1 to P9 are the published problems by the numbers of the collection; each names its page.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from kiosk.core.apparatus.flow import Newtons, Pascals, mean_speed, pressure_drop, reynolds, thumb_force
from kiosk.core.units import Measure
from kiosk.tables.device_tables import device_tables
from tests.core.apparatus.samples import mm

FOLDER = Path(__file__).parent / "devices"
NO_FRICTION = Newtons(Decimal(0))
TABLES = device_tables()


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines()))


def flow(ml_per_second: str) -> Measure:
    return Measure.of(ml_per_second, "mL/s")


def test_p1_a_needle_of_31_4_mm() -> None:
    # Physics answer page 'A hypodermic needle is 3.14 cm in length': 85 254.55 Pa. Seen.
    drop = pressure_drop(Decimal("1.0"), mm("31.4"), mm("0.35"), flow("1"))
    assert round(drop, 2) == Decimal("85254.55")
    # Its Reynolds number is about 3640: an arithmetic check only.
    assert round(reynolds(Decimal(1), mm("0.35"), flow("1")), -1) == 3640


def test_p2_the_published_answer_is_ten_times_wrong() -> None:
    # Physics answer page 'hypodermic needle of length 0.020 m' prints 3.54 m/s and 5924 Pa; by hand it is
    # 0.1e-6 / (pi x 0.0003^2) = 0.3537 m/s and 8 x 0.001 x 0.02 x 1e-7 / (pi x 0.0003^4) = 628.8 Pa.
    assert round(mean_speed(mm("0.6"), flow("0.1")), 4) == Decimal("0.3537")
    drop = pressure_drop(Decimal(1), mm("20"), mm("0.6"), flow("0.1"))
    assert round(drop, 1) == Decimal("628.8")
    assert abs(drop - 5924) > 5000


def test_p3_the_published_radius_is_the_diameter() -> None:
    # College Physics 12th ed. ch. 9 solution pages print r = 0.42 mm for 500 mL in 30 min through 25 mm under
    # 1.0 m of water; the law gives r = 0.2061 mm: with the printed one the drop would be far too small.
    rate = Measure(Measure.of(500, "mL").value / 1800, "mL/s")
    head = Decimal("9806.65")
    right = pressure_drop(Decimal(1), mm("25"), mm("0.4122"), rate)
    assert abs(right / head - 1) < Decimal("0.005")
    wrong = pressure_drop(Decimal(1), mm("25"), mm("0.84"), rate)
    assert wrong < head / 10


def test_p4_the_entry_pressure_of_an_infusion() -> None:
    # OpenStax College Physics ch. 12 (from memory): 25 mm, radius 0.150 mm, 0.120 mL/s, vein at 8 mmHg:
    # 1.62e4 Pa at the entry.
    vein = Decimal("133.322") * 8
    entry = pressure_drop(Decimal(1), mm("25"), mm("0.3"), flow("0.12")) + vein
    assert abs(entry - Decimal("16157")) < 5


def test_p5_blood_through_a_transfusion_needle() -> None:
    # Viscosity assumed 4.0 mPa s; 26 mm, 0.81 mm, 2.3 mL/min: 377.3 Pa by hand.
    drop = pressure_drop(Decimal("4.0"), mm("26"), mm("0.81"), Measure.of("2.3", "mL/min"))
    assert round(drop, 1) == Decimal("377.3")


@pytest.mark.parametrize(
    ("volume", "seconds", "bore", "speed"), [("5", "4.9", "0.22", "26.84"), ("4.5", "5.0", "0.29", "13.63")]
)
def test_p6_p7_how_fast_it_runs_in_the_needle(volume: str, seconds: str, bore: str, speed: str) -> None:
    # Pages 'A 5.0 mL syringe' (26.83 m/s, area rounded) and 'A 4.5 mL syringe' (13.6 m/s). Seen.
    rate = Measure(Measure.of(volume, "mL").value / Measure.of(seconds, "s").value, "mL/s")
    assert round(mean_speed(mm(bore), rate), 2) == Decimal(speed)


@pytest.mark.parametrize(("bore", "force"), [("5.5", "0.3168"), ("6.0", "0.3770")])
def test_p8_p9_the_least_force_against_a_vein(bore: str, force: str) -> None:
    # The same two pages: 100 mmHg on barrels of 5.5 and 6.0 mm: 0.316 and 0.376 N printed. Seen.
    pressure = Pascals(Decimal("133.322") * 100)
    assert round(thumb_force(pressure, mm(bore), NO_FRICTION), 4) == Decimal(force)


@pytest.mark.parametrize("row", rows("flow_resistance_nominal"), ids=lambda row: f"{row['gauge']} G")
def test_resistance_by_gauge_from_the_nominal_bore(row: dict[str, str]) -> None:
    tube = TABLES.tubing[int(row["gauge"])]
    assert tube.bore == mm(row["nominal_id_mm"])
    for length in ("13", "16", "25", "38"):
        kilopascals = pressure_drop(Decimal(1), mm(length), tube.bore, flow("1")) / 1000
        printed = Decimal(row[f"kPa_{length}mm"])
        assert abs(kilopascals / printed - 1) < Decimal("0.006"), length


@pytest.mark.parametrize("row", rows("flow_resistance_iso_min"), ids=lambda row: f"{row['gauge']} G")
def test_resistance_at_the_least_bore_the_standard_permits(row: dict[str, str]) -> None:
    # Computed from remembered ISO 9626 minima.
    tube = TABLES.tubing[int(row["gauge"])]
    assert tube.least_bore_regular == mm(row["id_min_regular_mm"])
    assert tube.least_bore_thin == mm(row["id_min_thin_mm"])
    least = pressure_drop(Decimal(1), mm("25"), tube.least_bore_regular, flow("1")) / 1000
    assert abs(least / Decimal(row["kPa_25mm_regular_min"]) - 1) < Decimal("0.006")


@pytest.mark.parametrize(
    "row",
    rows("force_worked"),
    ids=lambda row: f"{row['gauge']} G {row['length_mm']} mm {row['viscosity_mPas']} mPa s",
)
def test_worked_forces(row: dict[str, str]) -> None:
    # Nominal bore (seen) and typical barrel (practice); the viscous part alone.
    bore = TABLES.tubing[int(row["gauge"])].bore
    assert bore is not None
    barrels = {f"{b.capacity.value} mL": b.bore for b in TABLES.bores}
    viscosity, rate = Decimal(row["viscosity_mPas"]), flow(row["flow_mL_s"])
    drop = pressure_drop(viscosity, mm(row["length_mm"]), bore, rate)
    assert abs(drop / 1000 / Decimal(row["pressure_drop_kPa"]) - 1) < Decimal("0.006")
    force = thumb_force(drop, barrels[row["syringe"]], NO_FRICTION)
    assert abs(force - Decimal(row["force_N"])) < Decimal("0.01") + force / 200
    assert abs(reynolds(viscosity, bore, rate) - Decimal(row["reynolds"])) <= 1


def test_the_force_limits_are_those_of_the_study() -> None:
    # Int J Pharm 2018;554:376-386 (18 volunteers): target 20 N, largest acceptable 40 N, 80 N hard. Seen.
    assert (TABLES.force["target"], TABLES.force["most"], TABLES.force["hard"]) == (20, 40, 80)


def test_water_has_its_modern_viscosity() -> None:
    # 'Water - Density Viscosity Specific Weight': 1.002 mPa s at 20 C; the older 1.0087 is kept aside.
    assert TABLES.water_mpa_s == Decimal("1.002")
