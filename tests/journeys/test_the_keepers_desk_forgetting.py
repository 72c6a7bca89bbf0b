"""The keeper's desk, forgetting: one patient in two steps, all that is due by policy, and their papers."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest

from kiosk.cli import main
from kiosk.core.preparation.house_events import PatientErased, RetentionApplied
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Ground, Lines, Statement
from kiosk.printing.read_back import text_of
from kiosk.store.verify import verify
from kiosk.wiring.home import Home
from tests.counter import NOW, ward
from tests.journeys.counters import opened, the_cast
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import Counter, at_desk, house, letters, presses, rows, said, two_on_record

CAST = the_cast()
DAYS_OVER = 2 * 86_400
NINE_YEARS = 9 * 366 * 86_400


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Home:
    return two_on_record(tmp_path_factory.mktemp("kept"))


def at(kept: Home, folder: Path, seconds: int) -> Counter:
    home, clock = Home(Path(shutil.copytree(kept.folder, folder / "home"))), SetClock(NOW)
    clock.move(timedelta(seconds=seconds))
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    at_desk(hand, "record")
    return Counter(home, store, hand)


@pytest.fixture
def counter(kept: Home, tmp_path: Path) -> Iterator[Counter]:
    made = at(kept, tmp_path, DAYS_OVER)
    yield made
    made.store.close()


def find(hand: DriverHand, text: str) -> None:
    hand.press("erase")
    letters(hand, text + "\n")
    hand.wait("keeping-erase-found")


def names_in(home: Home, *words: str) -> list[str]:
    """The files below a home that hold one of these words."""
    files = [path for path in home.folder.rglob("*") if path.is_file()]
    return [path.name for path in files if any(word.encode() in path.read_bytes() for word in words)]


def test_a_patient_is_erased_in_two_steps_and_is_in_no_file_any_more(counter: Counter) -> None:
    hand, home = counter.hand, counter.home
    presses(hand, ["by-patient"])
    letters(hand, "wren\n")
    presses(hand, ["export", "one:0", "sheet", "back", "back", "back"])
    assert list(home.labels.glob("D100000-*.pdf"))
    find(hand, "wren")
    assert rows(hand) == {"Tobias Wrenfield": "700102"}
    hand.press("patient:P02")
    hand.press("one:patient asked")
    page = hand.wait("keeping-erasing")
    assert isinstance(page.control, Statement)
    assert any("Copies of the record made before still hold the name" in line for line in page.control.lines)
    hand.press("erase")
    assert hand.wait("keeping-erase-last").ground is Ground.TROUBLE
    assert house(counter.store, PatientErased) == []
    hand.press("do-it")
    assert hand.wait("keeping-record").heard.startswith("Erased, with papers: 4.")
    (entry,) = house(counter.store, PatientErased)
    assert (entry.by, entry.reason, len(entry.refs)) == ("K01", "patient asked", 1)
    assert verify(home.database, counter.store.keys).whole
    counter.store.close()
    assert names_in(home, "Wrenfield", "700102") == []


def test_afterwards_the_record_says_erased_wherever_the_name_stood(counter: Counter) -> None:
    hand = counter.hand
    find(hand, "700102")
    presses(hand, ["patient:P02", "one:patient asked", "erase", "do-it", "by-patient"])
    letters(hand, "wren\n")
    assert rows(hand) == {}
    presses(hand, ["back", "back", "by-drug", "one:insulin_soluble"])
    assert list(rows(hand).values()) == ["erased"]
    hand.press("one:0")
    page = hand.wait("keeping-syringe")
    assert isinstance(page.control, Lines)
    assert page.control.lines[0].text.startswith(
        "Nell Quickthorn took up insulin human soluble 20 units for erased."
    )
    presses(hand, ["sheet"])
    (sheet,) = counter.home.outbox.glob("sheet-*.pdf")
    assert "erased" in text_of(sheet.read_bytes())


def test_whoever_changes_their_mind_at_the_last_word_erases_nobody(counter: Counter) -> None:
    hand = counter.hand
    find(hand, "wren")
    presses(hand, ["patient:P02", "one:patient asked", "erase", "back", "back"])
    assert house(counter.store, PatientErased) == []


def test_a_patient_with_an_order_still_due_is_not_erased(kept: Home, tmp_path: Path) -> None:
    made = at(kept, tmp_path, 3600)
    find(made.hand, "thornapple")
    row = next(key for key in made.hand.page().control.choices).key.name  # type: ignore[union-attr]
    presses(made.hand, [row, "one:moved away", "erase", "do-it"])
    assert said(made.hand)[0].startswith("Orders of this patient are still to be prepared")
    assert house(made.store, PatientErased) == []
    made.store.close()


def test_what_was_kept_long_enough_is_shown_and_then_let_go(kept: Home, tmp_path: Path) -> None:
    made = at(kept, tmp_path, NINE_YEARS)
    hand = made.hand
    for path in made.home.labels.glob("*.pdf"):
        os.utime(path, (NOW.timestamp(), NOW.timestamp()))
    hand.press("due-to-go")
    page = hand.wait("keeping-due")
    grown_up = {o.patient.name for o in ward().orders if o.patient.born.year <= NOW.year - 17}
    control = page.control
    assert isinstance(control, Lines)
    due = {line.text for line in control.lines if "identifiers are due" in line.detail}
    assert due == grown_up
    presses(hand, ["let-go", "do-it"])
    hand.wait("keeping-record")
    (applied,) = house(made.store, RetentionApplied)
    assert applied.patients == len(grown_up) == len(house(made.store, PatientErased))
    assert applied.papers >= 1
    assert list(made.home.labels.glob("*.pdf")) == []
    assert verify(made.home.database, made.store.keys).whole
    hand.press("due-to-go")
    control = hand.page().control
    assert isinstance(control, Lines)
    assert [line.text for line in control.lines if "identifiers" in line.detail] == []
    made.store.close()


Out = pytest.CaptureFixture[str]


def record(home: Home, monkeypatch: pytest.MonkeyPatch, pin: str, *words: str) -> int:
    monkeypatch.setattr("sys.stdin", StringIO(f"{pin}\n"))
    return main(["record", *words, "--home", str(home.folder)])


def test_by_command_a_patient_is_shown_first_and_erased_by_a_keeper_with_the_code_shown(
    kept: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Out
) -> None:
    home = Home(Path(shutil.copytree(kept.folder, tmp_path / "home")))
    keeper = next(one for one in ward().staff if one.person.id == "K01")
    other = next(one for one in ward().staff if one.person.id == "K02")
    nurse = next(one for one in ward().staff if one.person.id == "N01")
    asked = ("erase", "--patient", "700102", "--reason", "asked by Tobias Wrenfield")
    assert record(home, monkeypatch, "", *asked) == 0
    shown = capsys.readouterr().out
    assert "Tobias Wrenfield" in shown
    assert "Copies of the record made before" in shown
    code = shown.split("--confirm ")[1].split(".")[0]
    assert record(home, monkeypatch, "", *asked, "--confirm", "00000000") == 2
    assert record(home, monkeypatch, "", *asked, "--confirm", code) == 2  # nobody's badge
    assert record(home, monkeypatch, nurse.pin, *asked, "--confirm", code, "--badge", nurse.badge) == 2
    assert record(home, monkeypatch, "0000", *asked, "--confirm", code, "--badge", other.badge) == 2
    assert "Wrenfield" in capsys.readouterr().out
    assert names_in(home, "Wrenfield") != []
    assert record(home, monkeypatch, keeper.pin, *asked, "--confirm", code, "--badge", keeper.badge) == 0
    assert "Erased." in capsys.readouterr().out
    assert names_in(home, "Wrenfield", "700102") == []
    assert record(home, monkeypatch, "", "verify") == 0
    assert record(home, monkeypatch, "", *asked) == 3


def test_by_command_what_is_due_is_said_and_nothing_is_touched_without_its_code(
    kept: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Out
) -> None:
    """The machine's own clock is years after the demo's day: papers are due, and adults' names may be."""
    home = Home(Path(shutil.copytree(kept.folder, tmp_path / "home")))
    for path in home.labels.glob("*.pdf"):
        os.utime(path, (0, 0))
    keeper = next(one for one in ward().staff if one.person.id == "K01")
    assert record(home, monkeypatch, "", "retain") == 0
    shown = capsys.readouterr().out
    assert "paper: D100000-1.pdf" in shown
    assert list(home.labels.glob("*.pdf"))
    code = shown.split("--confirm ")[1].split(".")[0]
    confirmed = ("retain", "--confirm", code, "--badge", keeper.badge)
    assert record(home, monkeypatch, keeper.pin, *confirmed) == 0
    assert "It is gone, and that is on record." in capsys.readouterr().out
    assert list(home.labels.glob("*.pdf")) == []
    assert record(home, monkeypatch, "", "verify") == 0
