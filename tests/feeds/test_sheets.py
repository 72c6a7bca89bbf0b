"""Opening a list: CSV and XLSX say the same; what cannot be read for certain is refused."""

from __future__ import annotations

import csv
import io
import random
from collections import Counter
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook  # type: ignore[import-untyped]

from kiosk.core.findings import Refusal
from kiosk.feeds.sheets import MOST_BYTES, Sheet, open_sheet, write_csv


def opened(path: Path) -> Sheet:
    sheet = open_sheet(path)
    assert isinstance(sheet, Sheet), sheet
    return sheet


def text_file(folder: Path, text: str | bytes) -> Path:
    path = folder / "list.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def book(folder: Path, rows: list[list[Any]]) -> Path:
    made = Workbook()
    for row in rows:
        made.active.append(row)
    path = folder / "list.xlsx"
    made.save(path)
    return path


def test_rows_know_their_line_below_remarks_and_blank_lines(tmp_path: Path) -> None:
    sheet = opened(text_file(tmp_path, "# invented\n# twice\nid,name\na,Anna\n\n,\nb, Bruno \n"))
    assert sheet.columns == ("id", "name")
    assert [(row.line, dict(row.cells)) for row in sheet.rows] == [
        (4, {"id": "a", "name": "Anna"}),
        (7, {"id": "b", "name": "Bruno"}),
    ]


def test_a_byte_order_mark_and_semicolons_are_no_trouble(tmp_path: Path) -> None:
    sheet = opened(text_file(tmp_path, "\ufeffid;name\r\na;Zoé, Ltd\r\n"))
    assert [dict(row.cells) for row in sheet.rows] == [{"id": "a", "name": "Zoé, Ltd"}]


def test_a_workbook_reads_like_what_was_typed_into_it(tmp_path: Path) -> None:
    path = book(
        tmp_path,
        [
            ["id", "number", "share", "flag", "day", "moment", "none"],
            ["a", 9501101530003, 0.1, True, date(2026, 4, 30), datetime(2026, 4, 30, 14, 5), None],  # noqa: DTZ001
            ["b", 3.0, 12.5, False, "text", "", None],
        ],
    )
    first, second = (dict(row.cells) for row in opened(path).rows)
    assert first == {
        "id": "a",
        "number": "9501101530003",
        "share": "0.1",
        "flag": "yes",
        "day": "2026-04-30",
        "moment": "2026-04-30T14:05:00",
        "none": "",
    }
    assert (second["number"], second["share"], second["flag"]) == ("3", "12.5", "no")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (b"id,name\na,\xff\n", "list_not_utf8"),
        ('id,name\na,"b\n', "list_not_csv"),
        ("", "list_empty"),
        ("# only a remark\n", "list_empty"),
        ("id,,name\na,b,c\n", "list_header_bad"),
        ("id,id\na,b\n", "list_header_bad"),
    ],
)
def test_a_file_that_is_no_list_is_refused(tmp_path: Path, text: str | bytes, code: str) -> None:
    found = open_sheet(text_file(tmp_path, text))
    assert isinstance(found, Refusal)
    assert found.code == code
    assert found.facts["file"] == "list.csv"


def test_a_missing_file_and_a_workbook_that_is_none_are_refused(tmp_path: Path) -> None:
    missing = open_sheet(tmp_path / "nowhere.csv")
    assert isinstance(missing, Refusal)
    assert missing.code == "list_unreadable"
    false = tmp_path / "false.xlsx"
    false.write_text("id,name\n")
    found = open_sheet(false)
    assert isinstance(found, Refusal)
    assert found.code == "list_not_xlsx"


def test_a_bad_row_is_told_and_the_others_still_read(tmp_path: Path) -> None:
    sheet = opened(text_file(tmp_path, "id,name\na,b,c\nonly\n=1+1,x\nd,e\n"))
    assert [(t.code, t.facts["line"]) for t in sheet.troubles] == [
        ("list_row_ragged", 2),
        ("list_row_ragged", 3),
        ("list_formula", 4),
    ]
    assert [row.cells["id"] for row in sheet.rows] == ["d"]


def test_a_formula_in_a_workbook_is_refused_not_reckoned(tmp_path: Path) -> None:
    sheet = opened(book(tmp_path, [["id", "name"], ["a", "=1+1"]]))
    assert [t.code for t in sheet.troubles] == ["list_formula"]


CELL = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=12)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(st.tuples(CELL, CELL), max_size=6))
def test_what_is_written_is_read_back(tmp_path: Path, rows: list[tuple[str, str]]) -> None:
    kept = [(a.strip(), b.strip()) for a, b in rows if (a + b).strip()]
    kept = [row for row in kept if not any(cell.startswith(("=", "@")) for cell in row)]
    path = text_file(tmp_path, write_csv(["x", "y"], [{"x": a, "y": b} for a, b in kept]))
    if kept:
        assert [(row.cells["x"], row.cells["y"]) for row in opened(path).rows] == kept


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=80))
def test_no_bytes_raise(tmp_path: Path, data: bytes) -> None:
    open_sheet(text_file(tmp_path, data))


def test_no_damage_to_a_workbook_raises(tmp_path: Path) -> None:
    whole = book(tmp_path, [["id", "name"], ["a", 1.5], ["b", date(2026, 1, 1)]]).read_bytes()
    parts = {
        part.filename: ZipFile(io.BytesIO(whole)).read(part) for part in ZipFile(io.BytesIO(whole)).infolist()
    }
    rnd, answers = random.Random(20261125), Counter[str]()
    path = tmp_path / "damaged.xlsx"
    for _ in range(150):
        name = rnd.choice(list(parts))
        inside = bytearray(parts[name])
        inside[rnd.randrange(len(inside))] = rnd.randrange(256)
        with ZipFile(path, "w") as made:
            for part, data in parts.items():
                made.writestr(part, bytes(inside) if part == name else data)
        raw = bytearray(path.read_bytes())
        raw[rnd.randrange(len(raw))] = rnd.randrange(256)
        path.write_bytes(bytes(raw[: rnd.randrange(len(raw))]) if rnd.random() < 0.2 else bytes(raw))
        found = open_sheet(path)
        answers[found.code if isinstance(found, Refusal) else "read"] += 1
    assert answers["list_not_xlsx"] > 20
    assert answers["read"] > 0


def test_a_file_that_would_fill_the_memory_is_refused_before_it_is_read(tmp_path: Path) -> None:
    bomb = tmp_path / "bomb.xlsx"
    with ZipFile(bomb, "w", ZIP_DEFLATED) as made:
        made.writestr("xl/worksheets/sheet1.xml", b" " * (MOST_BYTES + 1))
    assert bomb.stat().st_size < 1_000_000
    found = open_sheet(bomb)
    assert isinstance(found, Refusal)
    assert found.code == "list_too_big"


def test_the_written_text_is_plain_csv() -> None:
    text = write_csv(["a", "b"], [{"a": "1", "b": "x,y"}])
    assert list(csv.reader(io.StringIO(text))) == [["a", "b"], ["1", "x,y"]]
