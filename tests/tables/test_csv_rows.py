"""The door for figures: what it lets in, and what it turns away with file and line."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from kiosk.core.units import Measure
from kiosk.tables.csv_rows import BadTable, digest_of_tables, read, rows

HEADER = "id,value,unit,source,known\n"


def table(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "figures.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_figure_is_exact_and_carries_its_unit(tmp_path: Path) -> None:
    (row,) = read(table(tmp_path, HEADER + "a,0.1,mL,some standard,seen\n"))
    assert row.decimal("value") == Decimal("0.1")
    assert row.measure("value") == Measure(Fraction(1, 10), "mL")
    assert row.measure("value", "mm") == Measure(Fraction(1, 10), "mm")
    assert row.where == "figures.csv:2"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (HEADER + "a,0.1,mL,,seen\n", "figures.csv:2: source is empty"),
        (HEADER + "a,0.1,mL,some standard,\n", "figures.csv:2: known must be one of"),
        (HEADER + "a,0.1,mL,some standard,surely\n", "figures.csv:2: known must be one of"),
        ("id,value,unit,known\na,0.1,mL,seen\n", "figures.csv:1: no column 'source'"),
        ("id,value,source,source,known\n", "figures.csv:1: a column name stands twice"),
        (HEADER + "a,0.1,mL,seen\n", "figures.csv:2: 4 cells under 5 columns"),
        (HEADER + "a,1,mL,s,seen\na,2,mL,s,seen\n", "figures.csv:3: the same id as in figures.csv:2: a"),
        (HEADER + '"a,1,mL,s,seen\n', "figures.csv: "),
    ],
)
def test_a_table_that_cannot_be_trusted_is_refused_with_file_and_line(
    tmp_path: Path, text: str, why: str
) -> None:
    with pytest.raises(BadTable) as trouble:
        read(table(tmp_path, text))
    assert str(trouble.value).startswith(why)


@pytest.mark.parametrize("number", ["1e-1", "0,1", "nan", "inf", ".5", "1.", "0x1", "1 000", "", "1_0"])
def test_a_number_not_plainly_written_is_refused(tmp_path: Path, number: str) -> None:
    (row,) = read(table(tmp_path, HEADER + f'a,"{number}",mL,some standard,seen\n'))
    with pytest.raises(BadTable, match=r"figures\.csv:2: value"):
        row.decimal("value")


def test_an_unknown_unit_is_refused(tmp_path: Path) -> None:
    (row,) = read(table(tmp_path, HEADER + "a,1,IU,some standard,seen\n"))
    with pytest.raises(BadTable, match=r"figures\.csv:2: unknown unit 'IU'"):
        row.measure("value")


def test_the_line_is_right_below_a_cell_of_two_lines(tmp_path: Path) -> None:
    found = read(table(tmp_path, HEADER + 'a,1,mL,"two\nlines",seen\nb,2,mL,s,seen\n'))
    assert found[1].where == "figures.csv:4"


def test_without_an_id_the_whole_row_must_differ(tmp_path: Path) -> None:
    text = "site,volume,source,known\narm,1,one book,seen\narm,1,another book,seen\n"
    with pytest.raises(BadTable, match="the same site, volume"):
        read(table(tmp_path, text))


def test_a_table_that_is_not_there_is_named() -> None:
    with pytest.raises(BadTable, match=r"nothing_like_it\.csv: no such table"):
        rows("nothing_like_it")


def test_every_shipped_table_passes_the_door_and_has_a_digest() -> None:
    digests = digest_of_tables()
    assert all(len(digest) == 64 for digest in digests.values())
    for name in digests:
        assert rows(name), name
