"""``kiosk stock`` on a real counter: the month's waste on paper, the stock as a list, a list tried."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pdfplumber
import pytest
from openpyxl import Workbook  # type: ignore[import-untyped]

from kiosk.cli import main
from kiosk.feeds.stock_rows import STOCK
from kiosk.hardware.clock import SetClock
from kiosk.wiring.home import Home
from tests.counter import NOW
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import at_desk, presses, typed

Out = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """A counter at which two ampoules of prochlorPERazine were thrown away on 16 March 2026."""
    clock, home = SetClock(NOW), fresh(tmp_path_factory.mktemp("kept"))
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    at_desk(hand, "stock")
    presses(hand, ["drawers", "more", "more", "row:C001", "waste", "one:broken"])
    typed(hand, "2")
    store.close()
    return home


def stock(home: Home, act: str, *more: str) -> int:
    return main(["stock", act, "--home", str(home.folder), *more])


def test_the_months_waste_is_written_as_a_page_that_can_be_read(
    kept: Home, tmp_path: Path, capsys: Out
) -> None:
    out = tmp_path / "march.pdf"
    assert stock(kept, "waste", "--month", "2026-03", "--out", str(out)) == 0
    assert capsys.readouterr().out.strip() == str(out)
    with pdfplumber.open(out) as document:
        text = " ".join(page.extract_text() for page in document.pages)
    # two ampoules of 1 mL at 0.62: demo_db/products.csv
    assert "1.24 EUR" in text
    assert "2 mL" in text
    assert "Waste in Mar 2026" in text


def test_without_a_place_it_comes_out_in_the_outbox(kept: Home, capsys: Out) -> None:
    assert stock(kept, "waste", "--month", "2026-02") == 0
    assert Path(capsys.readouterr().out.strip()) == kept.outbox / "waste-2026-02.pdf"
    assert (kept.outbox / "waste-2026-02.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("month", ["2026-13", "March", "2026-3"])
def test_what_is_no_month_is_said_in_one_sentence(kept: Home, month: str, capsys: Out) -> None:
    assert stock(kept, "waste", "--month", month) == 2
    assert month in capsys.readouterr().err


def test_the_stock_given_out_is_taken_for_no_change(kept: Home, tmp_path: Path, capsys: Out) -> None:
    given = tmp_path / "stock.csv"
    assert stock(kept, "export", "--out", str(given)) == 0
    assert stock(kept, "try", str(given)) == 0
    said = capsys.readouterr().out.splitlines()
    assert len(said) == 1
    assert said[0].startswith("added: 0, changed: 0, same: ")
    assert stock(kept, "export") == 0
    assert capsys.readouterr().out == given.read_text(encoding="utf-8")


def test_a_changed_row_a_new_one_and_one_left_out_are_each_named(
    kept: Home, tmp_path: Path, capsys: Out
) -> None:
    given = tmp_path / "stock.csv"
    stock(kept, "export", "--out", str(given))
    header, *rows = given.read_text(encoding="utf-8").splitlines()
    (mine,) = [row for row in rows if row.startswith("C001,")]
    others = [row for row in rows if not row.startswith(("C001,", "C002,"))]
    moved = mine.replace(",A1,", ",B7,")
    new = mine.replace("C001,", "N001,")
    given.write_text("\n".join([header, moved, new, *others]) + "\n", encoding="utf-8")
    assert stock(kept, "try", str(given)) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[:2] == ["C001  changed  drawer: A1 > B7", "N001  added"]
    assert said[2] == "C002  missing from the list"


def test_a_spreadsheet_with_bad_rows_is_answered_row_by_row_and_nothing_changes(
    kept: Home, tmp_path: Path, capsys: Out
) -> None:
    book = Workbook()
    book.active.append(list(STOCK))
    book.active.append(["X1", "morphine-10mg-1ml", "L 1", date(2028, 1, 31), 4, "A1", "", "", "", "", "no"])
    book.active.append(["X2", "no-such-product", "L2", "2028-01-31", 4, "A1", "", "", "", "", "no"])
    book.active.append(["X3", "morphine-10mg-1ml", "L3", "2028-02-30", 4, "A1", "", "", "", "", "no"])
    given = tmp_path / "stock.xlsx"
    book.save(given)
    before = kept.database.read_bytes()
    assert stock(kept, "try", str(given)) == 3
    said = capsys.readouterr().out.splitlines()
    assert len(said) == 3
    assert said[0].startswith("Line 2 of stock.xlsx: L 1 cannot be a lot.")
    assert "no-such-product" in said[1]
    assert said[2].startswith('Line 4 of stock.xlsx: expiry says "2028-02-30", which is not a day.')
    assert kept.database.read_bytes() == before


def test_where_no_counter_is_nothing_is_made(tmp_path: Path, capsys: Out) -> None:
    assert stock(Home(tmp_path), "export") == 2
    assert "no counter" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
