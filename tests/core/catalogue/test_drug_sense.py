"""What cannot be meant about an entry, and that what can be meant passes: cases by hand, common practice."""

from __future__ import annotations

import string
from dataclasses import replace
from decimal import Decimal

import pytest

from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.drug_sense import entry_nonsense
from kiosk.core.catalogue.strength import AmountInVolume, PercentWeightInVolume, Powder, Ratio
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from kiosk.tables.words import languages, words
from tests.counter import ward


def mg(amount: str, per: str = "") -> Measure:
    return Measure.of(amount, f"mg{per}")


STRENGTH = AmountInVolume(mg("10"), Measure.of(1, "mL"))
DOSE = DoseLimit("dose", mg("1"), mg("10"), source="invented")
DAY = DoseLimit("day", None, mg("40"), source="invented")
SOUND = Drug("haloperidol", "haloperidol", "mg", limits=(DOSE, DAY), source="invented", strengths=(STRENGTH,))


def limited(*limits: DoseLimit) -> Drug:
    return replace(SOUND, limits=limits)


NONSENSE = [
    ("entry_field_empty", "name", replace(SOUND, name=" ")),
    ("entry_field_empty", "source", replace(SOUND, source="")),
    ("entry_unit_unknown", "measured_in", replace(SOUND, measured_in="spoonful", limits=())),
    ("entry_weight_basis", "weight_basis", replace(SOUND, weight_basis="guessed")),
    ("entry_no_strength", "strengths", replace(SOUND, strengths=())),
    ("entry_no_strength", "strengths", replace(SOUND, strengths=(STRENGTH, Powder(mg("0"))))),
    ("entry_no_strength", "strengths", replace(SOUND, strengths=(PercentWeightInVolume(Decimal(0)),))),
    ("entry_no_strength", "strengths", replace(SOUND, strengths=(Ratio(Decimal(0), Decimal(1000)),))),
    (
        "entry_no_strength",
        "strengths",
        replace(SOUND, strengths=(AmountInVolume(mg("1"), Measure.of(0, "mL")),)),
    ),
    ("entry_allowed_error", "allowed_error", replace(SOUND, allowed_error=Decimal(0))),
    ("entry_allowed_error", "allowed_error", replace(SOUND, allowed_error=Decimal(5))),
    ("entry_interval", "least_interval", replace(SOUND, least_interval=Measure.of(0, "h"))),
    ("entry_interval", "least_interval", replace(SOUND, least_interval=mg("6"))),
    ("entry_figure_nothing", "valence", replace(SOUND, valence=0)),
    ("entry_figure_nothing", "salt_to_base", replace(SOUND, salt_to_base=Decimal("-0.8"))),
    ("entry_limit_nothing", "high", limited(replace(DOSE, low=None, high=None))),
    ("entry_limit_unit", "unit", limited(replace(DOSE, low=None, high=Measure.of(10, "mL")))),
    ("entry_limit_unit", "unit", limited(replace(DOSE, low=None, high=mg("10", "/kg")))),
    ("entry_limit_unit", "unit", limited(replace(DOSE, per="kg"))),
    ("entry_limit_unit", "unit", limited(replace(DOSE, per="fortnight"))),
    ("entry_limit_below_nothing", "high", limited(replace(DOSE, low=None, high=mg("0")))),
    ("entry_limit_below_nothing", "high", limited(replace(DOSE, low=mg("-1")))),
    ("entry_limit_upside_down", "high", limited(replace(DOSE, low=mg("10.1")))),
    ("entry_limit_upside_down", "high", limited(replace(DOSE, high=Measure.of(900, "mcg")))),
    ("entry_limit_ages", "max_age_days", limited(replace(DOSE, min_age_days=10, max_age_days=9))),
    ("entry_limit_twice", "per", limited(DOSE, replace(DOSE, high=mg("12")))),
    ("entry_dose_over_day", "high", limited(replace(DOSE, high=mg("41")), DAY)),
    ("entry_dose_over_day", "high", limited(DAY, replace(DOSE, high=Measure.of("0.0401", "g")))),
]


@pytest.mark.parametrize(("code", "column", "drug"), NONSENSE, ids=lambda x: x if isinstance(x, str) else "")
def test_what_cannot_be_meant_is_named_with_its_column(code: str, column: str, drug: Drug) -> None:
    found = entry_nonsense(drug)
    assert found is not None
    assert (found.why.code, found.column) == (code, column)


def test_a_sound_entry_passes_and_so_does_the_nearest_to_each_nonsense() -> None:
    for drug in (
        SOUND,
        limited(),
        limited(replace(DOSE, low=mg("10"))),
        limited(replace(DOSE, high=Measure.of(1000, "mcg"))),
        limited(replace(DOSE, high=mg("40")), DAY),
        limited(replace(DOSE, high=mg("41"), min_age_days=1), DAY),
        limited(replace(DOSE, min_age_days=10, max_age_days=10)),
        limited(DOSE, replace(DOSE, routes=frozenset({"oral"}))),
        limited(DoseLimit("kg/day", None, mg("41", "/kg/day"), source="x"), DAY),
        replace(SOUND, allowed_error=Decimal("0.999"), least_interval=Measure.of(1, "min")),
    ):
        assert entry_nonsense(drug) is None, drug


def test_a_dose_by_weight_is_compared_with_the_day_by_weight() -> None:
    dose = DoseLimit("kg", None, mg("2", "/kg"), source="x")
    day = DoseLimit("kg/day", None, mg("1", "/kg/day"), source="x")
    found = entry_nonsense(limited(dose, day))
    assert found is not None
    assert found.why.code == "entry_dose_over_day"


def test_every_entry_of_the_demo_ward_can_be_meant() -> None:
    assert {drug.id: entry_nonsense(drug) for drug in ward().drugs if entry_nonsense(drug)} == {}


@pytest.mark.parametrize("language", languages())
def test_each_nonsense_has_its_sentences_and_their_facts(language: str) -> None:
    entries = words(language)
    for code, _, drug in NONSENSE:
        found = entry_nonsense(drug)
        assert found is not None
        assert isinstance(found.why, Refusal)
        for sentence in ("what", "why", "now"):
            asked = string.Formatter().parse(entries[f"refusal.{code}.{sentence}"])
            assert {name for _, name, _, _ in asked if name} <= set(found.why.facts)
