"""How much a site takes: warned above the usual, stopped above the most, other sites, splitting."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kiosk.core.apparatus.site_limits import (
    Split,
    limit_of,
    other_sites,
    split,
    splits,
    volume_at_site,
)
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import Order
from kiosk.core.findings import Level, Refusal
from tests.core.apparatus.samples import TODAY, a_patient, an_order, ml, tables, years


def ids(order: Order, volume: str) -> list[tuple[str, str]]:
    return [(f.id, f.level) for f in volume_at_site(order, ml(volume), TODAY, tables())]


ADULT, CHILD = a_patient(), a_patient(born=years(5), kg="18")
INFANT = a_patient(born=years(0).replace(month=1), kg="5")


@pytest.mark.parametrize(
    ("patient", "site", "volume", "found"),
    [
        (ADULT, Site.DELTOID, "1", []),
        (ADULT, Site.DELTOID, "1.1", [("over_usual_for_site", Level.CAUTION)]),
        (ADULT, Site.DELTOID, "2.1", [("too_much_for_site", Level.STOP)]),
        (ADULT, Site.VENTROGLUTEAL, "3", []),
        (CHILD, Site.DELTOID, "0.6", [("over_usual_for_site", Level.CAUTION)]),
        (CHILD, Site.VASTUS_LATERALIS, "1.5", []),
        (CHILD, Site.VASTUS_LATERALIS, "2.1", [("too_much_for_site", Level.STOP)]),
        (INFANT, Site.VASTUS_LATERALIS, "0.5", []),
        (INFANT, Site.VASTUS_LATERALIS, "1.1", [("too_much_for_site", Level.STOP)]),
        (INFANT, Site.DELTOID, "0.2", [("no_volume_limit_known", Level.CAUTION)]),
    ],
)
def test_a_site_takes_so_much_at_an_age(
    patient: object, site: Site, volume: str, found: list[tuple[str, str]]
) -> None:
    assert ids(an_order(patient=patient, site=site), volume) == found  # type: ignore[arg-type]


def test_under_the_skin_the_limit_holds_at_every_site() -> None:
    for site in (Site.ABDOMEN, Site.THIGH, None):
        order = an_order(route=Route.SUBCUTANEOUS, site=site)
        assert ids(order, "1.2") == [("over_usual_for_site", Level.CAUTION)]


def test_a_vein_has_no_such_limit() -> None:
    assert ids(an_order(route=Route.INTRAVENOUS, site=Site.CANNULA), "20") == []


def test_other_sites_are_those_that_take_it_and_have_a_needle_guide() -> None:
    assert other_sites(an_order(), ml("2.5"), TODAY, tables()) == (
        Site.VENTROGLUTEAL,
        Site.VASTUS_LATERALIS,
    )
    assert other_sites(an_order(), ml("4"), TODAY, tables()) == ()
    child = an_order(patient=CHILD, site=Site.DELTOID)
    assert other_sites(child, ml("1"), TODAY, tables()) == (Site.VASTUS_LATERALIS,)


def test_the_buttock_is_never_proposed() -> None:
    assert Site.DORSOGLUTEAL not in other_sites(an_order(), ml("0.5"), TODAY, tables())


def test_a_split_is_the_fewest_equal_shares_and_adds_up_to_the_whole() -> None:
    found = split(an_order(), ml("2.5"), TODAY, tables())
    assert isinstance(found, Split)
    assert found.parts == 3
    assert found.each.scaled(found.parts) == ml("2.5")
    assert split(an_order(), ml("1"), TODAY, tables()) == Split(1, ml("1"))


def test_nobody_is_pricked_five_times() -> None:
    answer = split(an_order(), ml("4.5"), TODAY, tables())
    assert isinstance(answer, Refusal)
    assert answer.code == "no_split"
    unknown = split(an_order(patient=INFANT), ml("1"), TODAY, tables())
    assert isinstance(unknown, Refusal)
    assert unknown.code == "no_volume_limit_known"


def test_the_row_of_the_very_site_goes_before_the_row_of_the_route() -> None:
    limit = limit_of(CHILD, Route.INTRAMUSCULAR, Site.DELTOID, TODAY, tables())
    assert limit is not None
    assert limit.id == "deltoid_child"
    any_muscle = limit_of(CHILD, Route.INTRAMUSCULAR, Site.VASTUS_LATERALIS, TODAY, tables())
    assert any_muscle is not None
    assert any_muscle.id == "any_muscle_school_child"


def test_a_volume_over_the_limit_is_shared_by_the_most_and_by_the_usual() -> None:
    hip = an_order(site=Site.VENTROGLUTEAL)  # an adult: 3 mL usual, 5 mL at the most
    found = splits(hip, ml("10"), TODAY, tables())
    assert [(split.parts, split.each) for split in found] == [(2, ml("5")), (4, ml("2.5"))]
    assert [split.parts for split in splits(hip, ml("4"), TODAY, tables())] == [2]
    assert splits(hip, ml("3"), TODAY, tables()) == ()
    assert [split.parts for split in splits(hip, ml("20"), TODAY, tables())] == [4]  # seven would be too many


def test_the_stop_names_the_ways_out() -> None:
    (stop,) = volume_at_site(an_order(site=Site.DELTOID), ml("2.5"), TODAY, tables())
    assert stop.id == "too_much_for_site"
    assert stop.facts["others"] == ("ventrogluteal", "vastus lateralis")
    assert stop.facts["each"] == (ml("1.25"), ml("2.5").scaled(Fraction(1, 3)))
    (hopeless,) = volume_at_site(an_order(site=Site.VENTROGLUTEAL), ml("30"), TODAY, tables())
    assert (hopeless.facts["others"], hopeless.facts["each"]) == ("no_other_site", "no_share")
