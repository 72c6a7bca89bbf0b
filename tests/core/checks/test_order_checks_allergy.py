"""Allergy by drug, by class, and by classes that cross; in English and French, as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.drug import Drug
from kiosk.core.checks.order_checks_allergy import groups_of, names_drug, plain
from kiosk.core.findings import Level
from tests.core.checks.ward import (
    CEFTRIAXONE,
    GENTAMICIN,
    HEPARIN,
    MORPHINE,
    TABLES,
    a_drug,
    a_patient,
    an_order,
    findings,
    ids,
    limit,
    the_finding,
)


def a_listed(id: str, group: str) -> Drug:
    return a_drug(id, "mg", limit("dose", "1 mg", "2000 mg"), allergy_classes=frozenset({group}))


PENICILLIN = a_listed("benzylpenicillin", "penicillin")
MEROPENEM = a_listed("meropenem", "carbapenem")
KETOROLAC = a_listed("ketorolac", "nsaid")
ENOXAPARIN = a_listed("enoxaparin", "low molecular weight heparin")
FENTANYL = a_listed("fentanyl", "phenylpiperidine opioid")
LIDOCAINE = a_listed("lidocaine", "amide local anaesthetic")
FUROSEMIDE = a_listed("furosemide", "sulfonamide other")


def allergic(drug: Drug, *allergies: str) -> list[str]:
    dose = "5000 units" if drug is HEPARIN else "250 mg" if drug.id != "morphine" else "5 mg"
    weight = "62 kg" if drug is GENTAMICIN else ""
    return ids(an_order(drug, dose, a_patient(weight=weight, allergies=allergies)))


@pytest.mark.parametrize(
    ("drug", "allergy", "seen"),
    [
        (PENICILLIN, "penicillin", "allergic_to_drug"),
        (PENICILLIN, "Penicillins", "allergic_to_drug"),
        (PENICILLIN, "PÉNICILLINE (urticaire)", "allergic_to_drug"),
        (PENICILLIN, "amoxicillin - rash 2019", "allergic_to_drug"),
        (PENICILLIN, "benzylpenicillin", "allergic_to_drug"),
        (CEFTRIAXONE, "ceftriaxone", "allergic_to_drug"),
        (CEFTRIAXONE, "penicillin", "allergy_may_cross"),
        (MEROPENEM, "penicillin", "allergy_seldom_crosses"),
        (PENICILLIN, "cefalexin", "allergy_crosses"),
        (KETOROLAC, "aspirin", "allergic_to_drug"),
        (KETOROLAC, "AINS", "allergic_to_drug"),
        (ENOXAPARIN, "heparin-induced thrombocytopenia", "allergy_crosses"),
        (HEPARIN, "héparine", "allergic_to_drug"),
        (MORPHINE, "codeine", "allergic_to_drug"),
        (FENTANYL, "morphine", "allergy_seldom_crosses"),
        (LIDOCAINE, "bupivacaine", "allergic_to_drug"),
        (FUROSEMIDE, "sulfa drugs", "allergy_related"),
        (GENTAMICIN, "neomycin", "allergic_to_drug"),
        (MORPHINE, "moon fever", "allergy_not_understood"),
    ],
    ids=lambda value: value.id if isinstance(value, Drug) else None,
)
def test_an_allergy_and_an_order(drug: Drug, allergy: str, seen: str) -> None:
    assert allergic(drug, allergy) == [seen]


@pytest.mark.parametrize(
    ("drug", "allergy"),
    [
        (MORPHINE, "penicillin"),
        (MORPHINE, "latex"),
        (MORPHINE, "arachide"),
        (MORPHINE, "Œufs"),
        (PENICILLIN, "erythromycin"),
        (LIDOCAINE, "procaine"),  # ester against amide: no cross-reaction known; from memory
        (MORPHINE, "none known"),
        (MORPHINE, "NKDA"),
        (MORPHINE, "aucune allergie connue"),
        (MORPHINE, "  "),
    ],
    ids=lambda value: value.id if isinstance(value, Drug) else None,
)
def test_an_allergy_that_is_no_matter_is_silent(drug: Drug, allergy: str) -> None:
    assert allergic(drug, allergy) == []


@pytest.mark.parametrize(
    ("drug", "allergy", "level"),
    [
        (PENICILLIN, "penicillin", Level.STOP),
        (ENOXAPARIN, "heparin", Level.STOP),
        (CEFTRIAXONE, "penicillin", Level.SECOND_PERSON),
        (MEROPENEM, "penicillin", Level.CAUTION),
        (FUROSEMIDE, "sulfa", Level.NOTE),
    ],
    ids=lambda value: value.id if isinstance(value, Drug) else None,
)
def test_how_much_it_weighs(drug: Drug, allergy: str, level: Level) -> None:
    dose = "250 mg"
    assert the_finding(an_order(drug, dose, a_patient(allergies=(allergy,)))).level is level


def test_the_gravest_of_several_speaks() -> None:
    assert allergic(MEROPENEM, "latex", "cefalexin", "penicillin") == ["allergy_seldom_crosses"]
    assert allergic(CEFTRIAXONE, "penicillin", "ceftazidime") == ["allergic_to_drug"]


def test_an_unknown_allergy_beside_a_known_one_is_still_said() -> None:
    assert allergic(MORPHINE, "penicillin", "blue tablets") == ["allergy_not_understood"]


def test_none_and_some_contradict() -> None:
    assert "allergies_contradict" in allergic(MORPHINE, "none known", "penicillin")


def test_a_drug_is_known_by_its_own_name_without_any_class() -> None:
    plain_drug = a_drug("somnolin", "mg", limit("dose", "1 mg", "500 mg"))
    assert allergic(plain_drug, "Somnolin: swelling") == ["allergic_to_drug"]
    assert names_drug("SOMNOLIN", plain_drug)
    assert not names_drug("somnolinate", plain_drug)


def test_a_cross_reaction_names_its_source() -> None:
    (found,) = findings(an_order(CEFTRIAXONE, "1000 mg", a_patient(allergies=("penicillin",))))
    assert "Picard 2019" in found.source
    assert found.facts["share"] == "2.11 % (0.98 to 4.46) with unlike side chains"


def test_words_are_matched_whole() -> None:
    assert groups_of("hit by a car", TABLES.allergy_names) == {
        "heparin"
    }  # rather one too many than one missed
    assert groups_of("white bread", TABLES.allergy_names) == frozenset()


@pytest.mark.parametrize(
    ("written", "is_plain"),
    [
        ("Pénicilline (G)", "penicilline g"),
        ("  Œufs ", "oeufs"),
        ("co-amoxiclav", "co amoxiclav"),
        ("!?", ""),
    ],
)
def test_spelling_is_made_plain(written: str, is_plain: str) -> None:
    assert plain(written) == is_plain


@given(st.text(max_size=60))
def test_no_text_breaks_it(text: str) -> None:
    assert isinstance(allergic(MORPHINE, text), list)
