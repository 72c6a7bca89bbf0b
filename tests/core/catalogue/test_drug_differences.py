"""What changed between two versions of an entry, field by field. Expected rows are written out by hand."""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import Decimal

import pytest

from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.drug_differences import as_rows, differences, said_by
from kiosk.core.catalogue.drug_sense import LIMIT_PER
from kiosk.core.catalogue.strength import AmountOnly, PercentWeightInVolume, Powder, Ratio
from kiosk.core.units import Measure
from kiosk.tables.words import languages, words
from tests.core.catalogue.test_drug_sense import DAY, DOSE, SOUND, STRENGTH, limited, mg


def changed(before: Drug | None, after: Drug) -> tuple[tuple[str, str, str], ...]:
    return as_rows(differences(before, after))


CHANGES = [
    (replace(SOUND, high_alert=True), (("high_alert", "no", "yes"),)),
    (replace(SOUND, allowed_error=Decimal("0.1")), (("allowed_error", "0.05", "0.1"),)),
    (replace(SOUND, least_interval=Measure.of(6, "h")), (("least_interval", "", "6 h"),)),
    (replace(SOUND, looks_like=frozenset({"b", "a"})), (("looks_like", "", "a; b"),)),
    (
        replace(SOUND, strengths=(STRENGTH, Powder(mg("500")), Ratio(Decimal(1), Decimal(1000)))),
        (("strengths", "10 mg in 1 mL", "10 mg in 1 mL; 500 mg powder; 1 in 1000"),),
    ),
    (
        replace(SOUND, strengths=(PercentWeightInVolume(Decimal("0.9")), AmountOnly(mg("5")))),
        (("strengths", "10 mg in 1 mL", "0.9 %; 5 mg"),),
    ),
    (limited(replace(DOSE, high=mg("12.5")), DAY), (("limit_high a dose", "10 mg", "12.5 mg"),)),
    (limited(DOSE), (("limit_high a day", "40 mg", ""), ("limit_source a day", "invented", ""))),
    (
        limited(DOSE, DAY, DoseLimit("kg", None, mg("1", "/kg"), frozenset({"oral"}), 31, 4382, "a book")),
        (
            ("limit_high a kg from 31 days to 4382 days oral", "", "1 mg/kg"),
            ("limit_source a kg from 31 days to 4382 days oral", "", "a book"),
        ),
    ),
]


@pytest.mark.parametrize(("after", "rows"), CHANGES, ids=lambda x: x[0][0] if isinstance(x, tuple) else "")
def test_a_change_is_told_by_field_before_and_after(
    after: Drug, rows: tuple[tuple[str, str, str], ...]
) -> None:
    assert changed(SOUND, after) == rows
    assert sorted(changed(after, SOUND)) == sorted((field, was, now) for field, now, was in rows)


def test_nothing_changed_is_nothing_told() -> None:
    assert changed(SOUND, replace(SOUND)) == ()


def test_the_same_quantity_in_another_unit_is_told_for_it_is_written_otherwise() -> None:
    assert changed(SOUND, limited(replace(DOSE, high=Measure.of("0.01", "g")), DAY)) == (
        ("limit_high a dose", "10 mg", "0.01 g"),
    )


def test_against_nothing_everything_that_is_said_is_told() -> None:
    told = {field: now for field, _, now in changed(None, SOUND)}
    assert told["name"] == "haloperidol"
    assert told["limit_low a dose"] == "1 mg"
    assert "viscosity_mpa_s" not in told


def test_every_field_of_a_drug_and_of_a_limit_is_looked_at() -> None:
    """A field added later is in every difference, unless somebody leaves it out on purpose."""
    names = {field.name for field, _ in said_by(SOUND)}
    assert {field.name for field in fields(Drug)} - names == {"id", "limits"}
    told_apart_by = {"per", "routes", "min_age_days", "max_age_days"}
    assert {f"limit_{f.name}" for f in fields(DoseLimit) if f.name not in told_apart_by} <= names


@pytest.mark.parametrize("language", languages())
def test_every_field_and_limit_has_its_name(language: str) -> None:
    entries = words(language)
    names = {field.name for field, _ in said_by(SOUND)}
    assert {name for name in names if f"drug_field.{name}" not in entries} == set()
    assert {per for per in LIMIT_PER if f"drug_per.{per.replace('/', '_')}" not in entries} == set()
