"""Slips of the finger and names that are mistaken for each other.

Method: every slip is also made on purpose, letter by letter, and counted by a plain edit distance written
out here as a table (Damerau 1964, restricted to neighbours), which shares nothing with the code.
"""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.stock.near_names import LONGEST, folded, mistaken_for, slips, within_one_slip, words_of
from tests.core.samples import a_drug

WORDS = st.text(alphabet="abcde", min_size=2, max_size=LONGEST)


def distance(one: str, other: str) -> int:
    """The number of slips between two words, by the whole table."""
    table = {(i, 0): i for i in range(len(one) + 1)} | {(0, j): j for j in range(len(other) + 1)}
    for i in range(1, len(one) + 1):
        for j in range(1, len(other) + 1):
            same = one[i - 1] == other[j - 1]
            table[i, j] = min(table[i - 1, j] + 1, table[i, j - 1] + 1, table[i - 1, j - 1] + (not same))
            if i > 1 and j > 1 and one[i - 1] == other[j - 2] and one[i - 2] == other[j - 1]:
                table[i, j] = min(table[i, j], table[i - 2, j - 2] + 1)
    return table[len(one), len(other)]


@given(WORDS, WORDS)
def test_a_word_is_one_slip_from_a_beginning_exactly_when_some_beginning_is_that_near(
    typed: str, word: str
) -> None:
    near = min(distance(typed, word[:end]) for end in range(len(word) + 1)) <= 1
    assert within_one_slip(typed, word) is near


@given(WORDS, WORDS)
def test_words_one_slip_apart_share_what_they_are_looked_up_by(one: str, other: str) -> None:
    if distance(one, other) <= 1:
        assert slips(one) & slips(other)


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("prochlorPERazine 12.5 mg", "prochlorperazine 12.5 mg"),
        ("  Two   Words ", "two words"),
        ("Épinéphrine", "epinephrine"),
        ("STRASSE ß", "strasse ss"),
        ("", ""),
    ],
)
def test_a_text_is_compared_without_capitals_accents_and_spare_blanks(text: str, plain: str) -> None:
    assert folded(text) == plain


def test_only_words_of_five_letters_and_more_are_looked_for_past_a_slip() -> None:
    assert words_of("insulin human 100 units/ml, 10 ml") == ("insulin", "human", "units")
    assert words_of(string.digits) == ()


def test_a_drug_is_mistaken_only_for_what_is_here() -> None:
    drug = a_drug("hydromorphone", looks_like=frozenset({"morphine", "hydralazine"}))
    here = [a_drug("morphine"), a_drug("morphine"), a_drug("heparin"), drug]
    assert mistaken_for(drug, here) == ("morphine",)
    assert mistaken_for(a_drug("heparin"), here) == ()
