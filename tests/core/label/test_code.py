"""Our labels' codes: what they name, and that a wrong character never passes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.findings import Refusal
from kiosk.core.label.code import (
    ALPHABET,
    LAST_SERIAL,
    NUMBER_DIGITS,
    Kind,
    ReadCode,
    check_character,
    grouped,
    is_ours,
    make_code,
    printed_code,
    read_code,
)

COUNTERS = st.text(NUMBER_DIGITS, min_size=2, max_size=2)
SERIALS = st.integers(0, LAST_SERIAL)
CODES = st.builds(lambda c, n: printed_code(Kind.SYRINGE, make_code(c, n)), COUNTERS, SERIALS)


@pytest.mark.parametrize(
    ("text", "check", "source"),
    [
        ("A12425GABC1234002", "M", "Global Release Identifier standard 2.1, its own example"),
        ("123AB", "X", "an integration tool's manual, checksum ISO 7064 Mod. 37/36"),
        ("DADPIDA3897722461", "J", "the same manual"),
        ("000000003A8D0000", "Z", "ISAN 0000-0000-3A8D-0000-Z, from memory"),
    ],
)
def test_the_check_character_is_that_of_the_standard(text: str, check: str, source: str) -> None:
    assert check_character(text) == check, source


def test_a_syringe_code_is_eleven_characters_and_reads_back_as_its_name() -> None:
    name = make_code("A3", 51)
    printed = printed_code(Kind.SYRINGE, name)
    assert (name, len(printed)) == ("A30001K", 11)
    assert read_code(printed) == ReadCode(Kind.SYRINGE, "A30001K")


def test_running_numbers_give_different_codes_in_order() -> None:
    names = [make_code("A3", number) for number in (*range(2000), LAST_SERIAL)]
    assert names == sorted(set(names))


def test_a_further_copy_has_a_code_of_its_own() -> None:
    first, second = (printed_code(Kind.SYRINGE, name) for name in ("A30001K", "A30001K2"))
    assert read_code(second) == ReadCode(Kind.SYRINGE, "A30001K2")
    assert first != second


def test_an_opened_vial_is_not_taken_for_a_syringe() -> None:
    read = read_code(printed_code(Kind.CONTAINER, "C001"))
    assert read == ReadCode(Kind.CONTAINER, "C001")


@pytest.mark.parametrize("typed", ["pc1a30 001kq", "PC1A30-001KQ", " PC1A30001KQ\n"])
def test_spaces_hyphens_and_small_letters_are_habits_of_writing(typed: str) -> None:
    assert read_code(typed) == ReadCode(Kind.SYRINGE, "A30001K")


@pytest.mark.parametrize("text", ["", "PC", "PC2A30001KQ", "4006381333931", "]d2PC1A30001KQ"])
def test_what_is_not_ours_is_said_to_be_so(text: str) -> None:
    assert not is_ours(text)
    answer = read_code(text)
    assert isinstance(answer, Refusal)
    assert answer.code == "code_not_ours"


@pytest.mark.parametrize(
    "text", ["PC1", "PC1Q", "PC1A30001K", "PC1A3O001KQ", "PC1A30001KQ9", "PC1É0001KQ", "PV1"]
)
def test_a_code_of_ours_that_does_not_check_is_refused_not_mended(text: str) -> None:
    answer = read_code(text)
    assert isinstance(answer, Refusal)
    assert answer.code == "code_misread"


@given(CODES, st.data())
def test_one_wrong_character_anywhere_is_noticed(code: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(code) - 1))
    other = data.draw(st.sampled_from([c for c in ALPHABET if c != code[place]]))
    assert isinstance(read_code(code[:place] + other + code[place + 1 :]), Refusal)


@given(CODES, st.integers(0, 9))
def test_two_neighbours_swapped_are_noticed(code: str, place: int) -> None:
    swapped = code[:place] + code[place + 1] + code[place] + code[place + 2 :]
    assert swapped == code or isinstance(read_code(swapped), Refusal)


@given(st.text())
def test_no_text_at_all_raises(text: str) -> None:
    assert isinstance(read_code(text), ReadCode | Refusal)


@pytest.mark.parametrize(
    ("counter", "serial"), [("A", 1), ("AIO", 1), ("I1", 1), ("a3", 1), ("A3", -1), ("A3", LAST_SERIAL + 1)]
)
def test_a_counter_or_number_that_cannot_be_written_is_a_fault_of_ours(counter: str, serial: int) -> None:
    with pytest.raises(ValueError, match="not"):
        make_code(counter, serial)


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        (Kind.SYRINGE, "A30001"),
        (Kind.SYRINGE, "A30001K10"),
        (Kind.SYRINGE, "A30001K1"),
        (Kind.CONTAINER, ""),
        (Kind.CONTAINER, "c-1"),
    ],
)
def test_a_name_no_code_can_hold_is_a_fault_of_ours(kind: Kind, name: str) -> None:
    with pytest.raises(ValueError, match="not the name"):
        printed_code(kind, name)


def test_for_the_eye_it_stands_in_sixes() -> None:
    assert grouped("PC1A30001KQ") == "PC1A30 001KQ"
