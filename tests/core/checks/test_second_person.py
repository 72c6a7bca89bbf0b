"""Which doses need another person's independent check, by the published rows and by a site's own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.check_tables import AgeBand, CheckPolicy, Figure, SecondRule
from kiosk.core.catalogue.routes import Route
from kiosk.core.checks.second_person import made_stricter, other_form, second_reasons
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.checks.ward import (
    GENTAMICIN,
    HEPARIN,
    INSULIN,
    MORPHINE,
    TABLES,
    a_drug,
    a_patient,
    a_person,
    an_order,
    limit,
    m,
)

POLICY = TABLES.policy
PLAIN = a_drug("prochlorperazine", "mg", limit("dose", "5 mg", "12.5 mg"))
ADRENALINE = a_drug("adrenaline", "mcg", limit("dose", "1 mcg", "1000 mcg"))
ADRENALINE = replace(ADRENALINE, classes=frozenset({"adrenergic agonist"}))


def reasons(drug: Any = PLAIN, dose: Any = "10 mg", patient: Any = None, **more: Any) -> tuple[str, ...]:
    trainee = more.pop("trainee", False)
    return second_reasons(an_order(drug, dose, patient, **more), a_person(trainee=trainee), None, POLICY)


def test_a_plain_dose_by_an_experienced_nurse_needs_one_person() -> None:
    assert reasons() == ()
    assert reasons(GENTAMICIN, "300 mg", a_patient(weight="62 kg")) == ()


@pytest.mark.parametrize(
    ("case", "why"),
    [
        ({"drug": MORPHINE, "dose": "5 mg"}, ("high_alert_drug", "controlled_drug")),
        ({"drug": HEPARIN, "dose": "5000 units"}, ("high_alert_drug",)),
        ({"drug": INSULIN, "dose": "8 units"}, ("high_alert_drug",)),
        ({"drug": INSULIN, "dose": "100 units"}, ("insulin_large", "high_alert_drug")),
        ({"drug": ADRENALINE, "dose": "500 mcg"}, ()),  # into muscle: not on the list
        (
            {"drug": ADRENALINE, "dose": "50 mcg", "route": Route.INTRAVENOUS},
            ("high_alert_drug",),
        ),
        ({"drug": ADRENALINE, "dose": "50 mcg", "route": Route.SUBCUTANEOUS}, ("high_alert_drug",)),
        ({"spoken": True}, ("spoken_order",)),
        ({"trainee": True}, ("trainee_preparing",)),
        ({"dose": "12.51 mg"}, ("dose_above_list",)),
        ({"dose": "12.5 mg"}, ()),
    ],
)
def test_who_must_look_twice(case: dict[str, Any], why: tuple[str, ...]) -> None:
    assert reasons(**case) == why


@pytest.mark.parametrize(
    ("age_days", "route", "why"),
    [
        (0, Route.INTRAMUSCULAR, ("newborn",)),
        (27, Route.INTRAMUSCULAR, ("newborn",)),
        (28, Route.INTRAMUSCULAR, ()),
        (28, Route.INTRAVENOUS, ("child_into_vein",)),
        (4382, Route.INTRAVENOUS, ("child_into_vein",)),
        (4383, Route.INTRAVENOUS, ()),
    ],
)
def test_age_bands(age_days: int, route: Route, why: tuple[str, ...]) -> None:
    due = an_order().due.date()
    patient = a_patient(due - timedelta(days=age_days))
    assert reasons(patient=patient, route=route) == why


def test_a_childs_dose_by_weight() -> None:
    child = a_patient(date(2020, 1, 1), "20 kg")
    assert reasons(GENTAMICIN, "5 mg/kg", child) == ("child_dose_by_weight",)
    assert reasons(GENTAMICIN, "100 mg", child) == ()
    assert reasons(GENTAMICIN, "5 mg/kg", a_patient(weight="62 kg")) == ()


def test_the_dose_worked_out_counts_before_the_one_ordered() -> None:
    order, nurse = an_order(INSULIN, "8 units"), a_person()
    assert "insulin_large" not in second_reasons(order, nurse, None, POLICY)
    assert "insulin_large" in second_reasons(order, nurse, m("120 units"), POLICY)


def test_a_size_that_cannot_be_judged_counts_as_large() -> None:
    order = an_order(INSULIN, "1 units/kg")  # no weight
    assert "insulin_large" in second_reasons(order, a_person(), None, POLICY)


def test_a_reason_is_given_once() -> None:
    flagged_and_listed = replace(HEPARIN, high_alert=True)
    assert reasons(flagged_and_listed, "5000 units") == ("high_alert_drug",)


# --- a site's policy -------------------------------------------------------------------------------


def site_figure(name: str, value: str) -> Figure:
    return Figure(name, m(value), "lower", "the site")


def test_a_site_may_add_a_drug() -> None:
    stricter = made_stricter(POLICY, [], [SecondRule("high_alert_drug", drug="prochlorperazine")])
    assert isinstance(stricter, CheckPolicy)
    assert second_reasons(an_order(PLAIN, "10 mg"), a_person(), None, stricter) == ("high_alert_drug",)


@pytest.mark.parametrize(
    ("figure", "value"),
    [("due_late", "1 h"), ("due_late", "60 min"), ("limit_rounding", "0 1"), ("earlier_weight", "2000 day")],
)
def test_a_site_may_be_stricter(figure: str, value: str) -> None:
    made = made_stricter(POLICY, [site_figure(figure, value)], [])
    assert isinstance(made, CheckPolicy)
    assert getattr(made.figures, figure).value == m(value)
    assert getattr(made.figures, figure).stricter == getattr(POLICY.figures, figure).stricter


@pytest.mark.parametrize(
    ("figure", "value", "code"),
    [
        ("due_late", "3 h", "policy_looser"),
        ("limit_rounding", "0.1 1", "policy_looser"),
        ("earlier_weight", "10 day", "policy_looser"),
        ("due_late", "1 mg", "policy_looser"),
        ("due_lately", "1 h", "policy_unknown_figure"),
    ],
)
def test_a_site_may_not_be_looser(figure: str, value: str, code: str) -> None:
    answer = made_stricter(POLICY, [site_figure(figure, value)], [])
    assert isinstance(answer, Refusal)
    assert answer.code == code


OWN = SecondRule("our_antiemetics", drug="prochlorperazine", form=CheckForm.WITNESS)


def test_a_site_may_ask_for_a_weaker_form_where_nothing_asks_for_any() -> None:
    own = made_stricter(POLICY, [], [OWN])
    assert isinstance(own, CheckPolicy)
    order, nurse = an_order(PLAIN, "10 mg"), a_person()
    assert second_reasons(order, nurse, None, own) == ()
    assert other_form(order, nurse, None, own) is CheckForm.WITNESS
    assert other_form(an_order(MORPHINE, "10 mg"), nurse, None, own) is CheckForm.ONE


def test_of_two_weaker_forms_the_weightier_counts() -> None:
    both = made_stricter(POLICY, [], [OWN, replace(OWN, reason="our_own", form=CheckForm.SELF)])
    assert isinstance(both, CheckPolicy)
    assert other_form(an_order(PLAIN, "10 mg"), a_person(), None, both) is CheckForm.SELF


def test_a_weaker_form_never_takes_the_independent_person_away() -> None:
    own = made_stricter(POLICY, [], [replace(OWN, drug="")])  # for every drug
    assert isinstance(own, CheckPolicy)
    trainee = a_person(trainee=True)
    assert second_reasons(an_order(PLAIN, "10 mg"), trainee, None, own) == ("trainee_preparing",)


@pytest.mark.parametrize("reason", ["high_alert_drug", "spoken_order", "trainee_preparing"])
@pytest.mark.parametrize("form", [CheckForm.WITNESS, CheckForm.SELF])
def test_no_weaker_form_stands_under_a_published_reason(reason: str, form: CheckForm) -> None:
    answer = made_stricter(POLICY, [], [SecondRule(reason, form=form)])
    assert answer == Refusal("policy_form_too_weak", {"reason": reason, "form": form.value})


def test_a_site_does_not_weaken_its_own_reason_either() -> None:
    rules = [SecondRule("ours", drug="morphine"), SecondRule("ours", form=CheckForm.WITNESS)]
    assert isinstance(made_stricter(POLICY, [], rules), Refusal)


RULES = st.builds(
    SecondRule,
    reason=st.sampled_from(["site_one", "site_two"]),
    drug=st.sampled_from(["", "morphine", "prochlorperazine"]),
    routes=st.sampled_from([frozenset(), frozenset({"intravenous"})]),
    ages=st.sampled_from([None, AgeBand(0, 365), AgeBand(365)]),
    spoken=st.booleans(),
    trainee=st.booleans(),
    controlled=st.booleans(),
    by_body=st.booleans(),
    at_least=st.sampled_from([None, Measure.of(5, "mg")]),
)


@given(st.lists(RULES, max_size=4), st.sampled_from([MORPHINE, PLAIN, HEPARIN]), st.booleans(), st.booleans())
def test_no_rule_of_a_site_takes_a_reason_away(
    rules: list[SecondRule], drug: Any, trainee: bool, spoken: bool
) -> None:
    order = an_order(drug, "5000 units" if drug is HEPARIN else "10 mg", spoken=spoken)
    stricter = made_stricter(POLICY, [], rules)
    assert isinstance(stricter, CheckPolicy)
    before = second_reasons(order, a_person(trainee=trainee), None, POLICY)
    after = second_reasons(order, a_person(trainee=trainee), None, stricter)
    assert after[: len(before)] == before
