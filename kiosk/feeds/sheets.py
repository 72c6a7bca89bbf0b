"""Opens a list file, CSV or XLSX, as rows of text; refuses what cannot be read for certain.

A list is a table with one header row. In CSV, lines before the header that begin with ``#`` are remarks.
Cells are text: a number that a spreadsheet keeps in binary is written back as the digits a person typed,
and a formula is refused, since its value depends on who opens it.
"""

from __future__ import annotations

import csv
import io
import warnings
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from zipfile import ZipFile

from kiosk.core.findings import Fact, Refusal

# Far above any list a counter keeps (130,000 products are some 20 MB); what is larger is no list.
MOST_ROWS: Final = 200_000
MOST_BYTES: Final = 100_000_000
_FORMULA_SIGNS: Final = ("=", "@")


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row by column name; ``line`` is its line in the file, counted from one."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A list as it came: its file's name, its columns in order, its good rows, and why others are not."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    troubles: tuple[Refusal, ...] = ()


class _Unreadable(Exception):
    """The file cannot be taken as a list; carries the refusal to the one place that returns it."""

    def __init__(self, code: str, **facts: Fact) -> None:
        super().__init__(code)
        self.code = code
        self.facts = facts


def open_sheet(path: Path) -> Sheet | Refusal:
    """Return the list in a ``.csv`` or ``.xlsx`` file, or why it cannot be read."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise _Unreadable("list_too_big", most=MOST_BYTES // 1_000_000)
        lines = list(_xlsx_lines(path) if path.suffix.lower() == ".xlsx" else _csv_lines(path))
        return _sheet(path.name, lines)
    except _Unreadable as trouble:
        return Refusal(trouble.code, {"file": path.name, **trouble.facts})
    except OSError as trouble:
        return Refusal("list_unreadable", {"file": path.name, "detail": trouble.strerror or "?"})


def write_csv(columns: Iterable[str], rows: Iterable[Mapping[str, str]]) -> str:
    """Return a list as CSV text, ready to be read back by ``open_sheet``."""
    out = io.StringIO()
    writer = csv.DictWriter(out, list(columns), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


_Line = tuple[int, list[str]]


def _csv_lines(path: Path) -> Iterator[_Line]:
    """Yield the lines of a CSV file, comma or semicolon apart, below any remarks."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        raise _Unreadable("list_not_utf8") from trouble
    lines = list(io.StringIO(text, newline=""))
    remarks = next((n for n, line in enumerate(lines) if not line.startswith("#")), len(lines))
    header = lines[remarks] if remarks < len(lines) else ""
    apart = ";" if ";" in header and "," not in header else ","
    reader = csv.reader(lines[remarks:], delimiter=apart, strict=True)
    try:
        for cells in reader:
            yield remarks + reader.line_num, cells
    except csv.Error as trouble:
        raise _Unreadable("list_not_csv", line=remarks + reader.line_num) from trouble


def _xlsx_lines(path: Path) -> list[_Line]:
    """Return the rows of the first sheet of a workbook, as text.

    The library states no errors of its own: a damaged workbook makes it raise almost anything, so whatever
    comes out of reading one means that it cannot be read.
    """
    try:
        with ZipFile(path) as parts:
            unpacked = sum(part.file_size for part in parts.infolist())
        if unpacked > MOST_BYTES:
            raise _Unreadable("list_too_big", most=MOST_BYTES // 1_000_000)
        with warnings.catch_warnings(action="ignore"):
            return _rows_of_book(path)
    except (OSError, _Unreadable):
        raise
    except Exception as trouble:
        raise _Unreadable("list_not_xlsx") from trouble


def _rows_of_book(path: Path) -> list[_Line]:
    """Return the rows of the first sheet, each as wide as the first; raises whatever the library raises."""
    from openpyxl import load_workbook  # type: ignore[import-untyped]

    book = load_workbook(path, read_only=True, data_only=False)
    found: list[_Line] = []
    for line, row in enumerate(book.worksheets[0].iter_rows(max_row=MOST_ROWS), start=1):
        cells = [_cell_text(cell.value) for cell in row]
        width = len(found[0][1]) if found else len(cells)
        found.append((line, cells + [""] * (width - len(cells))))
    book.close()
    return found


def _cell_text(value: Any) -> str:
    """Return a spreadsheet cell as the text a person would have typed."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == datetime.min.time() else value.isoformat()
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return f"{int(value)}" if value.is_integer() and abs(value) < 1e15 else repr(value)
    return str(value)


def _sheet(name: str, lines: list[_Line]) -> Sheet:
    """Return the lines as a sheet, the first being the header; raise when the header cannot be used."""
    filled = [
        (line, [cell.strip() for cell in cells]) for line, cells in lines if any(c.strip() for c in cells)
    ]
    if not filled:
        raise _Unreadable("list_empty")
    first, header = filled[0]
    while header and not header[-1]:
        header.pop()
    if "" in header or len(set(header)) != len(header):
        raise _Unreadable("list_header_bad", line=first)
    read = [_row(name, line, cells, header) for line, cells in filled[1:]]
    rows = tuple(row for row in read if isinstance(row, SheetRow))
    return Sheet(name, tuple(header), rows, tuple(row for row in read if isinstance(row, Refusal)))


def _row(name: str, line: int, cells: list[str], header: list[str]) -> SheetRow | Refusal:
    """Return one row by column; a row of another width or with a formula is refused."""
    width = len(header)
    if len(cells) < width or any(cells[width:]):
        facts: dict[str, Fact] = {"file": name, "line": line, "cells": len(cells), "columns": width}
        return Refusal("list_row_ragged", facts)
    if any(cell.startswith(_FORMULA_SIGNS) for cell in cells):
        return Refusal("list_formula", {"file": name, "line": line})
    return SheetRow(line, dict(zip(header, cells[:width], strict=True)))
