"""The keeper's desk, the policies: seen with their source, changed by two hands, found when changed."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from kiosk.cli import main
from kiosk.core.preparation.house_events import PolicyChanged, PolicyNoted
from kiosk.flow.ports import RecordTrouble
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Choices, Lines
from kiosk.store.verify import verify
from kiosk.wiring.home import Home
from tests.counter import NOW, ward
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import Counter, at_desk, house, letters, presses, said, typed
from tests.store.tampering import rechain

IDLE = "sign_on.idle"


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    at_desk(hand, "policies")
    hand.wait("keeping-policies")
    yield Counter(home, store, hand)
    store.close()


def badges(hand: DriverHand) -> dict[str, tuple[str, str]]:
    """Each policy's value and mark, by its label."""
    control = hand.page().control
    assert isinstance(control, Choices)
    return {one.key.label: (one.badge, one.key.hint) for one in control.choices}


def change(hand: DriverHand, name: str, value: str, why: str = "quieter nights") -> None:
    presses(hand, [f"policy:{name}", "change"])
    typed(hand, value)
    if hand.page().id == "keeping-policy-why":
        letters(hand, why + "\n")


def signs(hand: DriverHand, person: str) -> None:
    """A second person scans their badge and types their PIN."""
    one = next(one for one in ward().staff if one.person.id == person)
    hand.pass_time(2)
    hand.scan(one.badge)
    typed(hand, one.pin)


def test_every_policy_is_listed_with_its_value_and_explained_with_its_source(counter: Counter) -> None:
    listed = badges(counter.hand)
    assert listed["A screen hides itself after"] == ("180 s", "as published")
    assert listed["Patients' identifiers are kept for"] == ("96 months", "as published")
    counter.hand.press("policy:retention.identifiers")
    control = counter.hand.wait("keeping-policy").control
    assert isinstance(control, Lines)
    assert "Records Management Code of Practice 2021" in control.lines[0].detail
    assert "never less than 24 months" in control.lines[1].text


def test_one_keeper_makes_a_policy_stricter_and_it_holds_at_once_and_tomorrow(counter: Counter) -> None:
    hand = counter.hand
    change(hand, IDLE, "60")
    assert hand.wait("keeping-policy").heard == "In force from now on: A screen hides itself after, 60 s."
    assert house(counter.store, PolicyChanged) == [
        PolicyChanged("K01", IDLE, "180 s", "60 s", "quieter nights")
    ]
    assert hand.driver.figures.idle.value.to("s").value == 60
    hand.pass_time(61)
    hand.driver.tick()
    assert hand.page().id == "locked"
    store, driver = opened(counter.home, SetClock(NOW))
    assert driver.figures.idle.value.to("s").value == 60
    assert len(house(store, PolicyChanged)) == 1
    store.close()


def test_what_weakens_a_check_a_second_keeper_signs(counter: Counter) -> None:
    hand = counter.hand
    change(hand, IDLE, "60")
    presses(hand, ["change"])
    typed(hand, "120")
    letters(hand, "too short for gloves\n")
    assert hand.wait("keeping-policy-second").help.startswith("From 60 s to 120 s.")
    signs(hand, "N02")  # no keeper
    assert said(hand) == ["A second keeper must sign this."]
    assert hand.driver.figures.idle.value.to("s").value == 60
    hand.press("commit")  # the reason still stands there
    signs(hand, "K01")  # the same keeper
    assert said(hand) == ["A second keeper must sign this."]
    hand.press("commit")
    signs(hand, "K02")
    assert hand.wait("keeping-policy").heard == "In force from now on: A screen hides itself after, 120 s."
    last = house(counter.store, PolicyChanged)[-1]
    assert last == PolicyChanged("K01", IDLE, "60 s", "120 s", "too short for gloves", "K02")
    assert hand.driver.figures.idle.value.to("s").value == 120


def test_a_looser_value_than_published_is_refused_before_anybody_is_asked_why(counter: Counter) -> None:
    change(counter.hand, IDLE, "600")
    assert said(counter.hand) == ["That is looser than a site may be: the bound is 180 s."]
    assert house(counter.store, PolicyChanged) == []


def test_every_opening_after_the_first_finds_what_the_files_changed(counter: Counter, tmp_path: Path) -> None:
    assert len(house(counter.store, PolicyNoted)) == 1
    counter.home.tables.mkdir()
    own = "id,value,unit,stricter,source,known\nidle,90,s,lower,ours,common practice\n"
    (counter.home.tables / "sign_on.csv").write_text(own, encoding="utf-8")
    store, driver = opened(counter.home, SetClock(NOW))
    assert house(store, PolicyChanged) == [PolicyChanged("", IDLE, "180 s", "90 s", source="file")]
    assert driver.figures.idle.value.to("s").value == 90
    store.close()
    counter.hand.press("policy:" + IDLE)
    control = counter.hand.page().control
    assert isinstance(control, Lines)
    assert "signed by nobody" in control.lines[2].text


def verified(home: Home, capsys: pytest.CaptureFixture[str]) -> tuple[int, list[str]]:
    ended = main(["record", "verify", "--json", "--home", str(home.folder)])
    told = json.loads(capsys.readouterr().out)
    return ended, [f"{one['how']} {one['detail']}" for one in told["breaks"]]


def test_a_policy_changed_in_the_files_is_told_by_verify(
    counter: Counter, capsys: pytest.CaptureFixture[str]
) -> None:
    assert verified(counter.home, capsys) == (0, [])
    counter.home.tables.mkdir()
    own = "id,value,unit,stricter,source,known\nidle,90,s,lower,ours,common practice\n"
    (counter.home.tables / "sign_on.csv").write_text(own, encoding="utf-8")
    assert verified(counter.home, capsys) == (1, [f"policy {IDLE}: on record 180 s, found 90 s"])
    (counter.home.tables / "sign_on.csv").write_text(own.replace(",90,", ",900,"), encoding="utf-8")
    ended, breaks = verified(counter.home, capsys)
    assert (ended, breaks) == (1, ["policy sign_on.csv:2: looser than a site may be"])


def test_a_policy_changed_by_bare_sql_keeps_the_counter_shut(counter: Counter) -> None:
    change(counter.hand, IDLE, "60")
    counter.store.close()
    with closing(sqlite3.connect(counter.home.database, isolation_level=None)) as raw:
        guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE name LIKE 'ledger_no_%'").fetchall()
        for name, _ in guards:
            raw.execute(f"DROP TRIGGER {name}")
        (seq,) = raw.execute("SELECT seq FROM ledger WHERE kind = 'PolicyChanged'").fetchone()
        raw.execute("UPDATE ledger SET entry = replace(entry, '\"60 s\"', '\"175 s\"') WHERE seq = ?", (seq,))
        rechain(raw, seq)
        for _, guard in guards:
            raw.execute(guard)
    with pytest.raises(RecordTrouble):
        opened(counter.home, SetClock(NOW))
    assert not verify(counter.home.database, counter.store.keys).whole
