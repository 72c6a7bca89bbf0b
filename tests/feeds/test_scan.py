"""Whatever a scanner sends has a defined answer."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.findings import Refusal
from kiosk.core.label.code import Kind, make_code, printed_code
from kiosk.feeds.own_codes import make_own, read_own
from kiosk.feeds.scan import DEFAULT_FIGURES, ScanReader, is_repeat, what_is
from kiosk.flow.scans import BadgeScan, InUseScan, OrderScan, ProductScan, RepeatedScan, Scan, SyringeScan
from kiosk.tables.stock_figures import scan_figures
from tests.feeds.proof_scans import expiries_written, prove

GS = "\x1d"
NOW = datetime(2026, 11, 25, 3, 0, tzinfo=UTC)
FULL = "0109501101530003" + "17271231" + "10AB-123" + GS + "21S1"


def product(text: str) -> ProductScan:
    found = what_is(text, NOW)
    assert isinstance(found, ProductScan), found
    return found


@pytest.mark.parametrize("aim", ["]d2", "]C1", "]Q3", "]e0", ""])
def test_a_product_reads_the_same_from_any_gs1_symbol(aim: str) -> None:
    assert product(aim + FULL) == ProductScan("09501101530003", "AB-123", date(2027, 12, 31), "S1")


def test_what_else_a_symbol_carries_is_kept() -> None:
    found = product("]d2" + FULL + GS + "3012" + GS + "11260101" + "7003" + "2712312359")
    assert found.more == (("30", "12"), ("11", "260101"), ("7003", "2712312359"))
    assert found.expiry == date(2027, 12, 31)


def test_an_expiry_given_only_with_its_hour_is_an_expiry() -> None:
    assert product("]d20109501101530003" + "7003" + "2706150800").expiry == date(2027, 6, 15)


def test_two_expiries_that_differ_are_refused() -> None:
    assert code("]d20109501101530003" + "17271231" + "7003" + "2711300000") == "scan_says_two_things"


@pytest.mark.parametrize("text", ["9501101530003", "]E09501101530003", "09501101530003", "]I109501101530003"])
def test_a_bare_trade_item_number_names_the_product_alone(text: str) -> None:
    assert product(text) == ProductScan("09501101530003")


def code(text: str) -> str:
    found = what_is(text, NOW)
    assert isinstance(found, Refusal), found
    return found.code


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("]d1" + FULL, "scan_not_gs1"),
        ("]C0" + FULL, "scan_not_gs1"),
        ("]X0" + FULL, "scan_not_gs1"),
        ("]D2" + FULL.swapcase(), "scan_caps_lock"),
        ("]q3" + FULL.swapcase(), "scan_caps_lock"),
        ("]E0950110153000", "scan_not_understood"),
        ("]E49501101530003", "scan_not_understood"),
        ("]E09501101530004", "scan_check_digit_wrong"),
        ("9501101530004", "scan_check_digit_wrong"),
        ("17271231" + "10AB-123", "scan_without_product"),
        ("00095011015300000018" + "10A", "scan_is_a_box"),
        ("0209501101530003" + "3712", "scan_is_a_box"),
        ("]d20109501101530003" + "17271331", "scan_date_impossible"),
        ("]d20109501101530003" + "7003" + "2711302500", "scan_date_impossible"),
        ("]d20109501101530003" + "7003" + "2713300600", "scan_date_impossible"),
        ("]d20109501101530003" + "7003" + "27113006", "scan_not_understood"),
        ("]d20109501101530003" + "11270230" + "17271231", "scan_date_impossible"),
        ("", "scan_empty"),
        ("\r\n", "scan_empty"),
        ("0" * 401, "scan_too_long"),
        ("good morning", "scan_unknown"),
        ("(01)09501101530003", "scan_unknown"),
        ("]", "scan_unknown"),
        ("٩٥٠١١٠١٥٣٠٠٠٣", "scan_not_understood"),
        ("PB1N01X", "code_misread"),
        ("PO1", "code_misread"),
    ],
)
def test_what_is_not_believed_says_why(text: str, why: str) -> None:
    assert code(text) == why


@pytest.mark.parametrize(
    ("fields", "flag"),
    [
        ("17270200" + "10A", "scan_expiry_day_not_given"),
        ("17991209" + "10A", "scan_expiry_out_of_question"),
        ("17370101" + "10A", "scan_expiry_out_of_question"),
        ("10LOT17271231", "scan_separator_lost"),
    ],
)
def test_what_is_readable_but_odd_is_flagged(fields: str, flag: str) -> None:
    assert product("]d20109501101530003" + fields).flags == (flag,)


def test_a_scanner_that_never_showed_a_separator_makes_a_swallowed_serial_doubtful() -> None:
    swallowed = "0109501101530003" + "17271231" + "10LOT21SER9"
    assert product(swallowed).flags == ("scan_separator_unsure",)
    assert product("]d2" + swallowed).flags == ()
    assert product(swallowed + GS).flags == ()


def test_a_swallowed_expiry_is_not_guessed() -> None:
    found = product("]d20109501101530003" + "10LOT17271231")
    assert (found.lot, found.expiry) == ("LOT17271231", None)


@pytest.mark.parametrize("aim", ["", "]d1", "]d2", "]Q1", "]C0"])
def test_our_own_codes_are_known_from_any_symbol(aim: str) -> None:
    syringe = make_code("A3", 77)
    badge = make_own("PB1", "N01")
    answers: dict[str, Scan] = {
        printed_code(Kind.SYRINGE, syringe): SyringeScan(syringe),
        printed_code(Kind.CONTAINER, "C012"): InUseScan("C012"),
        badge: BadgeScan(badge),
        make_own("PO1", "O17"): OrderScan("O17"),
    }
    for text, answer in answers.items():
        assert what_is(aim + text, NOW) == answer
        assert what_is(aim + text.lower() + "\r", NOW) == answer


@given(name=st.text("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ", min_size=1, max_size=16), data=st.data())
def test_one_wrong_character_in_a_badge_shows(name: str, data: st.DataObject) -> None:
    # ISO/IEC 7064 MOD 37,36 finds every single substitution (published property of the scheme)
    badge = make_own("PB1", name)
    assert read_own(badge) == ("PB1", name)
    place = data.draw(st.integers(3, len(badge) - 1))
    other = data.draw(
        st.sampled_from([c for c in "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ" if c != badge[place]])
    )
    assert read_own(badge[:place] + other + badge[place + 1 :]) is None


@pytest.mark.parametrize("name", ["", "with space", "é", "A" * 17, "a1"])
def test_a_name_no_badge_can_hold_is_a_bug(name: str) -> None:
    with pytest.raises(ValueError, match="no such code"):
        make_own("PB1", name)


def test_the_same_scan_within_a_second_is_one_scan() -> None:
    figures = scan_figures()
    before = (FULL, NOW)
    assert is_repeat(FULL + "\r", NOW + timedelta(milliseconds=400), before, figures)
    assert is_repeat(FULL, NOW + timedelta(seconds=1), before, figures)
    assert not is_repeat(FULL, NOW + timedelta(seconds=1, milliseconds=1), before, figures)
    assert not is_repeat(FULL + "X", NOW, before, figures)
    assert not is_repeat(FULL, NOW - timedelta(seconds=1), before, figures)
    assert not is_repeat(FULL, NOW, None, figures)


def test_the_figures_of_the_table_are_the_ones_used_where_none_are_given() -> None:
    assert scan_figures() == DEFAULT_FIGURES
    assert ScanReader(scan_figures())(FULL, NOW) == what_is(FULL, NOW)


def test_a_trigger_that_fires_twice_counts_once_and_a_symbol_held_there_comes_again() -> None:
    read = ScanReader(scan_figures())
    at = [read(FULL, NOW + timedelta(milliseconds=ms)) for ms in (0, 300, 900, 1001, 1500)]
    assert [isinstance(found, RepeatedScan) for found in at] == [False, True, True, False, True]
    other = "]E0" + "9501101530003"
    assert isinstance(read(other, NOW + timedelta(milliseconds=1600)), ProductScan)
    assert isinstance(read(FULL, NOW + timedelta(milliseconds=1700)), ProductScan)


@given(st.text(max_size=60))
def test_no_text_whatever_raises(text: str) -> None:
    for prefix in ("", "]d2", "]C1", "0109501101530003", "PB1", "PC1", "PV1"):
        what_is(prefix + text, NOW)


@given(st.text("0123456789" + GS + "AB]dC", max_size=50))
def test_an_expiry_is_never_read_that_the_symbol_does_not_carry(text: str) -> None:
    found = what_is("0109501101530003" + text, NOW)
    if isinstance(found, ProductScan) and found.expiry:
        digits = {d[:4] for d in expiries_written("0109501101530003" + text)}
        assert f"{found.expiry:%y%m}" in digits


def test_twenty_thousand_damaged_scans_raise_nothing_and_misread_no_expiry() -> None:
    answers = prove(20_000, seed=20261125)
    assert [answer for answer in answers if answer.startswith("MISREAD")] == []
    assert answers["read as it was"] > 2_000
    assert answers["says another date, stopped by the record"] > 10
