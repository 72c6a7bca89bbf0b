"""The site's policy as the record has it: the last word counts, found changes are told, bounds hold."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from kiosk.core.catalogue.policy import Policy, read, written
from kiosk.core.preparation.house_events import HouseEvent, PolicyChanged, PolicyNoted
from kiosk.core.preparation.policies import Book, figure_in_force, fold_policies, found
from kiosk.core.units import Measure

AT = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)
IDLE = Policy("sign_on.idle", Measure.of("180", "s"), "common practice, no source", "lower")
KEPT = Policy(
    "retention.tries", Measure.of("30", "day"), "common practice", "neither", Measure.of("1", "day")
)


def seconds(value: str) -> Measure:
    return Measure.of(value, "s")


def book(*events: HouseEvent) -> Book:
    return fold_policies((AT, event) for event in events)


def in_force(on_record: Book, filed: Measure | None = None, policy: Policy = IDLE) -> tuple[str, str]:
    value, source = figure_in_force(policy, on_record, filed)
    return written(value), source


NOTED = PolicyNoted((("sign_on.idle", "180 s", "published"),))


def by_keeper(was: str, now: str) -> PolicyChanged:
    return PolicyChanged("K01", "sign_on.idle", was, now, "quieter nights")


def from_file(was: str, now: str, source: str = "file") -> PolicyChanged:
    return PolicyChanged("", "sign_on.idle", was, now, source=source)


def test_what_nobody_set_is_as_published() -> None:
    assert in_force(book()) == in_force(book(NOTED)) == ("180 s", "published")


def test_a_keepers_value_stands_until_the_next_word() -> None:
    set_once = book(NOTED, by_keeper("180 s", "120 s"))
    assert in_force(set_once) == ("120 s", "keeper")
    assert in_force(book(NOTED, by_keeper("180 s", "120 s"), by_keeper("120 s", "90 s")))[0] == "90 s"
    assert in_force(set_once, seconds("60")) == ("60 s", "file")


def test_a_file_that_was_read_before_is_no_news_to_a_keepers_value() -> None:
    after = book(NOTED, from_file("180 s", "60 s"), by_keeper("60 s", "120 s"))
    assert in_force(after, seconds("60")) == ("120 s", "keeper")
    assert in_force(after, seconds("90")) == ("90 s", "file")
    assert in_force(after, None) == ("180 s", "published")  # the row was taken out: that is a word too


def test_a_value_that_a_stricter_edition_no_longer_allows_gives_way() -> None:
    stricter = Policy("sign_on.idle", seconds("100"), "a new edition", "lower")
    assert in_force(book(NOTED, by_keeper("180 s", "120 s")), policy=stricter) == ("100 s", "published")
    assert in_force(book(NOTED, by_keeper("180 s", "90 s")), policy=stricter) == ("90 s", "keeper")


def test_what_is_met_first_is_noted_and_what_differs_is_found_changed() -> None:
    assert found(book(), {"sign_on.idle": ("180 s", "published")}) == (NOTED,)
    assert found(book(NOTED), {"sign_on.idle": ("180 s", "published")}) == ()
    assert found(book(NOTED), {"sign_on.idle": ("60 s", "file")}) == (from_file("180 s", "60 s"),)
    assert found(book(NOTED), {}) == (PolicyChanged("", "sign_on.idle", "180 s", "", source="published"),)
    gone = book(NOTED, PolicyChanged("", "sign_on.idle", "180 s", "", source="published"))
    assert found(gone, {}) == ()


@pytest.mark.parametrize(
    ("policy", "value", "allowed"),
    [
        (IDLE, seconds("180"), True),
        (IDLE, seconds("181"), False),
        (IDLE, Measure.of("3", "min"), True),
        (IDLE, Measure.of("10", "mL"), False),
        (KEPT, Measure.of("400", "day"), True),
        (KEPT, Measure.of("1", "day"), True),
        (KEPT, Measure.of("0.5", "day"), False),
    ],
)
def test_no_site_goes_past_its_bound(policy: Policy, value: Measure, allowed: bool) -> None:
    assert policy.allows(value) is allowed


def test_only_the_way_back_towards_the_published_value_weakens() -> None:
    assert IDLE.weakens(seconds("60"), seconds("180"))
    assert not IDLE.weakens(seconds("180"), seconds("60"))
    assert KEPT.weakens(Measure.of("30", "day"), Measure.of("31", "day"))
    assert KEPT.weakens(Measure.of("30", "day"), Measure.of("29", "day"))


def test_a_value_is_written_exactly_and_read_back() -> None:
    for value in (seconds("180"), Measure.of("0.05", "1"), Measure.of("1", "month")):
        assert read(written(value)) == value
