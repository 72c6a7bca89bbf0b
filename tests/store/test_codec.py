"""Core values as text and back: exact, canonical, tolerant of later fields."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.core.catalogue.container import Form
from kiosk.core.catalogue.strength import AmountInVolume, Ratio, Strength
from kiosk.core.preparation import events as e
from kiosk.core.units import Measure
from kiosk.store import codec
from tests.store import samples as s
from tests.store.event_strategies import KINDS


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_every_kind_of_event_comes_back_exactly(kind: type, data: st.DataObject) -> None:
    event = data.draw(st.from_type(kind))
    text = codec.to_text(codec.written(event))
    assert codec.read(kind, codec.from_text(text)) == event
    assert codec.to_text(codec.written(codec.read(kind, codec.from_text(text)))) == text
    assert text.isascii()


def test_numbers_stand_as_exact_text() -> None:
    raw = codec.written(
        e.VolumeCommitted("p", Measure(Fraction(3, 2), "mL"), Measure(Fraction(1, 3), "mL"), False)
    )
    assert raw == {"by": "p", "figure": "3/2 mL", "worked_out": "1/3 mL", "agrees": False}


def test_a_decimal_keeps_the_digits_it_was_written_with() -> None:
    assert codec.written(Decimal("0.10")) == "0.10"
    assert codec.read(Decimal, "0.10").as_tuple() == Decimal("0.10").as_tuple()


def test_a_value_of_a_union_names_its_kind() -> None:
    raw = codec.written(Ratio(Decimal(1), Decimal(1000)), Strength)
    assert raw == {"kind": "Ratio", "parts": "1", "within": "1000"}
    assert codec.read(Strength, raw) == Ratio(Decimal(1), Decimal(1000))  # type: ignore[arg-type]


def test_sets_are_sorted_and_keys_too_so_that_equal_values_have_equal_text() -> None:
    one = codec.to_text(codec.written(s.a_product()))
    assert json.loads(one)["routes"] == ["intramuscular", "intravenous"]
    assert list(json.loads(one)) == sorted(json.loads(one))


def test_every_field_is_written_so_that_a_later_default_changes_no_old_entry() -> None:
    assert codec.written(e.StepDone("p", "prime")) == {"by": "p", "step": "prime", "last": False}


def test_a_field_of_a_later_version_is_ignored_and_a_missing_one_takes_its_default() -> None:
    assert codec.read(e.StepDone, {"by": "p", "step": "prime", "warmth": 3}) == e.StepDone("p", "prime")


@pytest.mark.parametrize(
    ("hint", "raw"),
    [
        (e.StepDone, {"step": "prime"}),
        (e.StepDone, {"by": 3, "step": "prime"}),
        (e.StepDone, ["p", "prime"]),
        (Measure, "3/2 furlongs"),
        (Measure, "1/0 mL"),
        (Measure, "mL"),
        (datetime, "2026-03-15T03:00:00"),
        (date, "2026-02-30"),
        (Form, "bucket"),
        (Strength, {"kind": "Guess"}),
        (int, True),
    ],
    ids=str,
)
def test_what_is_not_the_value_is_refused(hint: Any, raw: Any) -> None:
    with pytest.raises(codec.Unreadable):
        codec.read(hint, raw)


@pytest.mark.parametrize("text", ["1.5", '{"a":NaN}', '{"a":1e3}', "{", '{"a":Infinity}'])
def test_floats_and_broken_text_are_refused(text: str) -> None:
    with pytest.raises(codec.Unreadable):
        codec.from_text(text)


@pytest.mark.parametrize(
    "value",
    [1.5, object(), Decimal("NaN"), datetime(2026, 3, 15)],  # noqa: DTZ001
    ids=["a float", "an object", "not a number", "a moment without a zone"],
)
def test_what_cannot_be_written_exactly_is_a_bug(value: object) -> None:
    with pytest.raises((TypeError, ValueError)):
        codec.written(value)


def test_a_wrong_type_in_a_field_is_caught_when_written_not_when_read() -> None:
    with pytest.raises(TypeError):
        codec.written(e.PlungerRead("p", Measure.of("1", "mL"), "yes"))  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        codec.written(s.a_container(lot=7))  # type: ignore[arg-type]


def test_a_day_is_not_a_moment() -> None:
    with pytest.raises(TypeError):
        codec.coder(date).write(datetime(2026, 3, 15, tzinfo=UTC))


@dataclass(frozen=True)
class _Clash:
    kind: str


def test_a_union_member_with_a_field_called_kind_is_a_bug_seen_at_once() -> None:
    with pytest.raises(TypeError, match="kind"):
        codec.coder(_Clash | AmountInVolume)


def test_text_of_any_language_and_any_scanner_survives() -> None:
    event = e.Refused("p", "ScanBack", "label_of_another", (("code", "é\u2028\x1d\ud800"),))
    assert codec.read(e.Refused, codec.from_text(codec.to_text(codec.written(event)))) == event
