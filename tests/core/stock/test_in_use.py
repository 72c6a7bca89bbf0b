"""Opening a multi-dose vial and drawing from it.

28 days from first puncture unless the maker says otherwise: CDC injection safety guidance, USP <797>. The
date example is TJC MM.03.01.01 EP 7's: opened 15 March, to be discarded 12 April.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.findings import Refusal
from kiosk.core.stock.in_use import discard_limits, draw, open_vial, time_in_use
from kiosk.core.units import Measure
from kiosk.tables.stock_figures import in_use_figures
from tests.core.samples import a_container, a_product

FIGURES = in_use_figures()
OPENED = datetime(2026, 3, 15, 9, 0, tzinfo=UTC)


def a_vial(**product: object) -> Container:
    facts: dict[str, object] = {"form": Form.MULTI_DOSE_VIAL, "contents": "10", **product}
    return a_container(a_product(id="vial", **facts), expiry=date(2027, 1, 31))  # type: ignore[arg-type]


def opened(container: Container, at: datetime = OPENED, site: Measure | None = None) -> Container:
    found = open_vial(container, at, FIGURES, site)
    assert isinstance(found, Container), found
    return found


def test_a_vial_whose_maker_says_nothing_is_good_for_28_days() -> None:
    vial = opened(a_vial())
    assert vial.discard_after == datetime(2026, 4, 12, 9, 0, tzinfo=UTC)
    assert vial.opened_at == OPENED
    assert vial.left == Measure.of(10, "mL")


def test_the_makers_time_counts_where_there_is_one_longer_or_shorter() -> None:
    assert opened(a_vial(in_use=Measure.of(42, "day"))).discard_after == datetime(2026, 4, 26, 9, tzinfo=UTC)
    assert opened(a_vial(in_use=Measure.of(24, "h"))).discard_after == datetime(2026, 3, 16, 9, tzinfo=UTC)


def test_a_site_can_only_shorten_it() -> None:
    vial = a_vial(in_use=Measure.of(14, "day"))
    week, quarter = Measure.of(7, "day"), Measure.of(90, "day")
    assert opened(vial, site=week).discard_after == datetime(2026, 3, 22, 9, tzinfo=UTC)
    assert opened(vial, site=quarter).discard_after == datetime(2026, 3, 29, 9, tzinfo=UTC)
    assert time_in_use(vial.product, FIGURES, week) == (week, "this site's policy")


def test_the_pack_may_end_before_the_time_in_use() -> None:
    vial = a_container(a_vial().product, expiry=date(2026, 3, 20))
    limits = discard_limits(vial, OPENED, FIGURES)
    assert [limit.at for limit in limits] == [
        datetime(2026, 3, 21, 0, 0, tzinfo=UTC),
        datetime(2026, 4, 12, 9, 0, tzinfo=UTC),
    ]
    assert "28 days" in limits[1].source
    assert opened(vial).discard_after == limits[0].at


def code(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    return answer.code


@pytest.mark.parametrize("form", [form for form in Form if form is not Form.MULTI_DOSE_VIAL])
def test_nothing_else_is_kept_open(form: Form) -> None:
    assert code(open_vial(a_container(a_product(form=form)), OPENED, FIGURES)) == "single_use_not_kept"


def test_a_vial_is_opened_once_and_not_after_its_time() -> None:
    assert code(open_vial(opened(a_vial()), OPENED, FIGURES)) == "vial_already_open"
    unknown = a_container(replace(a_vial().product, contents=None))
    assert code(open_vial(unknown, OPENED, FIGURES)) == "vial_fill_unknown"
    old = a_container(a_vial().product, expiry=date(2026, 3, 14))
    assert code(open_vial(old, OPENED, FIGURES)) == "vial_past_discard"


def test_drawing_takes_exactly_that_much_and_never_more_than_is_there() -> None:
    vial = opened(a_vial())
    after = draw(vial, Measure.of("0.3", "mL"), FIGURES)
    assert isinstance(after, Container)
    assert after.left == Measure.of("9.7", "mL")
    assert not after.used_up
    assert code(draw(after, Measure.of("9.71", "mL"), FIGURES)) == "not_enough_left"
    assert code(draw(after, Measure.of(0, "mL"), FIGURES)) == "volume_not_positive"
    assert code(draw(a_vial(), Measure.of(1, "mL"), FIGURES)) == "vial_not_open"


def test_a_vial_down_to_what_no_needle_reaches_is_used_up() -> None:
    # 0.1 mL: common practice, no source (resources/tables/in_use.csv)
    nearly = draw(opened(a_vial()), Measure.of("9.9", "mL"), FIGURES)
    not_yet = draw(opened(a_vial()), Measure.of("9.89", "mL"), FIGURES)
    assert isinstance(nearly, Container)
    assert isinstance(not_yet, Container)
    assert nearly.used_up
    assert not not_yet.used_up


@given(st.lists(st.integers(1, 500), min_size=1, max_size=40))
def test_what_was_drawn_and_what_is_left_is_the_fill_to_the_last_hundredth(hundredths: list[int]) -> None:
    vial, drawn = opened(a_vial()), 0
    for amount in hundredths:
        after = draw(vial, Measure.of(f"{amount / 100:.2f}", "mL"), FIGURES)
        if isinstance(after, Refusal):
            assert drawn + amount > 1000
            continue
        vial, drawn = after, drawn + amount
    assert vial.left is not None
    assert vial.left.value * 100 == 1000 - drawn
