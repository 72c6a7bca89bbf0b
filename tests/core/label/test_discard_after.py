"""The discard time is the earliest of the limits, and says which one that was."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.strength import MakeUp, Powder
from kiosk.core.label.discard_after import IN_USE, ImmediateUse, chosen_limit, discard_after
from kiosk.core.units import Measure
from kiosk.tables.label_limits import immediate_use_limits
from tests.core.samples import a_container, a_product

STARTED = datetime(2026, 11, 25, 14, 2, tzinfo=UTC)
DRAWN = datetime(2026, 11, 25, 14, 5, tzinfo=UTC)
HOURS = "h"


def four_hours() -> ImmediateUse:
    return chosen_limit(immediate_use_limits())


def limit_of(container: Container, site: Measure | None = None) -> tuple[datetime, str]:
    found = discard_after([container], "intramuscular", STARTED, DRAWN, four_hours(), site)
    return found.at, found.governing.name


def test_immediate_use_is_four_hours_from_the_start_of_preparation_not_from_its_end() -> None:
    # USP <797>, edition official in 2023: begin giving within 4 h of the start of preparation.
    assert limit_of(a_container()) == (datetime(2026, 11, 25, 18, 2, tzinfo=UTC), "immediate_use_limit")


def test_a_pack_is_good_through_its_last_day() -> None:
    late = datetime(2026, 11, 30, 22, 0, tzinfo=UTC)
    container = a_container(expiry=date(2026, 11, 30))
    found = discard_after([container], "intramuscular", late, late, four_hours())
    assert (found.at, found.governing.name) == (datetime(2026, 12, 1, tzinfo=UTC), "pack_limit")


def test_an_open_vial_near_its_end_ends_the_syringe() -> None:
    until = datetime(2026, 11, 25, 16, 0, tzinfo=UTC)
    vial = a_container(a_product(form=Form.MULTI_DOSE_VIAL), discard_after=until, opened_at=STARTED)
    assert limit_of(vial) == (until, "in_use_limit")


def test_a_vial_opened_just_now_brings_the_makers_in_use_time() -> None:
    vial = a_container(a_product(form=Form.MULTI_DOSE_VIAL, in_use=Measure.of(3, HOURS)))
    assert limit_of(vial) == (DRAWN + timedelta(hours=3), "in_use_limit")


def test_a_drug_that_keeps_badly_in_a_syringe_ends_earlier() -> None:
    container = a_container(a_product(stable=Measure.of(30, "min")))
    assert limit_of(container) == (DRAWN + timedelta(minutes=30), "in_syringe_limit")


def powder(*make_ups: MakeUp) -> Container:
    return a_container(a_product(strength=Powder(Measure.of(500, "mg"), make_ups), form=Form.POWDER_VIAL))


def test_a_powder_counts_from_its_making_up_by_the_line_that_was_used() -> None:
    # One hour after making up: an ampicillin label as met in practice items (label-and-check notes).
    one_hour = MakeUp("water", routes=frozenset({"intramuscular"}), usable_for=Measure.of(1, HOURS))
    two_hours = MakeUp("water", routes=frozenset({"intramuscular"}), usable_for=Measure.of(2, HOURS))
    iv = MakeUp("saline", routes=frozenset({"intravenous"}), usable_for=Measure.of(10, "min"))
    assert limit_of(powder(two_hours, one_hour, iv)) == (STARTED + timedelta(hours=1), "made_up_limit")
    used = powder(two_hours, one_hour)
    made_up = Container(used.id, used.product, used.lot, used.expiry, made_up=two_hours)
    assert limit_of(made_up) == (STARTED + timedelta(hours=2), "made_up_limit")


def test_a_site_may_be_stricter_and_its_own_limit_then_governs() -> None:
    assert limit_of(a_container(), Measure.of(2, HOURS)) == (STARTED + timedelta(hours=2), "site_limit")


def test_a_laxer_site_limit_changes_nothing() -> None:
    assert limit_of(a_container(), Measure.of(24, HOURS)) == limit_of(a_container())


def test_every_limit_is_kept_with_its_source_earliest_first() -> None:
    vial = a_container(a_product(form=Form.MULTI_DOSE_VIAL, in_use=Measure.of(28, "day")))
    found = discard_after([vial], "intramuscular", STARTED, DRAWN, four_hours())
    assert [limit.name for limit in found.limits] == ["immediate_use_limit", "in_use_limit", "pack_limit"]
    assert all(limit.source for limit in found.limits)
    assert found.limits[1].at == datetime(2026, 12, 23, 14, 5, tzinfo=UTC)


def test_four_hours_are_four_hours_in_the_night_the_clocks_go_back() -> None:
    paris = ZoneInfo("Europe/Paris")
    started = datetime(2026, 10, 25, 1, 30, tzinfo=paris)  # 01:30 summer time; 03:00 becomes 02:00
    found = discard_after([a_container()], "intramuscular", started, started, four_hours())
    assert found.at.isoformat() == "2026-10-25T04:30:00+01:00"


def test_the_shipped_table_has_the_four_hours_as_default_and_the_old_hour_as_a_choice() -> None:
    rows = immediate_use_limits()
    assert chosen_limit(rows).within == Measure.of(4, HOURS)
    assert chosen_limit(rows, "usp_797_2008").within == Measure.of(1, HOURS)


@pytest.mark.parametrize("choice", ["a_day", "unknown"])
def test_a_site_cannot_choose_a_longer_or_an_unknown_limit(choice: str) -> None:
    day = ImmediateUse("a_day", Measure.of(24, HOURS), False, "a site's wish")
    with pytest.raises(ValueError, match="stricter"):
        chosen_limit((*immediate_use_limits(), day), choice)


@given(st.lists(st.integers(1, 600), min_size=1, max_size=4), st.integers(1, 600))
def test_the_discard_time_is_never_later_than_any_limit(stable_minutes: list[int], site: int) -> None:
    containers = [a_container(a_product(stable=Measure.of(m, "min"))) for m in stable_minutes]
    found = discard_after(containers, "intramuscular", STARTED, DRAWN, four_hours(), Measure.of(site, "min"))
    expected = min(
        STARTED + timedelta(hours=4),
        STARTED + timedelta(minutes=site),
        DRAWN + timedelta(minutes=min(stable_minutes)),
    )
    assert found.at == expected


def test_a_vials_own_limit_is_told_in_the_counters_zone() -> None:
    # the record keeps 12:00 UTC; a counter an hour ahead of it reads 13:00 on the label
    here = timezone(timedelta(hours=1))
    kept = datetime(2026, 3, 15, 12, 0, tzinfo=UTC)
    vial = a_container(a_product(form=Form.MULTI_DOSE_VIAL), left="5", opened_at=kept, discard_after=kept)
    now = datetime(2026, 3, 15, 11, 0, tzinfo=here)
    found = discard_after((vial,), "intramuscular", now, now, four_hours())
    (limit,) = [one for one in found.limits if one.name == IN_USE]
    assert f"{limit.at:%H:%M}" == "13:00"
