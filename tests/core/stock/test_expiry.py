"""Which container goes first. Rules: earliest expiry first, the open vial first, one lot in one syringe."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.findings import Refusal
from kiosk.core.stock.expiry import is_usable, may_be_kept, order_of_use, read_expiry
from tests.core.samples import NOW, a_container, a_product

VIAL = a_product(id="vial", form=Form.MULTI_DOSE_VIAL, contents="10")
DAY = timedelta(days=1)


def ids(*containers: Container, taken: tuple[Container, ...] = (), order: str = "") -> list[str]:
    return [c.id for c in order_of_use(containers, NOW, taken, order)]


def test_the_earliest_expiry_goes_first() -> None:
    late = a_container(id="late", expiry=date(2027, 6, 30))
    early = a_container(id="early", expiry=date(2026, 4, 30))
    assert ids(late, early) == ["early", "late"]


def test_an_open_vial_goes_before_an_earlier_expiry() -> None:
    opened = a_container(VIAL, id="open", left="4", opened_at=NOW - DAY, discard_after=NOW + DAY)
    sealed = a_container(VIAL, id="sealed", expiry=date(2026, 3, 20))
    assert ids(sealed, opened) == ["open", "sealed"]


def test_the_lot_already_in_the_syringe_goes_before_everything() -> None:
    first = a_container(id="first", lot="L2", expiry=date(2027, 6, 30))
    same = a_container(id="same", lot="L2", expiry=date(2027, 6, 30))
    early = a_container(id="early", lot="L1", expiry=date(2026, 4, 30))
    assert ids(early, same, taken=(first,)) == ["same", "early"]


@pytest.mark.parametrize("form", list(Form))
def test_only_a_multi_dose_vial_is_kept_once_opened(form: Form) -> None:
    container = a_container(a_product(form=form), left="0.5", opened_at=NOW - DAY, discard_after=NOW + DAY)
    assert may_be_kept(container) is (form is Form.MULTI_DOSE_VIAL)
    assert is_usable(container, NOW) is (form is Form.MULTI_DOSE_VIAL)


def test_a_reserved_container_is_free_for_its_own_order_only() -> None:
    held = a_container(id="held", reserved_for="o1")
    assert ids(held) == []
    assert ids(held, order="o2") == []
    assert ids(held, order="o1") == ["held"]


@st.composite
def shelves(draw: st.DrawFn) -> list[Container]:
    shelf = []
    for n in range(draw(st.integers(1, 8))):
        opened = draw(st.booleans())
        shelf.append(
            a_container(
                VIAL,
                id=f"c{n}",
                lot=draw(st.sampled_from(["A", "B", "C"])),
                expiry=NOW.date() + timedelta(days=draw(st.integers(-3, 60))),
                left=str(draw(st.integers(0, 3))) if opened else None,
                opened_at=NOW - DAY if opened else None,
                discard_after=NOW + timedelta(hours=draw(st.integers(-2, 50))) if opened else None,
                recalled=draw(st.booleans()),
            )
        )
    return shelf


@given(shelves(), st.randoms(use_true_random=False))
def test_the_answer_is_all_usable_ones_in_an_order_that_does_not_depend_on_how_they_came(
    shelf: list[Container], rnd: object
) -> None:
    answer = order_of_use(shelf, NOW)
    assert {c.id for c in answer} == {c.id for c in shelf if is_usable(c, NOW)}
    mixed = list(shelf)
    rnd.shuffle(mixed)  # type: ignore[attr-defined]
    assert order_of_use(mixed, NOW) == answer
    sealed = [c.expiry for c in answer if c.left is None]
    assert sealed == sorted(sealed)
    assert all(c.expiry >= NOW.date() and not c.recalled for c in answer)
    assert all(c.left is None or c.left.value > 0 for c in answer)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-01-31", date(2027, 1, 31)),
        (" 2027.01.31 ", date(2027, 1, 31)),
        ("2027-02", date(2027, 2, 28)),
        ("2028-02", date(2028, 2, 29)),  # a leap year
        ("2027/12", date(2027, 12, 31)),
    ],
)
def test_an_expiry_without_a_day_means_the_last_of_its_month(text: str, day: date) -> None:
    assert read_expiry(text) == day


@pytest.mark.parametrize(
    "text", ["", "2027", "2027-13", "2027-00", "2027-02-30", "31-01-2027", "27-01-31", "2027-1-1"]
)
def test_what_is_no_date_is_refused(text: str) -> None:
    assert read_expiry(text) == Refusal("expiry_not_read", {"text": text})
