"""The thirty orders of the demo ward: only the planted traps raise anything. Too many cautions is a fault."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import pytest

from kiosk.core.checks.check import OrderCase, run
from kiosk.core.checks.second_person import second_reasons
from kiosk.core.dose.order import Order
from kiosk.core.findings import Finding
from kiosk.feeds.ward import Ward, read_ward
from kiosk.tables.resources import demo_db
from tests.core.checks.ward import CHECKS, NOW, TABLES, a_person

TRAPS = {
    "O05": "allergic_to_drug",  # morphine for somebody allergic to codeine
    "O14": "allergy_may_cross",  # cefazolin for somebody allergic to penicillin
    "O29": "dose_tenfold_above",  # 20 mg of hydromorphone where 2 mg is the most
    "O30": "given_too_recently",  # ketorolac an hour after the last
}


@pytest.fixture(scope="module")
def ward() -> Ward:
    return read_ward(demo_db(), NOW)


@pytest.fixture(scope="module")
def seen(ward: Ward) -> Mapping[str, tuple[Finding, ...]]:
    return {order.id: run(CHECKS, OrderCase(order, NOW)) for order in ward.orders}


def test_only_the_planted_traps_are_seen(seen: Mapping[str, tuple[Finding, ...]]) -> None:
    by_level = Counter(found.level.value for raised in seen.values() for found in raised)
    print(f"{len(seen)} demo orders, {sum(by_level.values())} findings: {dict(by_level)}")
    assert {id: raised[0].id for id, raised in seen.items() if raised} == TRAPS


def test_no_order_raises_two_findings_for_one_fault(seen: Mapping[str, tuple[Finding, ...]]) -> None:
    assert max(len(raised) for raised in seen.values()) == 1


def test_who_must_look_twice_in_the_demo(ward: Ward) -> None:
    alone = {order.id for order in ward.orders if not _reasons(order)}
    print(f"{len(ward.orders) - len(alone)} of {len(ward.orders)} demo orders need a second person")
    assert alone == {"O01", "O13", "O14", "O15", "O18", "O20", "O23", "O26", "O27", "O30"}


def _reasons(order: Order) -> tuple[str, ...]:
    return second_reasons(order, a_person(), None, TABLES.policy)


def test_every_class_a_demo_drug_names_is_one_that_the_tables_know(ward: Ward) -> None:
    """An allergy class that no table knows could never be matched."""
    groups = {name.group for name in TABLES.allergy_names}
    for drug in ward.drugs:
        assert drug.allergy_classes <= groups, drug.id


def test_a_demo_drug_marked_high_alert_is_on_the_published_list(ward: Ward) -> None:
    listed = [rule for rule in TABLES.policy.second if rule.reason == "high_alert_drug"]
    drugs, classes = {rule.drug for rule in listed}, {rule.drug_class for rule in listed}
    for drug in ward.drugs:
        assert drug.high_alert == (drug.id in drugs or bool(drug.classes & classes)), drug.id
