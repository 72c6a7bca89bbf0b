"""The keeper's desk, the record: found by every way in, told line by line, proved, sealed, judged."""

from __future__ import annotations

import csv
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from kiosk.core.preparation.house_events import SealMade
from kiosk.hardware.clock import SetClock
from kiosk.pages.keeping_verify import Reading
from kiosk.pages.parts import Ground, Lines
from kiosk.printing.read_back import text_of
from kiosk.wiring.home import Home
from tests.counter import NOW
from tests.journeys.counters import opened, the_cast
from tests.journeys.driver_hand import DriverHand, read_label
from tests.journeys.keeper import Counter, at_desk, house, letters, presses, rows, said, two_on_record

CAST = the_cast()


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Home:
    return two_on_record(tmp_path_factory.mktemp("kept"))


@pytest.fixture
def counter(kept: Home, tmp_path: Path) -> Iterator[Counter]:
    home, clock = Home(Path(shutil.copytree(kept.folder, tmp_path / "home"))), SetClock(NOW)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    hand.pass_time(3600)
    at_desk(hand, "record")
    hand.wait("keeping-record")
    yield Counter(home, store, hand)
    store.close()


def typing(way: str, text: str) -> Callable[[DriverHand], None]:
    def do(hand: DriverHand) -> None:
        hand.press(way)
        letters(hand, text + "\n")

    return do


def choosing(way: str, what: str) -> Callable[[DriverHand], None]:
    return lambda hand: presses(hand, [way, f"one:{what}"])


@pytest.mark.parametrize(
    "asks",
    [
        typing("by-patient", "wren"),
        typing("by-patient", "700102"),
        typing("by-lot", "tws1003"),
        choosing("by-drug", "insulin_soluble"),
        choosing("by-person", "N02"),
        lambda hand: hand.scan(CAST.code["insulin"]),
    ],
    ids=["part of a name", "a number", "a lot", "a drug", "a person", "a scanned container"],
)
def test_a_syringe_is_found_by_every_way_in(counter: Counter, asks: Callable[[DriverHand], None]) -> None:
    asks(counter.hand)
    counter.hand.wait("keeping-found")
    (found,) = rows(counter.hand).values()
    assert found == "Tobias Wrenfield"


def test_a_day_holds_all_its_syringes_latest_first(counter: Counter) -> None:
    hand = counter.hand
    hand.press("by-day")
    assert rows(hand) == {"16 Mar 2026": "Syringes begun: 2"}
    hand.press("one:2026-03-16")
    assert list(rows(hand).values()) == ["Caspian Thornapple", "Tobias Wrenfield"]


def test_nothing_found_says_so(counter: Counter) -> None:
    typing("by-patient", "nobody of that name")(counter.hand)
    control = counter.hand.page().control
    assert isinstance(control, Lines)
    assert control.empty == "Nothing was found."


def test_a_syringe_is_told_from_first_to_last(counter: Counter) -> None:
    typing("by-patient", "wren")(counter.hand)
    counter.hand.press("one:0")
    page = counter.hand.wait("keeping-syringe")
    assert isinstance(page.control, Lines)
    told = [line.text for line in page.control.lines]
    assert told[0].startswith("Nell Quickthorn took up insulin human soluble 20 units for Tobias Wrenfield.")
    assert "Vouched for by Nell Quickthorn, Idris Candlewick: independent second person." in told
    assert told[-1] == "Nell Quickthorn put the sharps away. Done."
    assert len(told) == len(counter.store.ledger.events(_preparation(counter, "D100000")))


def _preparation(counter: Counter, code: str) -> str:
    row = counter.store.database.row("SELECT id FROM preparations WHERE code = :code", {"code": code})
    assert row is not None
    return str(row["id"])


def test_its_one_page_record_and_the_list_go_into_the_outbox(counter: Counter) -> None:
    hand = counter.hand
    typing("by-patient", "wren")(hand)
    presses(hand, ["export", "one:0", "sheet"])
    made = {path.suffix: path for path in counter.home.outbox.iterdir()}
    assert set(made) == {".csv", ".json", ".pdf"}
    (row,) = csv.DictReader(made[".csv"].read_text(encoding="utf-8").splitlines())
    assert (row["patient"], row["checker"]) == ("Tobias Wrenfield", "N02")
    assert "Idris Candlewick" in text_of(made[".pdf"].read_bytes())
    assert hand.page().heard == f"In the outbox: {made['.pdf'].name}"


def test_the_record_is_proved_and_holds(counter: Counter) -> None:
    counter.hand.press("verify")
    page = counter.hand.wait("keeping-verified")
    assert page.question == "The record holds"
    assert page.ground is Ground.BENCH


def test_a_changed_entry_is_named_on_a_page_of_trouble(counter: Counter) -> None:
    with closing(sqlite3.connect(counter.home.database, isolation_level=None)) as raw:
        (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'ledger_no_change'").fetchone()
        raw.execute("DROP TRIGGER ledger_no_change")
        raw.execute("UPDATE ledger SET entry = replace(entry, 'N02', 'N03') WHERE kind = 'CheckerCame'")
        (seq,) = raw.execute("SELECT seq FROM ledger WHERE kind = 'CheckerCame'").fetchone()
        raw.execute(guard)
    counter.hand.press("verify")
    page = counter.hand.wait("keeping-verified")
    assert page.ground is Ground.TROUBLE
    assert isinstance(page.control, Lines)
    assert page.control.lines[0].at == f"entry {seq}"
    assert page.control.lines[0].text == "An entry was changed."


def test_reading_shows_how_far_it_is_and_can_be_stopped(counter: Counter) -> None:
    """The job is held back, as a long record would hold it: the page shows, the key stops it."""
    held: list[tuple[Callable[[], Any], Callable[[Any], None]]] = []
    hand = counter.hand
    hand.driver.background = lambda job, then: held.append((job, then))
    hand.press("verify")
    reading = hand.driver.sitting.keeping[-1]
    assert isinstance(reading, Reading)
    assert reading.told(250, 1000)
    assert hand.wait("keeping-verifying").control.lines == ("25 % read",)  # type: ignore[union-attr]
    hand.driver.press("back")  # no key of this page while it reads
    hand.wait("keeping-verifying")
    hand.press("stop-work")
    assert not reading.told(500, 1000)
    (job, then), *_ = held
    then(job())
    hand.wait("keeping-verified")  # this record was too short to be stopped: it was read to its end


def test_the_seal_of_the_day_is_printed_and_exported(counter: Counter) -> None:
    hand = counter.hand
    hand.press("seal")
    page = hand.wait("keeping-sealed")
    assert page.question == "The record is sealed"
    (made,) = house(counter.store, SealMade)
    (text,) = counter.home.outbox.glob("seal-*.txt")
    assert text.read_text(encoding="ascii").split()[2] == str(made.seq)
    assert text.with_suffix(".pdf").exists()
    presses(hand, ["back", "verify"])
    assert f"up to entry {made.seq}" in rows(hand)[f"{made.seq + 1} entries read."]


def test_a_seal_scanned_off_its_slip_holds_the_record_to_it(counter: Counter) -> None:
    hand = counter.hand
    hand.press("seal")
    (slip,) = counter.home.outbox.glob("seal-*.pdf")
    hand.press("back")
    hand.scan(read_label(slip))
    assert hand.wait("keeping-verified").question == "The record holds"
    hand.press("back")
    hand.scan(read_label(slip)[:-1] + "!")
    page = hand.wait("keeping-verified")
    assert page.question == "The record does not hold"
    assert "A kept seal cannot be believed." in rows(hand)


def test_hasty_checks_are_shown_with_names_and_nobody_is_accused(counter: Counter) -> None:
    """In the journey the clock stood still: every reading took 0 s, less than independence.csv allows."""
    hand = counter.hand
    hand.press("checks")
    hasty, pair = rows(hand)
    assert hasty.startswith("Idris Candlewick answered faster than it can be read")
    assert pair == "Nell Quickthorn, checked by Idris Candlewick: 1 of 1 checks."
    assert rows(hand)[pair].startswith("Half of them took the checker 0 s or less.")
    hand.press("export")
    made = sorted(path.suffix for path in counter.home.outbox.glob("second-checks-*"))
    assert made == [".csv", ".json"]


def test_a_scan_that_finds_nothing_here_is_refused(counter: Counter) -> None:
    counter.hand.scan("PB1N01L")
    assert said(counter.hand)
    counter.hand.wait("keeping-record")
