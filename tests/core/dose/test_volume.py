"""The volume that carries a dose. Expected figures are published answers or hand arithmetic, as marked.

Published sets are named beside each case by the title they go under; ``hand`` is worked out in the
comment. Every plan here is the one both computations agree on.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from kiosk.core.catalogue.strength import AmountOnly, PercentWeightInVolume, Powder, Ratio
from kiosk.core.dose.order import DosePerBody, DoseRange
from kiosk.core.dose.plan import RecipeStep, Take
from kiosk.core.dose.volume import volume_plan
from kiosk.core.dose.working import written
from kiosk.core.units import Measure
from tests.core.dose.things import NOW, drug, in_volume, line, m, order, patient, plan, powder, refused, vial

LPN = "Licensed practical nurse college (Alberta), injections quiz 1"


@pytest.mark.parametrize(
    ("dose", "amount", "volume", "wanted", "source"),
    [
        ("8 mg", "10 mg", "1 mL", "0.8", LPN),
        ("250 mg", "1 g", "10 mL", "2.5", LPN),
        ("60 mg", "80 mg", "2 mL", "1.5", LPN),
        ("160 mg", "100 mg", "2 mL", "3.2", LPN),
        ("40 mg", "50 mg", "2 mL", "1.6", LPN),
        ("800 mg", "1.2 g", "6 mL", "4", LPN),
        ("20 mg", "15 mg", "1 mL", "4/3", LPN),
        ("0.125 mg", "250 mcg", "1 mL", "0.5", "hand: 125 mcg of 250 mcg"),
        ("500 nanogram", "0.5 mcg", "1 mL", "1", "hand: 500 nanograms are 0.5 mcg"),
    ],
)
def test_mass_for_mass(dose: str, amount: str, volume: str, wanted: str, source: str) -> None:
    made = plan(order(dose), vial(in_volume(amount, volume)))
    assert made.volume == Measure.of(wanted, "mL"), source


@pytest.mark.parametrize(
    ("unit", "dose", "amount", "volume", "wanted", "source"),
    [
        ("units", "800 units", "5000 units", "5 mL", "0.8", LPN),
        ("units", "15000 units", "25000 units", "1 mL", "0.6", LPN),
        ("units", "6500 units", "5000 units", "1 mL", "1.3", LPN),
        ("mEq", "40 mEq", "15 mEq", "5 mL", "40/3", "US Army MD0904, lesson 2"),
        ("mmol", "6 mmol", "20 mmol", "10 mL", "3", "Humanitarian guideline, potassium chloride 15%"),
        ("mmol", "9 mmol", "20 mmol", "10 mL", "4.5", "Humanitarian guideline, potassium chloride 15%"),
    ],
)
def test_units_mmol_and_mEq_for_their_own_kind(
    unit: str, dose: str, amount: str, volume: str, wanted: str, source: str
) -> None:
    of = drug(unit)
    made = plan(order(dose, of), vial(in_volume(amount, volume), "50 mL", of))
    assert made.volume == Measure.of(wanted, "mL"), source


@pytest.mark.parametrize(
    ("strength", "dose", "wanted", "source"),
    [
        (PercentWeightInVolume(Decimal("15")), "20000 mg", "400/3", "MD0904: 15 % for 20,000 mg is 133.3 mL"),
        (PercentWeightInVolume(Decimal("1")), "225 mg", "22.5", "4.5 mg/kg x 50 kg of 1 %: 22.5 mL"),
        (Ratio(Decimal(1), Decimal(100)), "30 mg", "3", "Ratio strength problem set, items 50-57"),
        (Ratio(Decimal(1), Decimal(200)), "3 mg", "0.6", "Ratio strength problem set, items 50-57"),
        (Ratio(Decimal(1), Decimal(1000)), "0.5 mg", "0.5", "hand: 1 in 1000 is 1 g in 1000 mL, 1 mg/mL"),
    ],
)
def test_percent_and_ratio(
    strength: PercentWeightInVolume | Ratio, dose: str, wanted: str, source: str
) -> None:
    made = plan(order(dose), vial(strength, "500 mL"))
    assert made.volume == Measure.of(wanted, "mL"), source


def test_a_plan_tells_the_dose_in_the_drugs_own_unit() -> None:
    made = plan(order("0.25 g"), vial(in_volume("1 g", "10 mL")))
    assert (made.dose, made.strength) == (m("250 mg"), m("100 mg/mL"))
    assert made.strength.times(made.volume, "mg") == made.dose


def test_an_order_in_millilitres_is_told_as_the_amount_it_carries() -> None:
    # 5 mL of 10 mg/mL is 50 mg: furosemide, LPN college quiz 1
    made = plan(order("5 mL"), vial(in_volume("10 mg", "1 mL")))
    assert (made.volume, made.dose, made.strength) == (m("5 mL"), m("50 mg"), m("10 mg/mL"))


@pytest.mark.parametrize("measured_in", ["mg", "mL"])
def test_an_order_in_millilitres_needs_no_strength(measured_in: str) -> None:
    of = drug(measured_in)
    made = plan(order("0.5 mL", of), vial(AmountOnly(m("10 mg")), "1 mL", of))
    assert (made.volume, made.dose, made.strength) == (m("0.5 mL"), m("0.5 mL"), m("1 mL/mL"))
    assert made.takes == (Take("c1", m("0.5 mL"), m("0.5 mL")),)


def test_a_drug_measured_in_millilitres_is_told_in_millilitres() -> None:
    of = drug("mL")
    made = plan(order("0.5 mL", of), vial(in_volume("20 mcg", "1 mL"), "1 mL", of))
    assert (made.dose, made.strength) == (m("0.5 mL"), m("1 mL/mL"))


# --- several containers ------------------------------------------------------------------------------


def test_containers_are_emptied_one_after_another_and_the_rest_is_told() -> None:
    # hand: 160 mg of 100 mg in 2 mL is 3.2 mL: 2 from the first, 1.2 from the second, 0.8 left
    made = plan(
        order("160 mg"),
        vial(in_volume("100 mg", "2 mL"), "2 mL", id="a"),
        vial(in_volume("100 mg", "2 mL"), "2 mL", id="b"),
    )
    assert made.takes == (Take("a", m("2 mL"), m("0 mL")), Take("b", m("1.2 mL"), m("0.8 mL")))


@pytest.mark.parametrize(
    ("dose", "each", "wanted", "source"),
    [
        ("160 mg", "100 mg", 2, LPN),
        ("15 mg", "10 mg", 2, LPN),
        ("0.6 mg", "0.4 mg", 2, "Licensed practical nurse college (Alberta), injections quiz 2"),
        ("150 mg", "60 mg", 3, "UK mental health nursing drug calculation test, version A"),
        ("70 mg", "20 mg", 4, "UK mental health nursing drug calculation test, version A"),
        ("100 mg", "100 mg", 1, "hand: exactly one"),
    ],
)
def test_too_little_asks_for_more_and_says_how_many(dose: str, each: str, wanted: int, source: str) -> None:
    ampoule = vial(in_volume(each, "1 mL"), "1 mL")
    made = volume_plan(order(dose), (ampoule,) * wanted, NOW)
    assert not hasattr(made, "code"), source
    if wanted > 1:
        short = refused(order(dose), *(ampoule,) * (wanted - 1))
        assert short.code == "more_containers_needed"
        assert short.facts["containers"] == wanted
        assert short.facts["in_hand"] == Measure(Fraction(wanted - 1), "mL")


def test_an_opened_vial_counts_for_what_is_left_in_it() -> None:
    opened = vial(in_volume("10 mg", "1 mL"), "10 mL", id="open", left=m("1.5 mL"))
    fresh = vial(in_volume("10 mg", "1 mL"), "10 mL", id="new")
    made = plan(order("20 mg"), opened, fresh)
    assert made.takes == (Take("open", m("1.5 mL"), m("0 mL")), Take("new", m("0.5 mL"), m("9.5 mL")))
    assert made.containers_needed == 1


@pytest.mark.parametrize("empty", [{"left": m("0 mL")}, {"used_up": True}])
def test_an_empty_container_is_passed_over_with_a_note(empty: dict[str, object]) -> None:
    nothing = vial(in_volume("10 mg", "1 mL"), id="empty", **empty)
    made = plan(order("20 mg"), nothing, vial(in_volume("10 mg", "1 mL"), id="full"))
    assert [take.container for take in made.takes] == ["full"]
    assert [(f.id, f.facts["container"]) for f in made.findings] == [("container_not_needed", "empty")]


def test_a_container_beyond_need_is_noted() -> None:
    made = plan(
        order("5 mg"), vial(in_volume("10 mg", "1 mL"), id="a"), vial(in_volume("10 mg", "1 mL"), id="b")
    )
    assert [(f.id, f.facts["container"]) for f in made.findings] == [("container_not_needed", "b")]


def test_two_labels_of_one_strength_may_be_mixed() -> None:
    made = plan(
        order("30 mg"),
        vial(in_volume("20 mg", "2 mL"), "2 mL", id="a"),
        vial(PercentWeightInVolume(Decimal(1)), "10 mL", id="b"),
    )
    assert [take.volume for take in made.takes] == [m("2 mL"), m("1 mL")]


def test_two_strengths_are_never_mixed_in_one_syringe() -> None:
    answer = refused(
        order("30 mg"), vial(in_volume("10 mg", "1 mL"), id="a"), vial(in_volume("10 mg", "2 mL"), id="b")
    )
    assert answer.code == "mixed_strengths"
    assert (answer.facts["first"], answer.facts["other"]) == (m("10 mg/mL"), m("5 mg/mL"))


@pytest.mark.parametrize("dose", ["30 mg", "0.5 mL"])
def test_another_drug_never_comes_into_the_plan(dose: str) -> None:
    other = drug(id="otherdrug", name="otherDRUG")
    answer = refused(
        order(dose), vial(in_volume("10 mg", "1 mL")), vial(in_volume("10 mg", "1 mL"), of=other, id="b")
    )
    assert (answer.code, answer.facts["in_hand"]) == ("different_drug", "otherDRUG")


@pytest.mark.parametrize("mark", [{"left": m("3 mL")}, {"serial": "S1"}])
def test_one_container_is_not_counted_twice(mark: dict[str, object]) -> None:
    one = vial(in_volume("10 mg", "1 mL"), **mark)
    assert refused(order("40 mg"), one, one).code == "same_container_twice"


def test_overfill_is_not_drawn_upon() -> None:
    ampoule = vial(in_volume("10 mg", "1 mL"), "1 mL", overfill=m("0.1 mL"))
    assert refused(order("10.5 mg"), ampoule).code == "more_containers_needed"
    made = plan(order("10 mg"), ampoule)
    assert [f.id for f in made.findings] == ["overfill_not_counted"]
    assert made.takes[0].left == m("0 mL")


def test_a_stated_and_an_unstated_strength_are_two_strengths() -> None:
    stated, unstated = vial(in_volume("10 mg", "1 mL"), id="a"), vial(AmountOnly(m("10 mg")), id="b")
    for pair in ((stated, unstated), (unstated, stated)):
        assert refused(order("12 mL"), *pair).code == "strength_on_one_only"


def test_two_strengths_of_a_drug_measured_in_millilitres_are_told_apart() -> None:
    of = drug("mL")
    vials = [
        vial(in_volume(amount, "1 mL"), "1 mL", of, id=amount) for amount in ("20 mcg", "20 mg", "20 units")
    ]
    for other in vials[1:]:
        assert refused(order("1.5 mL", of), vials[0], other).code == "mixed_strengths"
    same = vial(in_volume("0.02 mg", "1 mL"), "1 mL", of, id="same")
    assert plan(order("1.5 mL", of), vials[0], same).volume == m("1.5 mL")


def test_an_order_in_doubt_gives_no_plan() -> None:
    assert refused(order("0 mg"), vial(in_volume("10 mg", "1 mL"))).code == "dose_not_positive"


def test_nothing_is_planned_from_nothing() -> None:
    assert refused(order("10 mg")).code == "no_container_yet"


# --- powders -----------------------------------------------------------------------------------------

WHO = "WHO Pocket Book of Hospital Care for Children, 2nd edition 2013, Annex 2"


@pytest.mark.parametrize(
    ("made", "dose", "wanted", "source"),
    [
        (powder("500 mg", "2.1 mL", "0.4 mL"), "200 mg", "1", WHO),
        (powder("250 mg", "4.8 mL", "0.2 mL"), "50 mg", "1", "Injectable medicines textbook, displacement"),
        (powder("250 mg", "5 mL", "0.2 mL"), "50 mg", "1.04", "Injectable medicines textbook, displacement"),
        (powder("1 g", "9.6 mL", to="10 mL"), "300 mg", "3", f"{WHO}: 100 mg/mL"),
        (powder("2 g", "19 mL", to="20 mL"), "1 g", "10", f"{WHO}: 2 g with 19 mL is 20 mL"),
        (powder("1 g", "2.5 mL", strength="330 mg/mL"), "0.375 g", "25/22", "Dosage textbook ch 19: 1.1 mL"),
        (powder("1 g", "2.5 mL", strength="330 mg/mL"), "500 mg", "50/33", "Nursing flash cards: 1.5 mL"),
        (powder("500 mg", to="5 mL"), "200 mg", "2", "hand: 500 mg in 5 mL is 100 mg/mL"),
        (powder("500 mg", strength="50 mg/mL"), "200 mg", "4", "hand: 200 / 50"),
        (powder("1 g", "9.2 mL", "0.8 mL/g"), "250 mg", "2.5", "hand: 9.2 + 0.8 = 10 mL"),
        (powder("500 mg", "9.6 mL", "0.8 mL/g"), "250 mg", "5", "hand: 9.6 + 0.4 = 10 mL, 50 mg/mL"),
    ],
)
def test_a_powder_is_reckoned_by_what_the_label_says(
    made: Powder, dose: str, wanted: str, source: str
) -> None:
    assert plan(order(dose), vial(made, None)).volume == Measure.of(wanted, "mL"), source


@pytest.mark.parametrize(
    ("made", "dose", "wanted"),
    [
        (powder("5000000 units", "18 mL", strength="250000 units/mL"), "500000 units", "2"),
        (powder("5000000 units", "8 mL", strength="500000 units/mL"), "500000 units", "1"),
        (powder("5000000 units", "3 mL", strength="1000000 units/mL"), "2000000 units", "2"),
        (powder("500000 units", "4.8 mL", strength="100000 units/mL"), "150000 units", "1.5"),
    ],
)
def test_powders_in_units(made: Powder, dose: str, wanted: str) -> None:
    # MD0904 final examination; Polk college NUR 1140C; multi-strength label table of nursing textbooks
    of = drug("units")
    assert plan(order(dose, of), vial(made, None, of)).volume == Measure.of(wanted, "mL")


def test_every_vial_of_powder_is_made_up_and_only_what_is_needed_is_drawn() -> None:
    # hand: 600 mg at 200 mg/mL is 3 mL; each vial yields 2.5 mL
    two = [vial(powder("500 mg", "2.1 mL", "0.4 mL"), None, id=name) for name in "ab"]
    made = plan(order("600 mg"), *two)
    assert made.takes == (Take("a", m("2.5 mL"), m("0 mL")), Take("b", m("0.5 mL"), m("2 mL")))
    assert made.containers_needed == 2
    step = ("add_diluent", m("2.1 mL"), "water for injections", m("200 mg/mL"), m("2.5 mL"))
    assert made.recipe == (RecipeStep(*step, container="a"), RecipeStep(*step, container="b"))


def test_a_vial_already_made_up_needs_no_recipe() -> None:
    label = powder("500 mg", "2.1 mL", "0.4 mL")
    made = plan(order("200 mg"), vial(label, None, left=m("1.5 mL"), made_up=label.make_ups[0]))
    assert made.recipe == ()
    assert made.takes == (Take("c1", m("1 mL"), m("0.5 mL")),)


def test_make_up_to_and_add_are_two_recipes() -> None:
    to = plan(order("200 mg"), vial(powder("500 mg", to="5 mL"), None))
    add = plan(order("200 mg"), vial(powder("500 mg", "5 mL", "0.4 mL"), None))
    known = plan(order("200 mg"), vial(powder("250 mg", None, "0.2 mL", to="5 mL"), None))
    assert [step.does for made in (to, add, known) for step in made.recipe] == [
        "make_up_to", "add_diluent", "add_diluent_to_make"
    ]  # fmt: skip
    assert known.recipe[0].volume == m("4.8 mL")  # Injectable medicines textbook: 4.8 mL to make 5
    assert (to.volume, add.volume) == (m("2 mL"), m("2.16 mL"))  # hand: 5.4 mL x 200 / 500


MULTI = Powder(
    m("5000000 units"),
    (
        line("18 mL", strength="250000 units/mL"),
        line("8 mL", strength="500000 units/mL"),
        line("3 mL", strength="1000000 units/mL", routes=frozenset({"intramuscular"})),
    ),
)


def test_of_several_label_lines_one_must_be_chosen() -> None:
    of = drug("units")
    answer = refused(order("500000 units", of), vial(MULTI, None, of))
    assert (answer.code, answer.facts["lines"]) == ("make_up_not_chosen", 3)
    chosen = plan(order("500000 units", of), vial(MULTI, None, of), make_up=MULTI.make_ups[1])
    assert chosen.volume == m("1 mL")
    kept = plan(order("500000 units", of), vial(MULTI, None, of, made_up=MULTI.make_ups[0], left=m("20 mL")))
    assert kept.volume == m("2 mL")


def test_the_concentration_asked_for_chooses_the_line() -> None:
    of = drug("units")
    asked = order("500000 units", of, concentration_asked=Decimal(500000))
    assert plan(asked, vial(MULTI, None, of)).volume == m("1 mL")
    none = order("500000 units", of, concentration_asked=Decimal(7))
    assert refused(none, vial(MULTI, None, of)).code == "make_up_not_chosen"


@pytest.mark.parametrize("spoilt", [{"final_strength": m("1 kg")}, {"final_strength": m("250 mg/mL")}])
def test_a_line_that_makes_no_sense_gives_no_concentration(spoilt: dict[str, object]) -> None:
    of = drug("units")
    label = Powder(MULTI.amount, (replace(MULTI.make_ups[0], **spoilt), MULTI.make_ups[1]))
    asked = order("500000 units", of, concentration_asked=Decimal(500000))
    assert plan(asked, vial(label, None, of)).volume == m("1 mL")
    grams = Powder(m("5 g"), (line(to="5 mL"), line(to="10 mL")))
    assert refused(asked, vial(grams, None, of)).code == "make_up_not_chosen"


def test_a_line_not_on_the_label_is_refused() -> None:
    of = drug("units")
    stranger = line("5 mL", strength="900000 units/mL")
    assert (
        refused(order("500000 units", of), vial(MULTI, None, of), make_up=stranger).code
        == "make_up_not_on_label"
    )


def test_a_line_for_another_route_is_no_line() -> None:
    made = powder("500 mg", to="5 mL", routes=frozenset({"intravenous"}))
    assert refused(order("200 mg"), vial(made, None)).code == "make_up_not_for_route"


@pytest.mark.parametrize(
    ("made", "code"),
    [
        (powder("500 mg", "5 mL"), "strength_after_mixing_not_stated"),
        (Powder(m("500 mg")), "make_up_not_chosen"),
        (powder("500 mg", "2 mL", "0.4 mL", strength="250 mg/mL"), "make_up_contradicts"),
        (powder("500 mg", "5 mL", to="4 mL"), "make_up_contradicts"),
        (powder("500 mg", None, "6 mL", to="5 mL"), "make_up_contradicts"),
        (powder("500 mg", "2 mL", strength="250 units/mL"), "make_up_not_understood"),
        (powder("500 mg", "2 mL", "-1 mL"), "make_up_not_understood"),
        (powder("500 mg", "2 mL", "0.4 mg"), "make_up_not_understood"),
        (powder("500 mg", "0 mL", strength="250 mg/mL"), "make_up_not_understood"),
        (powder("500 mg", to="0 mL"), "make_up_not_understood"),
        (powder("500 mg", "2 mL", strength="0 mg/mL"), "make_up_not_understood"),
        (powder("0 mg", to="5 mL"), "strength_not_understood"),
        (powder("5 mL", to="5 mL"), "strength_not_understood"),
    ],
)
def test_a_label_that_leaves_a_doubt_is_refused(made: Powder, code: str) -> None:
    assert refused(order("200 mg"), vial(made, None)).code == code


def test_a_label_that_only_rounds_is_taken_at_its_word_with_a_note() -> None:
    # hand: 1 g / 330 mg/mL is 3.03 mL; the label says 3 mL: 1 % apart
    made = plan(order("330 mg"), vial(powder("1 g", "2.5 mL", to="3 mL", strength="330 mg/mL"), None))
    assert made.volume == m("1 mL")
    assert [f.id for f in made.findings] == ["make_up_label_rounded"]


# --- bridges and bases -------------------------------------------------------------------------------


def test_mEq_and_mmol_meet_by_the_drugs_valence() -> None:
    # hand: 8 mmol of a divalent ion are 16 mEq; at 4 mEq/mL that is 4 mL
    of = drug("mEq", valence=2)
    assert plan(order("8 mmol", of), vial(in_volume("4 mEq", "1 mL"), "10 mL", of)).volume == m("4 mL")


def test_percent_and_mEq_meet_by_molar_mass_and_valence() -> None:
    # Pharmacy practice page: 2 mL of 50 % magnesium sulfate (246.47 g/mol, valence 2) hold 8.11 mEq
    of = drug("mEq", valence=2, molar_mass_g_per_mol=Decimal("246.47"))
    made = plan(order("2 mL", of), vial(PercentWeightInVolume(Decimal(50)), "10 mL", of))
    assert round(float(made.dose.value), 2) == 8.11
    assert made.dose.value == Fraction(2 * 500) / Fraction("246.47") * 2


@pytest.mark.parametrize(
    ("of", "dose", "code"),
    [
        (drug("mEq"), "8 mmol", "valence_not_given"),
        (drug("mEq", valence=0), "8 mmol", "valence_not_given"),
        (drug("mg", valence=2), "8 mmol", "molar_mass_not_given"),
        (drug("mg", molar_mass_g_per_mol=Decimal("NaN")), "8 mmol", "molar_mass_not_given"),
        (drug("mg"), "8 units", "unit_not_of_this_drug"),
        (drug("units"), "8 mg", "unit_not_of_this_drug"),
        (drug("mL"), "8 mg", "unit_not_of_this_drug"),
        (drug("pinch"), "8 mg", "unit_not_of_this_drug"),
        (drug("mg", molar_mass_g_per_mol=Decimal(50), salt_to_base=Decimal("0.8")), "8 mmol",
         "molar_mass_of_base_or_salt"),
    ],
)  # fmt: skip
def test_without_the_drugs_own_figure_there_is_no_bridge(of: object, dose: str, code: str) -> None:
    strength = in_volume("4 mg" if of.measured_in in ("mg", "mL", "pinch") else f"4 {of.measured_in}", "1 mL")  # type: ignore[attr-defined]
    same = {"stated_as": "base"}
    assert refused(order(dose, of, **same), vial(strength, "10 mL", of, **same)).code == code  # type: ignore[arg-type]


def test_base_and_salt_meet_by_the_stated_equivalence() -> None:
    # hand: 200 mg of a salt that is 0.75 base hold 150 mg of base, in 2 mL: 75 mg/mL
    of = drug(salt_to_base=Decimal("0.75"))
    ampoule = vial(in_volume("200 mg", "2 mL"), of=of, stated_as="salt")
    base = plan(order("150 mg", of, stated_as="base"), ampoule)
    assert (base.volume, base.strength) == (m("2 mL"), m("75 mg/mL"))
    salt = plan(order("150 mg", of, stated_as="salt"), ampoule)
    assert (salt.volume, salt.strength) == (m("1.5 mL"), m("100 mg/mL"))


@pytest.mark.parametrize(
    ("equivalence", "ordered", "labelled", "code"),
    [
        ("0.75", "", "salt", "base_or_salt_not_stated"),
        ("0.75", "base", "", "base_or_salt_not_stated"),
        ("0.75", "", "", "base_or_salt_not_stated"),
        ("0.75", "free base", "salt", "base_or_salt_not_stated"),
        (None, "base", "salt", "salt_equivalence_not_given"),
        ("0", "base", "salt", "salt_equivalence_not_given"),
        ("NaN", "salt", "base", "salt_equivalence_not_given"),
    ],
)
def test_base_and_salt_are_never_guessed(
    equivalence: str | None, ordered: str, labelled: str, code: str
) -> None:
    of = drug(salt_to_base=None if equivalence is None else Decimal(equivalence))
    ampoule = vial(in_volume("200 mg", "2 mL"), of=of, stated_as=labelled)
    assert refused(order("150 mg", of, stated_as=ordered), ampoule).code == code


# --- what cannot be reckoned -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("strength", "code"),
    [
        (AmountOnly(m("50 mg")), "strength_not_stated"),
        (in_volume("0 mg", "1 mL"), "strength_not_understood"),
        (in_volume("-5 mg", "1 mL"), "strength_not_understood"),
        (in_volume("5 mg", "0 mL"), "strength_not_understood"),
        (in_volume("5 mg", "1 mg"), "strength_not_understood"),
        (in_volume("5 mL", "1 mL"), "strength_not_understood"),
        (PercentWeightInVolume(Decimal("0")), "strength_not_understood"),
        (PercentWeightInVolume(Decimal("101")), "strength_not_understood"),
        (PercentWeightInVolume(Decimal("NaN")), "strength_not_understood"),
        (Ratio(Decimal(1), Decimal(0)), "strength_not_understood"),
        (Ratio(Decimal(1000), Decimal(1)), "strength_not_understood"),
        (in_volume("5 units", "1 mL"), "unit_not_of_this_drug"),
    ],
)
def test_a_strength_that_means_nothing_is_refused(strength: object, code: str) -> None:
    assert refused(order("10 mg"), vial(strength)).code == code  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("contents", "varied", "code"),
    [
        (None, {}, "contents_not_known"),
        ("0 mL", {}, "contents_not_known"),
        ("10 mg", {}, "contents_not_known"),
        ("10 mL", {"left": m("-1 mL")}, "left_not_understood"),
        ("10 mL", {"left": m("1 mg")}, "left_not_understood"),
    ],
)
def test_contents_that_are_not_known_are_not_guessed(
    contents: str | None, varied: dict[str, object], code: str
) -> None:
    assert refused(order("10 mg"), vial(in_volume("10 mg", "1 mL"), contents, **varied)).code == code


# --- the working -------------------------------------------------------------------------------------


def lines(form: str, *args: object) -> list[str]:
    made = plan(*args)  # type: ignore[arg-type]
    return [working.text for working in made.working if working.form == form]


def test_the_working_stands_in_both_written_forms() -> None:
    case = (order("250 mg"), vial(in_volume("1 g", "10 mL")))
    assert lines("dimensional", *case) == ["250 mg", "250 mg × (1 g / 1,000 mg) × (10 mL / 1 g) = 2.5 mL"]
    assert lines("desired over have", *case) == [
        "250 mg", "1 g = 1,000 mg", "(250 mg / 1,000 mg) × 10 mL = 2.5 mL"
    ]  # fmt: skip


def test_the_working_of_a_child_and_a_powder_can_be_followed_line_by_line() -> None:
    dose = DosePerBody(m("30 mg/kg/day"), divided_into=3)
    made = plan(order(dose, to=patient("12 kg")), vial(powder("250 mg", "4.8 mL", "0.2 mL"), None))
    assert [(line.note, line.text) for line in made.working if line.form == "dimensional"] == [
        ("dose_for_weight", "12 kg × 30 mg/kg/day = 360 mg"),
        ("divided", "360 mg / 3 = 120 mg"),
        ("displacement", "4.8 mL + 0.2 mL = 5 mL"),
        ("strength_after_mixing", "250 mg / 5 mL = 50 mg/mL"),
        ("volume", "120 mg × (5 mL / 250 mg) = 2.4 mL"),
    ]


def test_a_result_that_is_not_exact_says_so() -> None:
    assert lines("dimensional", order("20 mg"), vial(in_volume("15 mg", "1 mL"))) == [
        "20 mg", "20 mg × (1 mL / 15 mg) ≈ 1.33333 mL"
    ]  # fmt: skip


def test_the_working_is_written_in_the_notation_of_the_language() -> None:
    of = drug("units")
    made = plan(order("7500 units", of), vial(in_volume("5000 units", "1 mL"), "10 mL", of))
    assert written(made.working[-1], "fr") == "(7\u00a0500 unités / 5\u00a0000 unités) × 1 mL = 1,5 mL"


def test_base_for_salt_and_mmol_for_mEq_show_as_lines_of_their_own() -> None:
    of = drug(salt_to_base=Decimal("0.75"))
    case = (order("150 mg", of, stated_as="base"), vial(in_volume("200 mg", "2 mL"), of=of, stated_as="salt"))
    assert lines("dimensional", *case) == ["150 mg", "200 mg = 150 mg", "150 mg × (2 mL / 150 mg) = 2 mL"]
    ion = drug("mEq", valence=2)
    case = (order("8 mmol", ion), vial(in_volume("4 mEq", "1 mL"), of=ion))
    assert lines("dimensional", *case) == ["8 mmol", "8 mmol = 16 mEq", "16 mEq × (1 mL / 4 mEq) = 4 mL"]


def test_a_range_is_reckoned_once_a_dose_is_chosen_in_it() -> None:
    between = DoseRange(m("5 mg"), m("10 mg"), m("7.5 mg"))
    assert plan(order(between), vial(in_volume("10 mg", "1 mL"))).volume == m("0.75 mL")
