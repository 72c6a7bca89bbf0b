"""``kiosk record`` on a real counter's record: what it says, where it says it, how it ends."""

from __future__ import annotations

import csv
import json
import shutil
import sqlite3
from contextlib import closing
from io import StringIO
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from kiosk.cli import main
from kiosk.hardware.clock import SetClock
from kiosk.printing.read_back import text_of
from kiosk.walkthrough.journeys import insulin_with_second_person, wrong_strength_refused
from kiosk.wiring.home import Home
from tests.counter import NOW
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand

Out = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """A counter at which one syringe was finished and one given up."""
    clock, home = SetClock(NOW), fresh(tmp_path_factory.mktemp("kept"))
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    for journey in (insulin_with_second_person, wrong_strength_refused):
        journey(hand, the_cast())
        hand.press("sign-off")
    store.close()
    return home


@pytest.fixture
def home(kept: Home, tmp_path: Path) -> Home:
    """A copy of one's own."""
    return Home(Path(shutil.copytree(kept.folder, tmp_path / "counter")))


def record(home: Home, act: str, *more: str) -> int:
    return main(["record", act, *more, "--home", str(home.folder)])


def test_a_sound_record_holds(home: Home, capsys: Out) -> None:
    assert record(home, "verify") == 0
    assert capsys.readouterr().out.startswith("The record holds.")


def test_the_first_entry_that_breaks_is_named_and_how(home: Home, capsys: Out) -> None:
    with closing(sqlite3.connect(home.database, isolation_level=None)) as raw:
        (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'ledger_no_change'").fetchone()
        raw.execute("DROP TRIGGER ledger_no_change")
        raw.execute("UPDATE ledger SET entry = replace(entry, 'N02', 'N03') WHERE kind = 'CheckerCame'")
        (seq,) = raw.execute("SELECT seq FROM ledger WHERE kind = 'CheckerCame'").fetchone()
        raw.execute(guard)
    assert record(home, "verify") == 1
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "The record does not hold."
    assert said[1].startswith(f"  entry {seq}: An entry was changed.")
    assert record(home, "verify", "--json") == 1
    told = json.loads(capsys.readouterr().out)
    assert (told["holds"], told["breaks"][0]["entry"], told["breaks"][0]["how"]) == (False, seq, "changed")


def test_a_seal_from_a_drawer_shows_that_the_end_was_cut_off(home: Home, tmp_path: Path, capsys: Out) -> None:
    before = shutil.copytree(home.folder, tmp_path / "before")
    assert record(home, "seal") == 0
    seal = capsys.readouterr().out.strip()
    assert record(Home(before), "verify") == 0  # its own note and seals know no better
    assert record(Home(before), "verify", "--seal", seal) == 0  # nothing was lost yet at that entry
    with closing(sqlite3.connect(before / "counter.db", isolation_level=None)) as raw:
        raw.execute("DROP TRIGGER ledger_no_delete")
        raw.execute("DELETE FROM ledger WHERE seq = (SELECT max(seq) FROM ledger)")
    capsys.readouterr()
    assert record(Home(before), "verify", "--seal", seal) == 1
    assert record(Home(before), "verify", "--seal", seal[:-1] + "0") == 1


def test_the_slip_of_a_seal_carries_the_seal_and_is_read_off_its_paper(home: Home, capsys: Out) -> None:
    assert record(home, "seal") == 0
    seal = capsys.readouterr().out.strip()
    (slip,) = home.outbox.glob("seal-*.pdf")
    with pypdfium2.PdfDocument(slip) as document:
        (read,) = zxingcpp.read_barcodes(document[0].render(scale=203 / 72).to_pil().convert("L"))
    assert read.text == seal
    assert (slip.with_suffix(".txt")).read_text(encoding="ascii").strip() == seal
    assert seal.split()[2] in text_of(slip.read_bytes())


@pytest.mark.parametrize(
    ("filters", "codes"),
    [
        ((), ["D100001", "D100000"]),
        (("--patient", "wren"), ["D100000"]),
        (("--patient", "700102"), ["D100000"]),
        (("--drug", "insulin_soluble"), ["D100000"]),
        (("--lot", "TWS1003"), ["D100000"]),
        (("--person", "N02"), ["D100000"]),
        (("--since", "2026-03-15", "--until", "2026-03-17"), ["D100001", "D100000"]),
        (("--patient", "wren", "--person", "N05"), []),
        (("--day", "2025-01-01"), []),
    ],
)
def test_search_lists_what_all_the_filters_hold_of(
    home: Home, capsys: Out, filters: tuple[str, ...], codes: list[str]
) -> None:
    assert record(home, "search", *filters, "--json") == (0 if codes else 3)
    out = capsys.readouterr().out
    assert [one["code"] for one in json.loads(out or "[]")] == codes


def test_recall_names_every_syringe_of_a_lot_with_its_patient(home: Home, capsys: Out) -> None:
    assert record(home, "recall", "TWS1003") == 0
    said = capsys.readouterr().out
    assert "D100000  insulin human soluble  Tobias Wrenfield (700102)  TWS1003  N01/N02  finished" in said
    assert record(home, "recall", "NEVER") == 3


def test_export_as_csv_and_json_says_the_same(home: Home, capsys: Out) -> None:
    assert record(home, "export") == 0
    rows = list(csv.DictReader(StringIO(capsys.readouterr().out)))
    assert record(home, "export", "--format", "json") == 0
    told = json.loads(capsys.readouterr().out)
    assert [(row["code"], row["patient"]) for row in rows] == [(one["code"], one["patient"]) for one in told]
    assert len(rows) == 2


def test_one_syringe_is_exported_whole_and_as_one_page(home: Home, tmp_path: Path, capsys: Out) -> None:
    assert record(home, "export", "--format", "json", "--syringe", "D100000") == 0
    entries = json.loads(capsys.readouterr().out)["entries"]
    assert (entries[0]["kind"], entries[-1]["kind"]) == ("Opened", "Finished")
    page = tmp_path / "page.pdf"
    assert record(home, "export", "--format", "pdf", "--syringe", "d100000", "--out", str(page)) == 0
    said = text_of(page.read_bytes())
    for part in ("Tobias Wrenfield", "TWS1003", "Nell Quickthorn", "Idris Candlewick", "20 units", "printed"):
        assert part in said, part


def test_the_ledger_comes_out_as_lines_that_prove_themselves(home: Home, capsys: Out) -> None:
    from hashlib import sha256

    assert record(home, "export", "--format", "ledger") == 0
    lines = capsys.readouterr().out.splitlines()
    hashes = [sha256(line.encode()).hexdigest() for line in lines]
    assert [json.loads(line)["prev"] for line in lines[1:]] == hashes[:-1]


@pytest.mark.parametrize(
    "wrong",
    [
        ("search", "--day", "yesterday"),
        ("export", "--format", "pdf"),
        ("export", "--format", "csv", "--syringe", "D100000"),
    ],
)
def test_what_cannot_be_used_ends_with_two_and_one_sentence(
    home: Home, capsys: Out, wrong: tuple[str, ...]
) -> None:
    assert record(home, *wrong) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 1


def test_a_folder_without_a_record_ends_with_two(tmp_path: Path, capsys: Out) -> None:
    assert record(Home(tmp_path), "verify") == 2
    assert "no counter's record" in capsys.readouterr().err


def test_a_syringe_nobody_made_ends_with_three(home: Home, capsys: Out) -> None:
    assert record(home, "export", "--format", "pdf", "--syringe", "D199999") == 3
    assert record(home, "export", "--format", "json", "--syringe", "D199999") == 3


def test_a_record_without_its_keys_ends_with_four(home: Home, capsys: Out) -> None:
    for key in home.keys.glob("*.key"):
        key.unlink()
    assert record(home, "search") == 4
    assert record(home, "verify") == 4
    assert "Traceback" not in capsys.readouterr().err


def test_it_speaks_french(home: Home, capsys: Out) -> None:
    assert main(["record", "verify", "--home", str(home.folder), "--language", "fr"]) == 0
    assert capsys.readouterr().out.startswith("Le registre tient.")
