"""Every kind of entry has its sentence, in every language, and asks only for what the entry holds."""

from __future__ import annotations

import string
from dataclasses import fields
from datetime import UTC
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import SignedOff, SignOnRefused, StaffChanged
from kiosk.core.units import Measure
from kiosk.flow.ports import Recorded
from kiosk.hardware.clock import SetClock
from kiosk.pages.record_words import Teller, teller
from kiosk.pages.words import Words
from kiosk.tables.words import languages, words
from kiosk.walkthrough.journeys import JOURNEYS
from tests.counter import NOW, rules
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand
from tests.store.event_strategies import KINDS

NAMES = {"N01": "Nell Quickthorn", "N02": "Idris Candlewick", "K01": "Agnes Millwheel"}


def tells(language: str = "en") -> Teller:
    return Teller(Words(words(language), language), rules(), NAMES, NOW.tzinfo)


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_kind_of_entry_has_a_sentence_that_asks_for_its_own_fields(kind: type, language: str) -> None:
    sentence = words(language)[f"event.{kind.__name__}"]
    asked = {name for _, name, _, _ in string.Formatter().parse(sentence) if name}
    assert asked <= {field.name for field in fields(kind)}


@pytest.mark.parametrize("language", languages())
def test_no_sentence_is_kept_for_a_kind_that_is_not(language: str) -> None:
    kept = {key.removeprefix("event.") for key in words(language) if key.startswith("event.")}
    assert kept == {kind.__name__ for kind in KINDS}


@pytest.mark.parametrize("language", languages())
@given(data=st.data())
@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None)
def test_any_entry_can_be_told(language: str, data: st.DataObject) -> None:
    event = data.draw(st.sampled_from(KINDS).flatmap(st.from_type))
    assert tells(language).sentence(event)


def said(event: Any, language: str = "en") -> str:
    return tells(language).sentence(event)


def test_people_are_said_by_name_and_quantities_in_safe_writing() -> None:
    half = Measure.of("0.50", "mL")
    committed = e.VolumeCommitted("N01", half, Measure.of("0.5", "mL"), True)
    assert said(committed) == "Nell Quickthorn worked out 0.5 mL. The kiosk: 0.5 mL. They agree."
    assert said(committed, "fr").startswith("Nell Quickthorn a calculé 0,5 mL.")


@pytest.mark.parametrize(
    ("matter", "value", "reads"),
    [
        ("figure", "17/20 mL", "Volume worked out 0.85 mL"),
        ("plunger", "20 units", "Plunger position 20 units"),
        ("needle", "23 G 25 mm", "Needle 23 G 25 mm"),
        ("needle", "30 G 127/5 mm", "Needle 30 G 25.4 mm"),
        ("container", "insulin-100|TWS1003", "Container insulin-100 TWS1003"),
        ("figure", "nonsense", "Volume worked out nonsense"),
    ],
)
def test_a_stated_reading_is_said_as_people_write_it(matter: str, value: str, reads: str) -> None:
    sentence = said(e.Stated("N02", matter, value, "f" * 64, 1, 7))
    assert sentence == f"Idris Candlewick stated in round 1: {reads}, after 7 s."


def test_a_needle_whose_length_is_no_length_is_told_as_it_stands() -> None:
    assert said(e.NeedleTaken("N01", "n", 23, Measure.of(25, "mm"))).count("23 G") == 1
    assert "0.5 g" in said(e.NeedleTaken("N01", "n", 23, Measure.of("0.5", "g")))


def test_a_refusal_is_told_in_the_words_the_person_saw() -> None:
    told = said(e.Refused("N01", "TakeUp", "somebody_is_signed_on", (("name", "Ada"),)))
    assert told.startswith("Refused to Nell Quickthorn: ")
    assert "Ada" in told
    assert said(e.Refused("N01", "X", "a_code_of_long_ago")) == (
        "Refused to Nell Quickthorn: a code of long ago"
    )


def test_a_refusal_whose_sentence_asks_for_more_today_is_told_by_its_code() -> None:
    told = said(e.Refused("N01", "X", "sign_on_wait"))  # its sentence asks for seconds
    assert told == "Refused to Nell Quickthorn: sign on wait"


def test_what_happens_beside_syringes_is_told_too() -> None:
    assert said(SignedOff("N01", "handed over")) == "Nell Quickthorn signed off: called away."
    assert "The badge is locked." in said(SignOnRefused("abc", 5, True))
    changed = StaffChanged("K01", "N02", "changed", ("preparer", "witness"), True)
    assert (
        said(changed) == "Agnes Millwheel: Idris Candlewick was changed. May prepare, witness. In training."
    )


@pytest.mark.parametrize("language", languages())
def test_whole_journeys_are_told_without_a_hole_or_an_id(language: str, tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    for journey in JOURNEYS:
        journey.goes(hand, the_cast())
        hand.press("sign-off")
    spoken = Words(words(language), language)
    ids = [row["id"] for row in store.database.rows("SELECT id FROM preparations")]
    for id in ids:
        entries = list(store.ledger.events(id))
        tell = teller(spoken, driver.desk.rules, store.people, entries, NOW.tzinfo)
        for entry in entries:
            line = tell.line(entry.at, entry.event)
            assert "{" not in line.text
            assert not {"N01", "N02", "C002", "C053", "C005"} & set(line.text.replace(",", " ").split()), line
            assert "_" not in line.text, line
    store.close()


def test_times_are_those_of_the_counter() -> None:
    entry = Recorded(1, NOW.astimezone(UTC), e.Finished("N01"))
    assert tells().line(entry.at, entry.event).at == "08:00"
