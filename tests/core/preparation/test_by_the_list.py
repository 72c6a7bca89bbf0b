"""A syringe is prepared by the version in force when it was begun, and by no other."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.core.findings import Refusal
from kiosk.core.preparation import actions as a
from kiosk.core.preparation import events as e
from kiosk.core.preparation.decide import Accepted, decide
from kiosk.core.preparation.listing import Listed, as_listed
from kiosk.core.preparation.plans import Rules, reference
from kiosk.core.preparation.state import Preparation, apply_all, begin
from kiosk.core.units import Measure
from tests.counter import NOW, container, order, rules

# O01: prochlorperazine 12.5 mg into the muscle, from C002; the ward allows 10 % and at most 12.5 mg.
ORDER, VIAL, BY = order("O01"), container("C002"), "N01"


def with_list(listed: Listed) -> Rules:
    return replace(rules(), listed=listed)


def version(number: int, **changes: object) -> Listed:
    """A list whose every entry is of this version, with these changes."""

    def listed(drug: Drug, now: datetime) -> EntryVersion:
        changed = replace(drug, **changes)  # type: ignore[arg-type]
        return EntryVersion(changed, number, NOW.date(), "K01", NOW, 7, ("K01", "K02"))

    return listed


def taken_up(by_rules: Rules) -> e.Opened | Refusal:
    answer = decide(None, a.TakeUp(BY, ORDER, "D100001"), by_rules, NOW)
    if isinstance(answer, Refusal):
        return answer
    opened = answer.events[0]
    assert isinstance(opened, e.Opened)
    return opened


def begun(by_rules: Rules) -> Preparation:
    opened = taken_up(by_rules)
    assert isinstance(opened, e.Opened)
    return begin("p1", opened)


def test_without_an_entry_in_force_nothing_is_taken_up() -> None:
    answer = taken_up(with_list(lambda drug, now: Refusal("drug_not_listed", {"drug": drug.name})))
    assert isinstance(answer, Refusal)
    assert answer.code == "drug_not_listed"


def test_the_record_says_by_which_version() -> None:
    opened = taken_up(with_list(version(3, allowed_error=Decimal("0.02"))))
    assert isinstance(opened, e.Opened)
    assert opened.drug_version == 3
    assert opened.order.drug.allowed_error == Decimal("0.02")


def test_the_limits_of_the_version_decide_and_not_those_that_came_with_the_order() -> None:
    lower = tuple(
        replace(limit, high=Measure.of(6, "mg")) if limit.per == "dose" else limit
        for limit in ORDER.drug.limits
    )
    answer = taken_up(with_list(version(2, limits=lower)))
    assert isinstance(answer, Refusal)
    assert answer.code in {"dose_above_usual", "dose_over_maximum", "dose_above_limit"}, answer
    assert isinstance(taken_up(rules()), e.Opened)


def test_a_version_that_makes_a_drug_high_alert_asks_for_a_second_person() -> None:
    assert not begun(rules()).needs_second
    assert begun(with_list(version(2, high_alert=True))).needs_second


def test_what_was_begun_goes_on_with_the_version_it_began_with() -> None:
    state = begun(with_list(version(2, allowed_error=Decimal("0.02"))))
    later = with_list(version(3, allowed_error=Decimal("0.2"), strengths=()))
    answer = decide(state, a.TakeContainer(BY, VIAL), later, NOW)
    assert isinstance(answer, Accepted)
    after = apply_all(state, answer.events)
    assert {c.product.drug.allowed_error for c in after.taken} == {Decimal("0.02")}
    assert after.order.drug.allowed_error == Decimal("0.02")
    figure = Measure.of(1, "mL")
    chosen = e.SyringeTaken(BY, "S", figure, figure, Measure.of("12.5", "mg"))
    ready = apply_all(after, (chosen, e.NeedleTaken(BY, "N", 23, Measure.of(25, "mm"))))
    assert reference(ready, NOW).allowed_error == Decimal("0.02")


def test_an_order_is_shown_with_its_drug_as_listed_and_as_it_came_where_it_is_not() -> None:
    assert as_listed(ORDER, version(2, name="newNAME"), NOW).drug.name == "newNAME"
    unlisted = as_listed(ORDER, lambda drug, now: Refusal("drug_not_listed", {"drug": drug.name}), NOW)
    assert unlisted == ORDER
