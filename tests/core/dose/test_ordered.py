"""What one dose is. Expected figures are published answers or hand arithmetic, as marked."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kiosk.core.catalogue.people import Patient
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Ordered
from kiosk.core.dose.ordered import OneDose, one_dose, read_rate
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.things import drug, m, order, patient


def one(
    dose: Ordered, to: Patient | None = None, basis: str = "actual", **varied: object
) -> OneDose | Refusal:
    return one_dose(order(dose, drug(weight_basis=basis), to, **varied))


def amount(dose: Ordered, to: Patient | None = None, basis: str = "actual", **varied: object) -> Measure:
    answer = one(dose, to, basis, **varied)
    assert isinstance(answer, OneDose), answer
    return answer.amount


def code(dose: Ordered, to: Patient | None = None, basis: str = "actual", **varied: object) -> str:
    answer = one(dose, to, basis, **varied)
    assert isinstance(answer, Refusal), answer
    return answer.code


@pytest.mark.parametrize(
    ("weight", "rate", "doses", "wanted", "source"),
    [
        ("40 lb", "0.5 mg/lb", 1, "20 mg", "US Army MD0904, final examination"),
        ("12 kg", "15 mg/kg/day", 1, "180 mg", "Mercer University nursing practice quiz 4"),
        ("10 kg", "20 mg/kg/day", 4, "50 mg", "Mercer University nursing practice quiz 4"),
        ("5 kg", "12 mg/kg/day", 2, "30 mg", "Mercer quiz 4: 6 mL of 10 mg in 2 mL"),
        ("20 kg", "100 mg/kg/day", 4, "500 mg", "Children's hospital (Toronto) student module"),
        ("20 kg", "200 mg/kg/day", 4, "1000 mg", "Children's hospital (Toronto) student module"),
        (
            "13 kg",
            "15 mg/kg",
            1,
            "195 mg",
            "Paediatric pharmacists' IV paracetamol chart: 19.5 mL of 10 mg/mL",
        ),
        ("34 kg", "15 mg/kg", 1, "510 mg", "Paediatric pharmacists' IV paracetamol chart: 51 mL of 10 mg/mL"),
        ("3200 g", "50 mg/kg", 1, "160 mg", "hand: 3.2 kg x 50"),
        ("10 kg", "0.1 mmol/kg", 1, "1 mmol", "hand: 10 x 0.1"),
        ("10 kg", "5 mg/kg/dose", 1, "50 mg", "hand: per dose is what per kg means"),
        ("10 kg", "0.5 mL/kg", 1, "5 mL", "hand: 10 x 0.5"),
        ("100 lb", "1 mg/kg", 1, "45.359237 mg", "hand: 100 x 0.45359237, exact pound of 1959"),
    ],
)
def test_so_much_per_weight(weight: str, rate: str, doses: int, wanted: str, source: str) -> None:
    assert amount(DosePerBody(m(rate), divided_into=doses), patient(weight)) == m(wanted), source


def test_a_days_amount_without_a_body_is_divided_too() -> None:
    assert amount(DosePerBody(m("2 g/day"), divided_into=4)) == m("0.5 g")  # hand


@pytest.mark.parametrize(
    ("rate", "bounds", "wanted", "noticed", "source"),
    [
        (
            "50 mg/kg",
            {"maximum": "125 mg"},
            "125 mg",
            "dose_cut_to_maximum",
            "WHO Pocket Book 2013: 3 kg ceftriaxone",
        ),
        ("50 mg/kg", {"maximum": "150 mg"}, "150 mg", "", "hand: exactly the most"),
        ("50 mg/kg", {"maximum": "0.125 g"}, "125 mg", "dose_cut_to_maximum", "hand: the bound in grams"),
        ("50 mg/kg", {"minimum": "200 mg"}, "200 mg", "dose_raised_to_minimum", "hand: 150 is below 200"),
        (
            "50 mg/kg",
            {"daily_maximum": "100 mg"},
            "100 mg",
            "dose_cut_to_maximum",
            "hand: no dose above the day",
        ),
    ],
)
def test_the_orders_own_bounds_hold(
    rate: str, bounds: dict[str, str], wanted: str, noticed: str, source: str
) -> None:
    made = one(DosePerBody(m(rate), **{name: m(text) for name, text in bounds.items()}), patient("3 kg"))
    assert isinstance(made, OneDose)
    assert made.amount == m(wanted), source
    assert [f.id for f in made.findings] == ([noticed] if noticed else [])


def test_the_days_maximum_is_shared_among_its_doses() -> None:
    # hand: 80 kg x 60 mg/kg = 4800 mg a day, at most 4000: 1000 mg four times
    day = DosePerBody(m("60 mg/kg/day"), divided_into=4, daily_maximum=m("4 g"))
    assert amount(day, patient("80 kg")) == m("1000 mg")
    each = DosePerBody(m("15 mg/kg"), daily_maximum=m("4 g"))
    assert amount(each, patient("80 kg"), doses_per_day=4) == m("1000 mg")
    assert amount(each, patient("80 kg")) == m("1200 mg")


@pytest.mark.parametrize(
    ("height", "weight", "formula", "rate", "wanted", "source"),
    [
        ("170 cm", "70 kg", "mosteller", "500 mg/m2", 909.059, "Mosteller page: 1.8181187 m2"),
        ("72 cm", "10 kg", "mosteller", "100 mg/m2", 44.72136, "WHO Pocket Book 2013: 0.45 m2 (0.4472136)"),
        ("170 cm", "70 kg", "du bois", "100 mg/m2", 180.97, "hand, by logarithms: 1.8097 m2"),
    ],
)
def test_so_much_per_body_surface(
    height: str, weight: str, formula: str, rate: str, wanted: float, source: str
) -> None:
    made = amount(DosePerBody(m(rate), surface_by=formula), patient(weight, height))
    assert float(made.value) == pytest.approx(wanted, rel=1e-5), source


def test_ideal_and_adjusted_weight_serve_where_the_drug_list_asks() -> None:
    # hand (Devine): woman of 65 in: 45.5 + 2.3 x 5 = 57 kg; adjusted from 97 kg: 57 + 0.4 x 40 = 73 kg
    heavy = patient("97 kg", "65 in")
    rate = DosePerBody(m("10 mg/kg"))
    assert amount(rate, heavy, "ideal") == m("570 mg")
    assert amount(rate, heavy, "adjusted") == m("730 mg")
    light = one(rate, patient("50 kg", "65 in"), "ideal")
    assert isinstance(light, OneDose)
    assert light.amount == m("500 mg")
    assert [f.id for f in light.findings] == ["actual_weight_below_ideal"]


def test_a_dose_is_chosen_inside_its_range_bounds_included() -> None:
    for chosen in ("5 mg", "7.5 mg", "10 mg"):
        assert amount(DoseRange(m("5 mg"), m("10 mg"), m(chosen))) == m(chosen)
    per_kg = DoseRange(m("5 mg/kg"), m("10 mg/kg"), m("7500 mcg/kg"))
    assert amount(per_kg, patient("10 kg")) == m("75000 mcg")


DOUBTFUL_ORDERS = [
    (FixedDose(m("0 mg")), "dose_not_positive"),
    (FixedDose(m("-1 mg")), "dose_not_positive"),
    (FixedDose(m("5 mg/kg")), "dose_unit_unknown"),
    (FixedDose(m("5 cm")), "dose_unit_unknown"),
    (FixedDose(Measure(m("1 mg").value, "pinch")), "dose_unit_unknown"),
    (DoseRange(m("5 mg"), m("10 mg")), "dose_not_chosen"),
    (DoseRange(m("10 mg"), m("5 mg"), m("7 mg")), "dose_range_contradicts"),
    (DoseRange(m("5 mg"), m("10 units"), m("7 mg")), "dose_range_contradicts"),
    (DoseRange(m("5 mg"), m("10 mg/kg"), m("7 mg")), "dose_range_contradicts"),
    (DoseRange(m("5 mg/kg"), m("10 mg/kg/day"), m("7 mg/kg")), "dose_range_contradicts"),
    (DoseRange(m("5 mg/h"), m("10 mg/h"), m("7 mg/h")), "dose_range_contradicts"),
    (DoseRange(m("5 cm"), m("10 cm"), m("7 cm")), "dose_range_contradicts"),
    (DoseRange(m("0 mg"), m("10 mg"), m("7 mg")), "dose_not_positive"),
    (DoseRange(m("5 mg"), m("10 mg"), m("7 units")), "dose_unit_unknown"),
    (DoseRange(m("5 mg"), m("10 mg"), Measure(m("7 mg").value, "pinch")), "dose_unit_unknown"),
    (DoseRange(m("5 mg"), m("10 mg"), m("11 mg")), "dose_outside_range"),
    (DoseRange(m("5 mg"), m("10 mg"), m("4.99 mg")), "dose_outside_range"),
    (DosePerBody(m("0 mg/kg")), "dose_not_positive"),
    (DosePerBody(Measure(m("1 mg").value, "mg/pinch")), "dose_unit_unknown"),
    (DosePerBody(m("5 mg")), "rate_not_understood"),
    (DosePerBody(m("5 mg/mL")), "rate_not_understood"),
    (DosePerBody(m("5 cm/kg")), "rate_not_understood"),
    (DosePerBody(m("5 mg/kg/m2")), "rate_not_understood"),
    (DosePerBody(m("5 mg/day/kg")), "rate_not_understood"),
    (DosePerBody(m("5 mcg/kg/min")), "rate_is_an_infusion"),
    (DosePerBody(m("5 mg/h")), "rate_is_an_infusion"),
    (DosePerBody(m("5 mg/kg/week")), "rate_is_an_infusion"),
    (DosePerBody(m("5 mg/kg"), divided_into=3), "doses_per_day_not_understood"),
    (DosePerBody(m("5 mg/kg/day"), divided_into=0), "doses_per_day_not_understood"),
    (DosePerBody(m("5 mg/m2"), surface_by="guess"), "surface_formula_unknown"),
    (DosePerBody(m("5 mg/kg"), maximum=m("5 units")), "bound_not_understood"),
    (DosePerBody(m("5 mg/kg"), maximum=m("0 mg")), "bound_not_understood"),
    (DosePerBody(m("5 mg/kg"), minimum=m("5 mg/kg")), "bound_not_understood"),
    (DosePerBody(m("5 mg/kg"), daily_maximum=Measure(m("1 mg").value, "pinch")), "bound_not_understood"),
    (DosePerBody(m("5 mg/kg"), minimum=m("10 mg"), maximum=m("9 mg")), "bounds_contradict"),
    (DosePerBody(m("5 mg/kg/day"), 2, minimum=m("10 mg"), daily_maximum=m("19 mg")), "bounds_contradict"),
]  # fmt: skip


@pytest.mark.parametrize(("dose", "wanted"), DOUBTFUL_ORDERS)
def test_an_order_that_leaves_a_doubt_is_refused(dose: Ordered, wanted: str) -> None:
    assert code(dose, patient("70 kg", "170 cm")) == wanted


UNKNOWN_SIZES = [
    (patient(None), "actual", "5 mg/kg", "weight_missing"),
    (patient("0 kg"), "actual", "5 mg/kg", "weight_not_understood"),
    (patient("-3 kg"), "actual", "5 mg/kg", "weight_not_understood"),
    (patient("70 cm"), "actual", "5 mg/kg", "weight_not_understood"),
    (patient("70 kg"), "guess", "5 mg/kg", "weight_basis_unknown"),
    (patient("70 kg"), "ideal", "5 mg/kg", "height_missing"),
    (patient("70 kg", "1700 mg"), "ideal", "5 mg/kg", "height_not_understood"),
    (patient("70 kg", "170 cm", sex=""), "ideal", "5 mg/kg", "sex_not_known"),
    (patient("70 kg", "150 cm"), "adjusted", "5 mg/kg", "ideal_weight_not_defined"),
    (patient(None, "170 cm"), "actual", "5 mg/m2", "weight_missing"),
    (patient("70 kg"), "actual", "5 mg/m2", "height_missing"),
    (patient("70 kg", "0 cm"), "actual", "5 mg/m2", "height_not_understood"),
    (patient("70 mL", "170 cm"), "actual", "5 mg/m2", "weight_not_understood"),
]


@pytest.mark.parametrize(("to", "basis", "rate", "wanted"), UNKNOWN_SIZES)
def test_a_patient_whose_size_is_not_known_is_not_guessed_at(
    to: Patient, basis: str, rate: str, wanted: str
) -> None:
    assert code(DosePerBody(m(rate)), to, basis) == wanted


def test_doses_a_day_below_one_are_refused() -> None:
    assert code(DosePerBody(m("5 mg/kg")), doses_per_day=0) == "doses_per_day_not_understood"


def test_an_order_in_fixed_form_is_taken_as_it_stands() -> None:
    for text in ("8 mg", "20 units", "40 mmol", "40 mEq", "2 mL"):
        assert amount(FixedDose(m(text))) == m(text)


def test_a_rate_is_taken_apart_by_its_unit() -> None:
    rate = read_rate(m("7.5 mg/kg/day"))
    assert not isinstance(rate, Refusal)
    assert (rate.amount_unit, rate.body, rate.per_body, rate.daily) == ("mg", "kg", m("7.5 mg/kg"), True)


def test_the_working_of_each_step_is_told() -> None:
    made = one(DosePerBody(m("10 mg/kg/day"), 3, m("60 mg")), patient("40 lb"))
    assert isinstance(made, OneDose)
    assert [line.text for line in made.working if line.form == "dimensional"] == [
        "40 lb = 18.1436948 kg",
        "18.1436948 kg × 10 mg/kg/day = 181.436948 mg",
        "181.436948 mg / 3 ≈ 60.479 mg",
        "60 mg",
    ]
    surface = one(DosePerBody(m("500 mg/m2")), patient("70 kg", "1.7 m"))
    assert isinstance(surface, OneDose)
    assert [line.text for line in surface.working if line.form == "desired over have"] == [
        "√(170 cm × 70 kg / 3,600) ≈ 1.81812 m²",
        "1.81812 m² × 500 mg/m² ≈ 909.059 mg",
    ]
    adjusted = one(DosePerBody(m("10 mg/kg")), patient("97 kg", "65 in"), "adjusted")
    assert isinstance(adjusted, OneDose)
    assert adjusted.working[0].text == "57 kg + 0.4 × (97 kg - 57 kg) = 73 kg"
    assert Decimal(0) < adjusted.amount.decimal
