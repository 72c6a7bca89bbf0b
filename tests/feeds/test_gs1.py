"""GS1 element strings: the published check values as stated, and what must not pass.

Check values: label-and-check facts, section 9c, gathered from public pages; check digits verified by hand
with weights 3 and 1 from the right. Rules: GS1 General Specifications (formats, day 00, century window of
49 years back and 50 ahead, separators).
"""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.findings import Refusal
from kiosk.feeds.gs1 import Element, day, elements, moment, swallowed
from kiosk.feeds.gtin import check_digit, gtin14

GS = "\x1d"
TODAY = date(2026, 11, 25)


def read(body: str) -> dict[str, str]:
    found = elements(body)
    assert not isinstance(found, Refusal), found
    return {element.ai: element.value for element in found}


def refused(body: str) -> str:
    found = elements(body)
    assert isinstance(found, Refusal), found
    return found.code


def test_a_serial_before_the_expiry_ends_at_its_separator() -> None:
    found = read("0107680669330019" + "21" + "10030376244896" + GS + "17251130" + "10A1B2")
    assert found == {"01": "07680669330019", "21": "10030376244896", "17": "251130", "10": "A1B2"}
    on = day(found["17"], TODAY)
    assert on is not None
    assert on.on == date(2025, 11, 30)


def test_a_count_then_a_serial() -> None:
    assert read("3019" + GS + "21123456789012") == {"30": "19", "21": "123456789012"}


def test_an_expiry_of_1999_is_read_in_the_last_century() -> None:
    found = read("17991209" + "10ABCD1234" + GS)
    assert found == {"17": "991209", "10": "ABCD1234"}
    on = day(found["17"], TODAY)
    assert on is not None
    assert on.on == date(1999, 12, 9)


def test_a_national_code_in_a_trade_item_number() -> None:
    assert check_digit("0031111222233") == "5"  # published with the digit left out; weights by hand
    assert read("0100311112222335") == {"01": "00311112222335"}


def test_a_lost_separator_leaves_the_lot_whole_and_is_noticed() -> None:
    found = elements("01007308222995411727123110N4053724112201132002")
    assert not isinstance(found, Refusal)
    assert [(e.ai, e.value) for e in found] == [
        ("01", "00730822299541"),
        ("17", "271231"),
        ("10", "N4053724112201132002"),
    ]
    now = datetime(2026, 11, 25, tzinfo=UTC)
    assert swallowed(found[2], now, True) == "lost"
    assert swallowed(Element("10", "N4053724", True), now, True) == ""


def test_the_demonstration_number() -> None:
    assert gtin14("9501101530003") == "09501101530003"
    assert read("01095011015300031727123110AB-123")["10"] == "AB-123"


@pytest.mark.parametrize(
    ("digits", "on", "day_given"),
    [
        ("260630", date(2026, 6, 30), True),
        ("260600", date(2026, 6, 30), False),  # day 00: the month's last (GS1, 2006 table)
        ("280200", date(2028, 2, 29), False),
        ("270200", date(2027, 2, 28), False),
        ("760101", date(2076, 1, 1), True),  # 50 years ahead of 2026
        ("770101", date(1977, 1, 1), True),  # 49 years back
        ("280229", date(2028, 2, 29), True),
    ],
)
def test_a_date_is_read_by_the_century_window_and_day_00_is_the_last(
    digits: str, on: date, day_given: bool
) -> None:
    found = day(digits, TODAY)
    assert found is not None
    assert (found.on, found.day_given) == (on, day_given)


@pytest.mark.parametrize("digits", ["261301", "260001", "260231", "270229", "260431", "269999"])
def test_a_date_not_in_the_calendar_is_none(digits: str) -> None:
    assert day(digits, TODAY) is None


def test_the_century_follows_the_day_given_and_no_clock() -> None:
    assert [day("300101", date(year, 1, 1)).on.year for year in (1979, 1980, 2079, 2080)] == [  # type: ignore[union-attr]
        1930,
        2030,
        2030,
        2130,
    ]


def test_an_expiry_with_its_hour() -> None:
    found = moment("2711301830", TODAY)
    assert found is not None
    assert (found[0].on, found[1]) == (date(2027, 11, 30), "18:30")
    assert moment("2711302500", TODAY) is None
    assert moment("2711301860", TODAY) is None


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ("0109501101530004", "scan_check_digit_wrong"),
        ("0100000000000000", "scan_check_digit_wrong"),
        ("010950110153000317271331", "scan_date_impossible"),
        ("010950110153000", "scan_not_understood"),
        ("0109501101530003" + "1727123", "scan_not_understood"),
        ("0109501101530003" + "05ABC", "scan_not_understood"),
        ("0109501101530003" + "10A B", "scan_not_understood"),
        ("0109501101530003" + "10" + "A" * 21, "scan_separator_missing"),
        ("0109501101530003" + "10" + "A" * 20 + "17271231", "scan_separator_missing"),
        ("0109501101530003" + "10A1" + GS + GS + "17271231", "scan_not_understood"),
        ("0109501101530003" + "10A1" + GS + "10B2", "scan_says_two_things"),
        ("0109501101530003" + "0109520000000004", "scan_says_two_things"),
        ("0109501101530003" + "10Aé", "scan_not_understood"),
        ("", "scan_not_understood"),
        (GS, "scan_not_understood"),
    ],
)
def test_what_cannot_be_believed_is_refused_by_name(body: str, code: str) -> None:
    assert refused(body) == code


def test_the_same_thing_said_twice_is_said_once() -> None:
    assert read("0109501101530003" + "10A1" + GS + "10A1" + GS + "17271231")["10"] == "A1"


def test_separators_where_none_is_needed_do_no_harm() -> None:
    assert read(GS + "0109501101530003" + GS + "17271231" + GS + "10A1" + GS) == {
        "01": "09501101530003",
        "17": "271231",
        "10": "A1",
    }


@pytest.mark.parametrize(
    ("value", "sure", "suspicion"),
    [
        ("LOT17271231", True, "lost"),
        ("LOT7003271231" + "0600", True, "lost"),
        ("LOT0109501101530003", True, "lost"),
        ("LOT21SER9", False, "unsure"),
        ("LOT21SER9", True, ""),
        ("LOT17993399", True, ""),
        ("LOT17771231", True, ""),  # 1977: no credible date
        ("A1234567", False, ""),
    ],
)
def test_a_swallowed_field_is_suspected_by_what_it_looks_like(value: str, sure: bool, suspicion: str) -> None:
    assert swallowed(Element("10", value, True), datetime(2026, 11, 25, tzinfo=UTC), sure) == suspicion


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("96385074", "00000096385074"),  # GS1's own GTIN-8 example, from memory; weights checked by hand
        ("036000291452", "00036000291452"),  # a well-known UPC-A teaching example, from memory
        ("9501101530003", "09501101530003"),
        ("09501101530003", "09501101530003"),
    ],
)
def test_a_trade_item_number_of_any_length_is_kept_as_fourteen_digits(text: str, number: str) -> None:
    assert gtin14(text) == number


@pytest.mark.parametrize(
    "text", ["", "1", "9501101530004", "950110153000", "00000000", "٩٥٠١١٠١٥٣٠٠٠٣", "95011015A0003"]
)
def test_what_is_no_trade_item_number_is_none(text: str) -> None:
    assert gtin14(text) is None


@given(st.text("0123456789" + GS + "AB-", max_size=60))
def test_what_is_read_is_all_of_what_was_sent(text: str) -> None:
    found = elements("0109501101530003" + text)
    if not isinstance(found, Refusal):
        rest = "0109501101530003" + text
        for one in sorted({element.ai + element.value for element in found}, key=len, reverse=True):
            rest = rest.replace(one, "")
        assert rest.strip(GS) == ""
