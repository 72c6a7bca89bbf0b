"""Facts that follow: everything that follows, nothing that does not, contradictions with both figures."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.follow import Followed, LabelLine, Stated, follow
from kiosk.core.dose.follow_rules import all_rules
from kiosk.core.findings import Level
from kiosk.core.units import Measure


def m(text: str) -> Measure:
    value, unit = text.split(" ")
    return Measure.of(value, unit)


def followed(words: dict[str, str] | None = None, **facts: str) -> Followed:
    return follow(Stated({name: m(text) for name, text in facts.items()}, words or {}), all_rules())


def value(found: Followed, fact: str, unit: str) -> Fraction:
    known = found.value(fact)
    assert known is not None, f"{fact} does not follow from {sorted(found.known)}"
    return known.to(unit).value


# --- what follows -----------------------------------------------------------------------------------


def test_a_dose_and_a_strength_give_the_volume() -> None:
    found = followed(dose="8 mg", stock_strength="10 mg/mL")
    assert value(found, "volume", "mL") == Fraction(4, 5)


def test_a_day_by_weight_in_doses_gives_one_dose_and_its_volume() -> None:
    found = followed(
        body_weight="33 lb",
        lb_per_kg="2.2 lb/kg",
        daily_per_weight="30 mg/kg/day",
        doses_per_day="2 1/day",
        stock_strength="40 mg/mL",
    )
    assert value(found, "weight_kg", "kg") == 15
    assert value(found, "dose", "mg") == 225  # 30 × 15 ÷ 2
    assert value(found, "volume", "mL") == Fraction(225, 40)


def test_without_stated_pounds_the_exact_pound_is_used() -> None:
    assert value(followed(body_weight="10 lb"), "weight_kg", "kg") == Fraction("4.5359237")


def test_displacement_per_gram_enters_the_volume_after_mixing() -> None:
    found = followed(
        powder="500 mg", diluent_added="4.6 mL", displacement_per_amount="0.8 mL/g", dose="300 mg"
    )
    assert value(found, "final_volume", "mL") == 5  # 4.6 + 0.8 × 0.5
    assert value(found, "volume", "mL") == 3


def test_add_and_make_up_to_are_two_strengths() -> None:
    added = followed(stock_strength="10 mg/mL", label_volume="1 mL", diluent_added="10 mL")
    made_up = followed(stock_strength="10 mg/mL", stock_volume="1 mL", final_volume="10 mL")
    assert value(added, "final_concentration", "mg/mL") == Fraction(10, 11)
    assert value(made_up, "final_concentration", "mg/mL") == 1


@pytest.mark.parametrize(
    ("absent", "unit", "expected"),
    [
        ("stock_strength", "mg/mL", 50),
        ("stock_volume", "mL", 4),
        ("final_concentration", "mg/mL", 2),
        ("final_volume", "mL", 100),
    ],
)
def test_c1_v1_is_c2_v2_whichever_is_asked(absent: str, unit: str, expected: int) -> None:
    facts = {
        "stock_strength": "50 mg/mL",
        "stock_volume": "4 mL",
        "final_concentration": "2 mg/mL",
        "final_volume": "100 mL",
    }
    del facts[absent]
    assert value(followed(**facts), absent, unit) == expected


def test_milliequivalents_meet_milligrams_over_molar_mass_and_valence() -> None:
    found = followed(dose="2 mEq", stock_strength="100 mg/mL", molar_mass="100 g/mol", valence="2 mEq/mmol")
    assert value(found, "volume", "mL") == 1  # 2 mEq is 1 mmol is 100 mg


def test_a_worked_out_dose_is_capped_and_raised() -> None:
    capped = followed(body_weight="50 kg", dose_per_weight="25 mg/kg", max_dose="1000 mg")
    raised = followed(body_weight="2 kg", dose_per_weight="25 mg/kg", min_dose="60 mg")
    between = followed(body_weight="20 kg", dose_per_weight="25 mg/kg", min_dose="60 mg", max_dose="1000 mg")
    assert value(capped, "dose", "mg") == 1000
    assert value(raised, "dose", "mg") == 60
    assert value(between, "dose", "mg") == 500


@pytest.mark.parametrize(("dose", "fits"), [("99 mg", 0), ("100 mg", 1), ("150 mg", 1), ("151 mg", 0)])
def test_both_ends_of_a_range_belong_to_it(dose: str, fits: int) -> None:
    found = followed(
        body_weight="10 kg", dose=dose, low_dose_per_weight="10 mg/kg", high_dose_per_weight="15 mg/kg"
    )
    assert value(found, "in_range", "1") == fits


def test_containers_are_counted_up_and_doses_down() -> None:
    found = followed(dose="120 mg", content="80 mg")
    assert value(found, "count", "1") == 2
    assert value(followed(dose="30 mg", content="80 mg"), "doses_in_container", "1") == 2


def test_a_tablet_may_be_halved_and_an_ampoule_not() -> None:
    assert value(followed({"container": "tablet"}, dose="75 mg", content="50 mg"), "count", "1") == Fraction(
        3, 2
    )
    assert value(followed({"container": "ampoule"}, dose="75 mg", content="50 mg"), "count", "1") == 2


def test_what_is_left_over_belongs_to_all_the_containers_opened() -> None:
    found = followed(dose="120 mg", stock_strength="40 mg/mL", container_volume="2 mL")
    assert value(found, "waste_volume", "mL") == 1  # 3 mL out of 2 × 2 mL
    assert value(found, "waste_dose", "mg") == 40


def test_the_label_line_with_the_largest_volume_that_fits_is_chosen() -> None:
    lines = (
        LabelLine(m("18 mL"), m("250000 units/mL")),
        LabelLine(m("8 mL"), m("500000 units/mL")),
        LabelLine(m("3 mL"), m("1000000 units/mL")),
    )
    stated = Stated({"dose": m("600000 units"), "max_injection_volume": m("1.5 mL")}, {}, lines)
    found = follow(stated, all_rules())
    assert value(found, "diluent_added", "mL") == 8  # 2.4, 1.2 and 0.6 mL: 1.2 is the largest that fits
    assert value(found, "volume", "mL") == Fraction(6, 5)


def test_micrograms_a_kilogram_a_minute_become_millilitres_an_hour() -> None:
    found = followed(
        body_weight="70 kg", flow_per_weight="5 mcg/kg/min", stock_strength="1.6 mg/mL", label_volume="250 mL"
    )
    assert value(found, "infusion_rate", "mL/h") == Fraction("13.125")  # 5 × 70 × 60 ÷ 1600


def test_drops_are_counted_by_the_minute() -> None:
    found = followed(infusion_volume="1 L", duration="8 h", drop_factor="20 drop/mL")
    assert value(found, "drip_rate", "drop/min") == Fraction(125, 3)


# --- what does not follow ---------------------------------------------------------------------------


def test_a_powder_whose_own_volume_is_unknown_gives_no_volume() -> None:
    assert followed(powder="1 g", diluent_added="10 mL", dose="250 mg").value("volume") is None


def test_stock_and_mixture_are_not_confused_when_it_is_left_open_which_is_drawn() -> None:
    found = followed(dose="20 mg", stock_strength="10 mg/mL", final_volume="100 mL")
    assert found.value("volume") is None


def test_units_of_a_drug_never_become_milligrams() -> None:
    found = followed(dose="100 mg", stock_strength="100 units/mL")
    assert found.value("volume") is None
    assert [refusal.facts["fact"] for refusal in found.unmet] == ["volume"]


def test_a_body_s_kilograms_do_not_cancel_a_drug_s_milligrams() -> None:
    assert value(followed(dose="120 mg", body_weight="16 kg"), "dose_for_weight", "mg/kg") == Fraction(15, 2)


def test_a_course_of_days_is_no_time_of_flow() -> None:
    found = followed(dose="500 mg", doses_per_day="4 1/day", duration="7 day", stock_strength="50 mg/mL")
    assert value(found, "number_of_doses", "1") == 28
    assert found.value("dose_flow") is None


# --- contradictions ---------------------------------------------------------------------------------


def test_two_ways_that_lead_far_apart_are_refused_with_both_figures() -> None:
    (refusal,) = followed(dose="20 mg", body_weight="10 kg", dose_per_weight="5 mg/kg").refusals
    assert refusal.code == "figures_contradict"
    assert (refusal.facts["first"], refusal.facts["second"]) == (m("20 mg"), m("50 mg"))


def test_two_ways_that_nearly_meet_are_a_caution_and_what_was_stated_stands() -> None:
    """A cefazolin label: 1 g, 3 mL, 330 mg/mL; three times 330 is 990."""
    found = followed(
        powder="1 g",
        diluent_added="2.5 mL",
        final_volume="3 mL",
        final_concentration="330 mg/mL",
        dose="500 mg",
    )
    (finding,) = found.findings
    assert (finding.id, finding.level) == ("figures_differ_a_little", Level.CAUTION)
    assert found.refusals == ()
    assert value(found, "volume", "mL") == Fraction(500, 330)


def test_an_allowed_difference_of_nothing_makes_a_refusal_of_it() -> None:
    facts = {"powder": m("1 g"), "final_volume": m("3 mL"), "final_concentration": m("330 mg/mL")}
    (refusal,) = follow(Stated(facts, allowed_difference=Fraction(0)), all_rules()).refusals
    assert refusal.code == "figures_contradict"


def test_a_fact_stated_twice_must_agree_even_in_units_that_do_not_meet() -> None:
    stated = Stated({"stock_strength": m("10 mg/mL")}, again=(("stock_strength", m("10 units/mL")),))
    (refusal,) = follow(stated, all_rules()).refusals
    assert refusal.code == "figures_contradict"


def test_less_than_the_part_that_is_in_it_is_refused() -> None:
    (refusal,) = followed(powder="500 mg", diluent_added="3 mL", final_volume="2 mL").refusals
    assert refusal.code == "part_exceeds_whole"


def test_an_order_above_its_own_maximum_is_not_cut_but_refused() -> None:
    (refusal,) = followed(dose="400 mg", max_dose="300 mg").refusals
    assert refusal.code == "ordered_over_maximum"


def test_a_rate_that_says_neither_day_nor_dose_is_not_divided() -> None:
    found = followed(
        body_weight="10 kg", dose_per_weight="20 mg/kg", doses_per_day="4 1/day", divided_into="4 1/day"
    )
    assert "per_dose_or_per_day" in [refusal.code for refusal in found.refusals]


def test_an_insulin_barrel_of_another_strength_is_refused() -> None:
    (refusal,) = followed(
        dose="40 units", stock_strength="500 units/mL", barrel_strength="100 units/mL"
    ).refusals
    assert refusal.code == "barrel_of_another_strength"


# --- how it came about ------------------------------------------------------------------------------


def test_the_working_of_a_fact_names_its_rule_its_facts_and_its_figures() -> None:
    known = followed(dose="8 mg", stock_strength="10 mg/mL").known["volume"]
    assert known.rule == "volume = dose ÷ strength"
    assert known.since == ("dose", "strength")
    assert known.terms == (m("8 mg"), "÷", m("10 mg/mL"), "=", Measure.of("0.8", "mL"))


def test_behind_a_fact_stands_only_what_it_rests_on() -> None:
    found = followed(dose="8 mg", stock_strength="10 mg/mL", body_weight="70 kg")
    assert [known.fact for known in found.behind("volume")] == [
        "dose",
        "stock_strength",
        "strength",
        "volume",
    ]


# --- properties -------------------------------------------------------------------------------------

figures = st.fractions(min_value=Fraction(1, 1000), max_value=10**6, max_denominator=1000)


@given(figures, figures, figures, st.integers(1, 12), st.integers(2, 9))
def test_twice_the_weight_is_twice_the_volume(
    rate: Fraction, weight: Fraction, strength: Fraction, doses: int, times: int
) -> None:
    def volume(kilograms: Fraction) -> Fraction:
        facts = {
            "daily_per_weight": Measure(rate, "mg/kg/day"),
            "body_weight": Measure(kilograms, "kg"),
            "doses_per_day": Measure(Fraction(doses), "1/day"),
            "stock_strength": Measure(strength, "mg/mL"),
        }
        return value(follow(Stated(facts), all_rules()), "volume", "mL")

    assert volume(weight) == rate * weight / doses / strength  # the definitions alone
    assert volume(weight * times) == volume(weight) * times


@given(figures, figures)
def test_the_unit_a_figure_comes_in_makes_no_difference(dose: Fraction, strength: Fraction) -> None:
    def volume(amount: str, per: str) -> Fraction:
        facts = {
            "dose": Measure(dose, "mg").to(amount),
            "stock_strength": Measure(strength, "mg/mL").to(per),
        }
        return value(follow(Stated(facts), all_rules()), "volume", "mL")

    assert volume("mg", "mg/mL") == volume("mcg", "g/L") == volume("g", "%") == dose / strength


@given(figures, figures, figures)
def test_a_powder_made_up_and_drawn_whole_gives_back_the_powder(
    powder: Fraction, diluent: Fraction, displaced: Fraction
) -> None:
    facts = {
        "powder": Measure(powder, "mg"),
        "diluent_added": Measure(diluent, "mL"),
        "displacement_volume": Measure(displaced, "mL"),
        "drawn_volume": Measure(diluent + displaced, "mL"),
    }
    found = follow(Stated(facts), all_rules())
    assert value(found, "drawn_dose", "mg") == powder
    assert value(found, "waste_volume", "mL") == 0
