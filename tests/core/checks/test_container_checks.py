"""Every container check: what makes it speak, and that a fit container passes in silence.

Expected answers are the trade's rules as the path of a syringe states them (single-use containers are not
reused, an open vial is good until its discard time, earliest expiry first): common practice, and where a
figure is used it stands in the test.
"""

from __future__ import annotations

import string
from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.routes import Route
from kiosk.core.catalogue.strength import (
    AmountInVolume,
    AmountOnly,
    MakeUp,
    PercentWeightInVolume,
    Powder,
    Ratio,
    Strength,
)
from kiosk.core.checks.check import ContainerCase, run
from kiosk.core.checks.container_checks import CONTAINER_CHECKS, same_strength
from kiosk.core.dose.order import Order
from kiosk.core.findings import Finding, Level
from kiosk.core.units import Measure
from kiosk.tables.words import languages, words
from tests.core.samples import NOW, a_container, a_drug, a_product, an_order, mg_in_ml

VIAL = a_product(id="vial", form=Form.MULTI_DOSE_VIAL, contents="10")
DAY = timedelta(days=1)


def seen(
    container: Container,
    *,
    order: Order | None = None,
    taken: tuple[Container, ...] = (),
    shelf: tuple[Container, ...] = (),
    now: datetime = NOW,
) -> dict[str, Finding]:
    case = ContainerCase(order or an_order(), container, taken, now, shelf)
    return {f.id: f for f in run(CONTAINER_CHECKS, case)}


def open_vial(**changes: object) -> Container:
    facts: dict[str, object] = {"left": "6", "opened_at": NOW - DAY, "discard_after": NOW + DAY}
    return a_container(VIAL, **{**facts, **changes})  # type: ignore[arg-type]


def test_a_fit_container_raises_nothing_at_all() -> None:
    assert seen(a_container()) == {}
    assert seen(open_vial()) == {}


STOPS = [
    ("wrong_drug", a_container(a_product(a_drug("chlorpromazine"), id="other"))),
    ("wrong_strength_for_route", a_container(a_product(routes=frozenset({"intravenous"})))),
    ("expired", a_container(expiry=date(2026, 3, 14))),
    ("recalled", a_container(recalled=True)),
    ("in_quarantine", replace(a_container(), set_aside="warm")),
    ("single_use_reused", a_container(opened_at=NOW)),
    ("single_use_reused", a_container(left="0.5")),
    ("single_use_reused", a_container(a_product(form=Form.SINGLE_DOSE_VIAL), opened_at=NOW)),
    ("single_use_reused", a_container(a_product(form=Form.POWDER_VIAL), opened_at=NOW)),
    ("in_use_over", open_vial(discard_after=NOW)),
    ("opened_when_unknown", open_vial(opened_at=None)),
    ("opened_when_unknown", open_vial(discard_after=None)),
    ("used_up", a_container(used_up=True)),
    ("used_up", open_vial(left="0")),
    ("reserved", a_container(reserved_for="somebody else's order")),
]


@pytest.mark.parametrize(("id", "container"), STOPS, ids=[f"{id}-{n}" for n, (id, _) in enumerate(STOPS)])
def test_an_unfit_container_is_stopped_for_its_own_reason_alone(id: str, container: Container) -> None:
    found = seen(container)
    assert set(found) == {id}
    assert found[id].level is Level.STOP
    assert found[id].source


def test_a_container_is_good_through_its_last_day() -> None:
    last = a_container(expiry=date(2026, 3, 15))
    assert seen(last, now=datetime(2026, 3, 15, 23, 59, tzinfo=NOW.tzinfo)) == {}
    assert set(seen(last, now=datetime(2026, 3, 16, 0, 0, tzinfo=NOW.tzinfo))) == {"expired"}


def test_an_open_vial_is_good_until_the_very_second() -> None:
    vial = open_vial(discard_after=NOW + timedelta(seconds=1))
    assert seen(vial) == {}
    assert set(seen(vial, now=NOW + timedelta(seconds=1))) == {"in_use_over"}


def test_the_right_drug_in_a_strength_for_another_route_is_named_as_such_and_not_as_another_drug() -> None:
    for_infusion = a_product(id="weak", strength=mg_in_ml("1", "10"), routes=frozenset({"intravenous"}))
    found = seen(a_container(for_infusion))
    assert set(found) == {"wrong_strength_for_route"}
    assert found["wrong_strength_for_route"].facts["meant_for"] == ("intravenous",)


def test_an_order_for_100_units_per_ml_refuses_500_units_per_ml() -> None:
    insulin = a_drug("insulin", unit="units")
    order = an_order(insulin, route=Route.SUBCUTANEOUS, concentration_asked=Decimal(100))

    def vial(amount: str, volume: str) -> Container:
        strength = AmountInVolume(Measure.of(amount, "units"), Measure.of(volume, "mL"))
        return a_container(a_product(insulin, strength=strength, routes=frozenset({"subcutaneous"})))

    assert seen(vial("1000", "10"), order=order) == {}
    assert set(seen(vial("500", "1"), order=order)) == {"not_the_strength_asked"}


def test_the_same_object_twice_is_refused_but_a_second_ampoule_of_the_row_is_not() -> None:
    ampoule, numbered, vial = a_container(), a_container(serial="S1"), open_vial()
    assert seen(ampoule, taken=(ampoule,)) == {}
    assert set(seen(numbered, taken=(numbered,))) == {"already_taken"}
    assert set(seen(vial, taken=(vial,))) == {"already_taken"}


def test_two_strengths_in_one_syringe_are_refused_however_alike_the_names() -> None:
    ten, thirty = (a_product(id=f"p{n}", strength=mg_in_ml(n, "1")) for n in ("10", "30"))
    twenty_in_two = a_product(id="p20", strength=mg_in_ml("20", "2"))
    first = a_container(ten, id="a")
    assert set(seen(a_container(thirty, id="b"), taken=(first,))) == {"mixed_strengths"}
    assert seen(a_container(twenty_in_two, id="b"), taken=(first,)) == {}


def test_a_later_expiry_is_a_note_that_names_the_better_lot_and_its_drawer() -> None:
    mine = a_container(id="late", lot="LATE", expiry=date(2027, 6, 30))
    better = a_container(id="early", lot="EARLY", expiry=date(2026, 4, 30), drawer="left")
    found = seen(mine, shelf=(mine, better))
    assert set(found) == {"not_earliest_expiry"}
    assert found["not_earliest_expiry"].level is Level.NOTE
    assert found["not_earliest_expiry"].facts["better_lot"] == "EARLY"
    assert found["not_earliest_expiry"].facts["better_drawer"] == "left"
    assert seen(better, shelf=(mine, better)) == {}


@pytest.mark.parametrize(
    "unfit",
    [{"recalled": True}, {"expiry": date(2026, 3, 1)}, {"used_up": True}, {"reserved_for": "other"}],
)
def test_a_container_that_cannot_be_used_is_never_recommended(unfit: dict[str, object]) -> None:
    mine = a_container(id="late", lot="LATE", expiry=date(2027, 6, 30))
    other = a_container(id="early", lot="EARLY", **{"expiry": date(2026, 4, 30), **unfit})  # type: ignore[arg-type]
    assert seen(mine, shelf=(mine, other)) == {}


def test_inside_one_syringe_the_lot_already_taken_goes_before_an_earlier_expiry() -> None:
    first = a_container(id="first", lot="LATE", expiry=date(2027, 6, 30))
    same_lot = a_container(id="second", lot="LATE", expiry=date(2027, 6, 30))
    early = a_container(id="early", lot="EARLY", expiry=date(2026, 4, 30))
    assert seen(same_lot, taken=(first,), shelf=(first, same_lot, early)) == {}


def test_passing_over_an_open_vial_is_a_caution() -> None:
    fresh = a_container(VIAL, id="fresh", lot="F", expiry=date(2026, 4, 1))
    opened = open_vial(id="open", lot="O")
    found = seen(fresh, shelf=(fresh, opened))
    assert set(found) == {"open_vial_first"}
    assert found["open_vial_first"].level is Level.CAUTION
    assert seen(opened, shelf=(fresh, opened)) == {}


def test_a_stale_open_vial_is_no_reason_to_pass_over_a_fresh_one() -> None:
    fresh = a_container(VIAL, id="fresh")
    stale = open_vial(id="open", discard_after=NOW)
    assert seen(fresh, shelf=(fresh, stale)) == {}


def test_a_look_alike_neighbour_is_a_note_only_while_it_stands_at_the_counter() -> None:
    mine = a_drug(looks_like=frozenset({"chlorpromazine"}))
    container = a_container(a_product(mine))
    neighbour = a_container(a_product(a_drug("chlorpromazine"), id="near"), id="c2")
    found = seen(container, order=an_order(mine), shelf=(container, neighbour))
    assert set(found) == {"look_alike"}
    assert found["look_alike"].level is Level.NOTE
    assert found["look_alike"].facts["near"] == ("chlorpromazine",)
    assert seen(container, order=an_order(mine), shelf=(container,)) == {}


def test_one_percent_is_one_in_a_hundred_is_ten_mg_per_ml() -> None:
    # 1 % w/v is 1 g in 100 mL = 10 mg/mL (definition); 1 in 1000 is 1 mg/mL (definition)
    assert same_strength(PercentWeightInVolume(Decimal(1)), mg_in_ml("10", "1"))
    assert same_strength(Ratio(Decimal(1), Decimal(1000)), mg_in_ml("1", "1"))
    assert not same_strength(Ratio(Decimal(1), Decimal(1000)), Ratio(Decimal(1), Decimal(10000)))
    assert not same_strength(AmountOnly(Measure.of(1, "mg")), mg_in_ml("1", "1"))
    units = AmountInVolume(Measure.of(10, "units"), Measure.of(1, "mL"))
    assert not same_strength(units, mg_in_ml("10", "1"))


@given(amount=st.integers(1, 10**6), volume=st.integers(1, 1000), times=st.integers(2, 50))
def test_a_strength_is_the_same_in_any_fill_and_unit(amount: int, volume: int, times: int) -> None:
    small = mg_in_ml(str(amount), str(volume))
    big = AmountInVolume(Measure.of(amount * times * 1000, "mcg"), Measure.of(volume * times, "mL"))
    assert same_strength(small, big)
    assert same_strength(big, small)
    assert not same_strength(small, mg_in_ml(str(amount * times), str(volume)))


LISTED = (mg_in_ml("12.5", "1"), Powder(Measure.of(500, "mg")))


def in_strength(strength: Strength) -> dict[str, Finding]:
    """What is seen of a pack of this strength, where two strengths are listed for its drug."""
    drug = replace(a_drug(), strengths=LISTED)
    return seen(a_container(a_product(drug, strength=strength)), order=an_order(drug))


def test_a_pack_of_a_strength_that_is_not_listed_is_stopped() -> None:
    assert set(in_strength(mg_in_ml("125", "1"))) == {"strength_not_listed"}
    assert set(in_strength(Powder(Measure.of(1, "g")))) == {"strength_not_listed"}


def test_a_listed_strength_passes_in_any_fill_and_with_any_make_up_of_its_powder() -> None:
    assert in_strength(mg_in_ml("25", "2")) == {}
    lines = (MakeUp("water", diluent=Measure.of(5, "mL")),)
    assert in_strength(Powder(Measure.of("0.5", "g"), lines)) == {}


def test_ids_are_unique_and_every_check_names_its_hazard() -> None:
    assert len({check.id for check in CONTAINER_CHECKS}) == len(CONTAINER_CHECKS)
    assert all(check.hazard for check in CONTAINER_CHECKS)


def _provoked() -> dict[str, Finding]:
    """Return one finding of every kind."""
    found: dict[str, Finding] = {}
    for _, container in STOPS:
        found |= seen(container)
    mine, near = a_drug(looks_like=frozenset({"n"})), a_container(a_product(a_drug("n"), id="n"), id="n")
    found |= seen(a_container(a_product(mine)), order=an_order(mine), shelf=(near,))
    found |= seen(a_container(serial="s"), taken=(a_container(serial="s"),))
    found |= seen(a_container(a_product(strength=mg_in_ml("1", "1"))), taken=(a_container(),))
    found |= seen(a_container(), order=an_order(concentration_asked=Decimal(1)))
    found |= seen(a_container(VIAL, id="f"), shelf=(open_vial(id="o"),))
    found |= in_strength(mg_in_ml("125", "1"))
    early = a_container(id="e", expiry=date(2026, 4, 1))
    return found | seen(a_container(), shelf=(early,))


@pytest.mark.parametrize("language", languages())
def test_every_finding_has_its_sentences_and_every_placeholder_its_fact(language: str) -> None:
    sentences, provoked = words(language), _provoked()
    assert set(provoked) == {check.id for check in CONTAINER_CHECKS}
    for id, finding in provoked.items():
        for part in ("what", "why", "now"):
            text = sentences[f"finding.{id}.{part}"]
            fields = {name for _, name, _, _ in string.Formatter().parse(text) if name}
            assert fields <= set(finding.facts), (id, part)
