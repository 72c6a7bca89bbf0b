"""What a label says of a syringe, and when there is none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from kiosk.core.catalogue.container import Form
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.routes import Route
from kiosk.core.findings import Refusal
from kiosk.core.label.code import check_character
from kiosk.core.label.dates import written_limit
from kiosk.core.label.discard_after import DiscardAfter, Limit
from kiosk.core.label.fields import InSyringe, in_use_fields, label_fields
from kiosk.core.label.says import LabelFields, Shape
from kiosk.core.preparation.two_people import Checked
from kiosk.core.units import Measure
from kiosk.tables.words import languages, words
from tests.core.samples import a_container, a_drug, a_product, an_order

MADE = datetime(2026, 11, 25, 14, 5, tzinfo=UTC)
UNTIL = datetime(2026, 11, 25, 18, 2, tzinfo=UTC)
INITIALS = {"ro": "RO", "mk": "MK"}


@dataclass(frozen=True)
class Proof:
    """A proof as the two-person rule gives it; the rule itself is tested where it lives."""

    facts: str = "digest"
    people: tuple[str, ...] = ("ro", "mk")
    form: str = "independent second person"


ALONE = Proof(people=("ro",), form="one person")


def held(**changes: object) -> InSyringe:
    order = replace(
        an_order(replace(a_drug("prochlorperazine"), name="prochlorPERazine")),
        patient=Patient("p1", "Ines Halvard", "40 118", date(1961, 4, 3), "female", "Bay 3, bed 2"),
    )
    syringe = InSyringe(
        names="A30001K",
        order=order,
        dose=Measure.of("12.5", "mg"),
        volume=Measure.of(1, "mL"),
        strength=Measure.of("12.5", "mg/mL"),
        made_at=MADE,
        discard=DiscardAfter((Limit("immediate_use_limit", UNTIL, "USP <797>"),)),
    )
    return replace(syringe, **changes)  # type: ignore[arg-type]


def says(syringe: InSyringe, proof: Proof = Proof(), language: str = "en") -> LabelFields:
    answer = label_fields(syringe, proof, INITIALS, words(language), language)
    assert isinstance(answer, LabelFields), answer
    return answer


def refused(syringe: InSyringe, proof: Proof = Proof(), initials: Mapping[str, str] = INITIALS) -> Refusal:
    answer = label_fields(syringe, proof, initials, words("en"), "en")
    assert isinstance(answer, Refusal)
    return answer


def test_the_label_says_what_whose_how_much_and_until_when() -> None:
    label = says(held())
    assert (label.drug, label.dose, label.volume, label.strength) == (
        "prochlorPERazine",
        "12.5 mg",
        "in 1 mL",
        "12.5 mg/mL",
    )
    assert label.route == "intramuscular"
    assert (label.patient, label.patient_number, label.patient_born) == (
        "Ines Halvard",
        "40 118",
        "3 Apr 1961",
    )
    assert (label.prepared, label.discard_after) == ("25 Nov 2026 14:05", "25 Nov 2026 18:02")
    assert (label.prepared_by, label.second, label.check_form) == ("RO", "MK", "independently")
    assert label.code == "PC1A30001KQ"
    assert label.training == ""


def test_the_same_in_french() -> None:
    label = says(held(volume=Measure.of("1.5", "mL"), dose=Measure.of("18.75", "mg")), language="fr")
    assert (label.dose, label.volume, label.route) == ("18,75 mg", "dans 1,5 mL", "intramusculaire")
    assert (label.prepared, label.patient_born) == ("25 nov. 2026 14:05", "3 avr. 1961")
    assert label.captions.discard_after == "Jeter après le"


def test_one_person_alone_is_named_for_what_it_was() -> None:
    label = says(held(), ALONE)
    assert (label.prepared_by, label.second, label.check_form) == ("RO", "", "No second check")


def test_insulin_is_said_in_units_and_never_as_u() -> None:
    order = an_order(a_drug("insulin", unit="units"), route=Route.SUBCUTANEOUS)
    label = says(
        held(
            order=order,
            dose=Measure.of(20, "units"),
            volume=Measure.of("0.2", "mL"),
            strength=Measure.of(100, "units/mL"),
            shape=Shape.FLAG,
        )
    )
    assert (label.dose, label.volume, label.strength) == ("20 units", "in 0.2 mL", "100 units/mL")
    assert (label.route, label.shape) == ("subcutaneous", Shape.FLAG)


def test_a_dose_of_many_decimals_is_shown_as_anybody_reads_it_and_marked() -> None:
    # 5 mg/kg for 176 lb: 176 x 0.45359237 x 5 = 399.1612856 mg. Hand arithmetic.
    label = says(
        held(
            dose=Measure.of("399.1612856", "mg"),
            volume=Measure.of("10", "mL"),
            strength=Measure.of("40", "mg/mL"),
        )
    )
    assert (label.dose, label.volume) == ("≈ 399.2 mg", "in 10 mL")
    exact = says(held(dose=Measure.of("12.8125", "mg"), volume=Measure.of("1.025", "mL")))
    assert (exact.dose, exact.volume) == ("12.8125 mg", "in 1.025 mL")


def test_safe_notation_groups_thousands_and_never_drops_the_leading_zero() -> None:
    # Joint Commission and ISMP lists: leading zero always, 100,000 grouped.
    label = says(
        held(
            dose=Measure.of("60000", "units"),
            volume=Measure.of("0.5", "mL"),
            strength=Measure.of("120000", "units/mL"),
        )
    )
    assert (label.dose, label.volume, label.strength) == ("60,000 units", "in 0.5 mL", "120,000 units/mL")


def test_a_drug_ordered_by_volume_shows_no_strength() -> None:
    three = Measure.of(3, "mL")
    assert says(held(dose=three, volume=three, strength=Measure.of(1, "mL/mL"))).strength == ""


def test_training_and_further_copies_are_marked() -> None:
    label = says(held(training=True, copy=2, names="A30001K2"))
    assert (label.training, label.copy, label.captions.copy) == ("TRAINING, NOT FOR USE", 2, "copy")


def test_letters_and_accents_come_joined() -> None:
    patient = Patient("p2", "Ine\u0301s Halvard", "1", date(1961, 4, 3), "", "")
    order = replace(an_order(), patient=patient)
    assert says(held(order=order)).patient == "In\u00e9s Halvard"


def test_volume_times_strength_must_be_the_dose() -> None:
    answer = refused(held(strength=Measure.of("1.25", "mg/mL")))
    assert answer.code == "label_figures_disagree"
    assert answer.facts["dose"] == Measure.of("12.5", "mg")


def test_a_dose_off_by_no_more_than_the_drug_allows_is_labelled() -> None:
    # 0.95 mL of 12.5 mg/mL is 11.875 mg: 5 % under, which is what the drug allows; 0.94 mL is 6 %.
    drug = replace(a_drug(), allowed_error=Decimal("0.05"))
    order = an_order(drug)
    assert says(held(order=order, volume=Measure.of("0.95", "mL"))).volume == "in 0.95 mL"
    assert refused(held(order=order, volume=Measure.of("0.94", "mL"))).code == "label_figures_disagree"


def test_dose_and_strength_may_be_in_different_units_of_one_kind() -> None:
    assert says(held(strength=Measure.of("0.0125", "g/mL"))).dose == "12.5 mg"


@pytest.mark.parametrize("late", [UNTIL, UNTIL + timedelta(minutes=1)])
def test_a_syringe_past_its_time_gets_no_label_and_no_copy(late: datetime) -> None:
    answer = refused(held(asked_at=late))
    assert (answer.code, answer.facts["limit"], answer.source) == (
        "label_past_discard",
        "immediate_use_limit",
        "USP <797>",
    )
    assert refused(held(made_at=late)).code == "label_past_discard"


def test_a_minute_before_its_time_it_still_does() -> None:
    assert says(held(asked_at=UNTIL - timedelta(minutes=1))).discard_after == "25 Nov 2026 18:02"


def test_a_tenth_copy_is_refused() -> None:
    assert refused(held(copy=10)).code == "label_too_many_copies"


@pytest.mark.parametrize("initials", [{"ro": "RO"}, {"mk": "MK"}, {"ro": "RO", "mk": ""}])
def test_nobody_without_initials_stands_on_a_label(initials: dict[str, str]) -> None:
    assert refused(held(), initials=initials).code == "label_without_initials"


def test_only_the_two_person_rule_can_make_the_proof() -> None:
    with pytest.raises(TypeError, match="two-person rule"):
        Checked("digest", ("ro", "mk"), "independent second person", object())


def test_a_limit_at_midnight_is_written_as_the_last_minute_of_the_day() -> None:
    assert written_limit(datetime(2026, 12, 1, tzinfo=UTC), words("en")) == "30 Nov 2026 23:59"


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("route", list(Route))
def test_every_route_has_its_words_on_the_label(route: Route, language: str) -> None:
    assert says(held(order=replace(an_order(), route=route)), language=language).route


def test_an_opened_vial_says_when_to_discard_it() -> None:
    # Joint Commission MM.03.01.01 EP 7: opened 15 March, the label says 12 April (28 days).
    opened = datetime(2026, 3, 15, 14, 5, tzinfo=UTC)
    vial = a_container(
        a_product(form=Form.MULTI_DOSE_VIAL),
        id="C001",
        opened_at=opened,
        discard_after=opened + timedelta(days=28),
        left="8.2",
    )
    label = in_use_fields(vial, Measure.of(100, "units/mL"), "RO", words("en"), "en")
    assert (label.opened, label.discard_after) == ("15 Mar 2026 14:05", "12 Apr 2026 14:05")
    assert (label.code, label.left, label.opened_by) == (
        "PV1C001" + check_character("PV1C001"),
        "8.2 mL",
        "RO",
    )


def test_an_unopened_vial_has_no_in_use_label() -> None:
    with pytest.raises(ValueError, match="not open"):
        in_use_fields(a_container(), Measure.of(100, "units/mL"), "RO", words("en"), "en")
