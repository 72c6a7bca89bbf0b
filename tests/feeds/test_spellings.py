"""Unit spellings at the door: what is understood, what is not, and that UCUM codes mean what UCUM says."""

from __future__ import annotations

import warnings
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from typing import Any

import pytest

from kiosk.core.findings import Level
from kiosk.core.units import factor, known_unit, same_kind
from kiosk.feeds.spellings import Spellings, frequencies
from kiosk.tables import csv_rows

ROWS = csv_rows.rows("unit_spellings", ("spelling",))
UNITS = Spellings(ROWS)


def read(text: str) -> tuple[str, Fraction] | None:
    spelt = UNITS.read(text)
    return (spelt.unit, spelt.factor) if spelt else None


@pytest.mark.parametrize(
    ("text", "unit", "times"),
    [
        ("mg", "mg", 1),
        ("micrograms", "mcg", 1),
        ("Micrograms", "mcg", 1),
        ("ug", "mcg", 1),
        ("IU", "units", 1),
        ("[USP'U]", "units", 1),
        ("million units", "units", 1_000_000),
        ("10*6.[IU]", "units", 1_000_000),
        ("mL", "mL", 1),
        ("millilitre(s)", "mL", 1),
        ("teaspoons", "mL", 5),
        ("tablespoon", "mL", 15),
        ("mg/kg/day", "mg/kg/day", 1),
        ("mg/kg/d", "mg/kg/day", 1),
        ("mg/(kg.d)", "mg/kg/day", 1),
        ("mcg per kg per min", "mcg/kg/min", 1),
        ("mg/kg/24 h", "mg/kg/day", 1),
        ("mg/5 mL", "mg/mL", Fraction(1, 5)),
        ("g/100 mL", "%", 1),
        ("% w/v", "%", 1),
        ("mg/dL", "mg/mL", Fraction(1, 100)),
        ("units/mL", "units/mL", 1),
        ("doses per day", "1/day", 1),
        ("lb/kg", "lb/kg", 1),
        ("mEq/mmol", "mEq/mmol", 1),
        ("ampoules", "1", 1),
        ("years", "month", 12),
        ("ft", "in", 12),
    ],
)
def test_a_spelling_of_the_trade_is_understood(text: str, unit: str, times: int | Fraction) -> None:
    assert read(text) == (unit, Fraction(times))


@pytest.mark.parametrize(
    "text",
    [
        "mgg", "KG", "Mg", "", " ", "/", "mg//mL", "mg/", "banana", "ug/kg.min", "mg/0 mL", "mg*kg", "1:1000",
        "mL" * 40, "mg/kg/furlong", "mg\nmL", "𝐦𝐠",
    ],
)  # fmt: skip
def test_an_unknown_spelling_is_not_guessed(text: str) -> None:
    assert UNITS.read(text) is None


@pytest.mark.parametrize(
    ("text", "form", "instead"),
    [
        ("cc", "cc", "mL"),
        ("U", "U", "units"),
        ("IU/mL", "IU", "units"),
        ("µg", "µg", "mcg"),
        ("μg/kg", "µg", "mcg"),
        ("MU", "MU", "million units"),
    ],
)
def test_an_unsafe_spelling_is_understood_and_reported(text: str, form: str, instead: str) -> None:
    spelt = UNITS.read(text)
    assert spelt is not None
    (finding,) = spelt.findings
    assert finding.id == "unsafe_unit"
    assert finding.level is Level.CAUTION
    assert finding.facts == {"form": form, "write_instead": instead}
    assert "ISMP" in finding.source or "Joint Commission" in finding.source


@pytest.mark.parametrize(
    "text", ["mg", "mcg", "units", "mL", "mg/kg/day", "%", "million units", "[IU]", "ug"]
)
def test_a_safe_spelling_raises_no_finding(text: str) -> None:
    spelt = UNITS.read(text)
    assert spelt is not None
    assert spelt.findings == ()


def test_per_dose_is_told_apart_from_nothing_said() -> None:
    outright, silent = UNITS.read("mg/kg/dose"), UNITS.read("mg/kg")
    assert outright is not None
    assert silent is not None
    assert (outright.unit, outright.per_dose) == ("mg/kg", True)
    assert (silent.unit, silent.per_dose) == ("mg/kg", False)


def test_a_figure_comes_back_in_the_unit_it_was_written_in() -> None:
    spelt = UNITS.read("million units")
    assert spelt is not None
    measure = spelt.measure(Decimal("1.2"))
    assert (measure.value, measure.unit) == (1_200_000, "units")
    assert spelt.back(measure) == Fraction(6, 5)


@pytest.mark.parametrize("row", ROWS, ids=[row["spelling"] for row in ROWS])
def test_every_row_leads_to_the_closed_list(row: dict[str, str]) -> None:
    assert row["unit"] == "1" or known_unit(row["unit"])
    assert Fraction(row["factor"]) > 0
    assert bool(row["level"]) == bool(row["write_instead"])
    assert read(row["spelling"]) is not None


def test_how_often_a_day_is_read_from_its_own_table() -> None:
    often = frequencies(csv_rows.rows("frequency_spellings", ("spelling",)))
    assert often["tds"].factor == 3
    assert often["every other day"].factor == Fraction(1, 2)
    assert often["qd"].level == "caution"


# --- against a general-purpose UCUM library (ucumvert, MIT) -----------------------------------------
# It counts international units, equivalents and drops as pure numbers, and its year and month are averages:
# those rows are compared nowhere. Braced counts are ours.
OURS_ALONE = ("[IU]", "[iU]", "[USP'U]", "[arb'U]", "meq", "eq", "[drp]", "[gr]", "%", "g%", "mo", "a", "1")
UCUM = [
    row["spelling"]
    for row in ROWS
    if row["source"].startswith("Unified Code")
    and not any(code in row["spelling"] for code in OURS_ALONE if "[" in code)
    and row["spelling"] not in OURS_ALONE
    and not row["spelling"].startswith("{")
]
PAIRS = [
    (one, other)
    for one, other in combinations(UCUM, 2)
    if same_kind(read(one)[0], read(other)[0])  # type: ignore[index]
]


@pytest.fixture(scope="module")
def ucum() -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from ucumvert import PintUcumRegistry

        return PintUcumRegistry(non_int_type=Decimal)


def test_there_are_ucum_codes_to_compare() -> None:
    assert len(UCUM) > 25
    assert len(PAIRS) > 40


@pytest.mark.parametrize(("one", "other"), PAIRS, ids=[f"{one} in {other}" for one, other in PAIRS])
def test_a_ucum_code_converts_as_ucum_says(ucum: Any, one: str, other: str) -> None:
    here, there = UNITS.read(one), UNITS.read(other)
    assert here is not None
    assert there is not None
    ours = here.factor * factor(here.unit, there.unit) / there.factor
    theirs = (1 * ucum.from_ucum(one)).to(ucum.from_ucum(other)).magnitude
    assert float(ours) == pytest.approx(float(theirs), rel=1e-9)
