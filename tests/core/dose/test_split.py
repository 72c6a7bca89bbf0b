"""Splitting a volume: within the limit, as few parts as can be, and together exactly the whole."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.split import MOST_PARTS, parts_needed, split
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.things import m

volumes = st.builds(Fraction, st.integers(1, 10**4), st.integers(1, 300)).map(lambda v: Measure(v, "mL"))


def parts(volume: str, largest: str, graduation: str | None = None) -> list[Measure]:
    made = split(m(volume), m(largest), m(graduation) if graduation else None)
    assert isinstance(made, tuple), made
    return list(made)


def test_equal_parts_as_few_as_can_be() -> None:
    assert parts("6 mL", "3 mL") == [m("3 mL"), m("3 mL")]
    assert parts("7 mL", "3 mL") == [Measure(Fraction(7, 3), "mL")] * 3
    assert parts("3 mL", "3 mL") == [m("3 mL")]
    assert parts("0.007 L", "5 mL") == [m("3.5 mL"), m("3.5 mL")]


def test_parts_on_lines_differ_by_one_line_at_most() -> None:
    # hand: 7 mL in tenths is 70 lines over three parts: 24 + 23 + 23
    assert parts("7 mL", "3 mL", "0.1 mL") == [m("2.4 mL"), m("2.3 mL"), m("2.3 mL")]
    # hand: at most 2.5 mL means 2.4 on a scale of 0.2: 4.8 is two parts, 5 is three
    assert parts("5 mL", "2.5 mL", "0.2 mL") == [m("1.8 mL"), m("1.6 mL"), m("1.6 mL")]


@pytest.mark.parametrize(
    ("volume", "largest", "graduation", "code"),
    [
        ("0 mL", "3 mL", None, "split_not_understood"),
        ("3 mL", "0 mL", None, "split_not_understood"),
        ("3 mg", "3 mL", None, "split_not_understood"),
        ("3 mL", "3 mL", "0 mL", "split_not_understood"),
        ("3.05 mL", "3 mL", "0.1 mL", "volume_not_on_a_line"),
        ("3 mL", "0.05 mL", "0.1 mL", "limit_below_one_line"),
        ("20.1 mL", "1 mL", None, "split_into_too_many"),
        ("20.1 mL", "1 mL", "0.1 mL", "split_into_too_many"),
        ("1000000000 L", "0.001 mL", None, "split_into_too_many"),
    ],
)
def test_what_cannot_be_split_is_refused(
    volume: str, largest: str, graduation: str | None, code: str
) -> None:
    answer = split(m(volume), m(largest), m(graduation) if graduation else None)
    assert isinstance(answer, Refusal)
    assert answer.code == code


@given(volumes, volumes)
def test_the_parts_are_the_whole(volume: Measure, largest: Measure) -> None:
    made = split(volume, largest)
    if isinstance(made, Refusal):
        assert volume.ratio(largest) > MOST_PARTS
        return
    assert sum(part.value for part in made) == volume.value
    assert max(part.value for part in made) <= largest.value
    assert len(made) == parts_needed(volume, largest)
    assert (len(made) - 1) * largest.value < volume.value  # one part fewer would not do


@given(st.integers(1, 2000), volumes, st.sampled_from(["0.01 mL", "0.1 mL", "0.2 mL", "1 mL"]))
def test_parts_on_lines_are_the_whole_too(lines: int, largest: Measure, line: str) -> None:
    graduation = m(line)
    volume = graduation.scaled(lines)
    made = split(volume, largest, graduation)
    if isinstance(made, Refusal):
        assert largest < graduation or parts_needed(volume, largest) >= MOST_PARTS // 2
        return
    assert sum(part.value for part in made) == volume.value
    assert max(part.value for part in made) <= largest.value
    assert all(part.ratio(graduation).denominator == 1 for part in made)
    assert max(part.value for part in made) - min(part.value for part in made) <= graduation.value
