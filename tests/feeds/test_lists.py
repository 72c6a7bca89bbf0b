"""Taking lists in by dry run: every trouble, or what would change; and giving them out unchanged."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook  # type: ignore[import-untyped]

from kiosk.feeds import lists
from kiosk.feeds.gtin import check_digit
from kiosk.feeds.lists import Changed, ListKind, Ready, Troubled, dry_run, export
from kiosk.feeds.ward import Ward, read_ward
from kiosk.tables.resources import demo_db

NOW = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def ward() -> Ward:
    return read_ward(demo_db(), NOW)


def kinds(ward: Ward) -> list[tuple[ListKind[Any], tuple[Any, ...]]]:
    return [
        (lists.products({drug.id: drug for drug in ward.drugs}), ward.products),
        (lists.stock({product.id: product for product in ward.products}), ward.stock),
        (lists.STAFF, ward.staff),
        (lists.SYRINGES, ward.syringes),
        (lists.NEEDLES, ward.needles),
        (lists.DRAW_UP_DEVICES, ward.draw_up_devices),
    ]


def saved(folder: Path, text: str) -> Path:
    path = folder / "list.csv"
    path.write_text(text)
    return path


def ready(answer: Ready[Any] | Troubled) -> Ready[Any]:
    assert isinstance(answer, Ready), answer
    return answer


def as_workbook(folder: Path, text: str) -> Path:
    made = Workbook()
    for row in csv.reader(io.StringIO(text)):
        made.active.append(row)
    path = folder / "list.xlsx"
    made.save(path)
    return path


@pytest.mark.parametrize("way", [saved, as_workbook])
@pytest.mark.parametrize("which", range(6))
def test_a_list_given_out_and_taken_in_again_changes_nothing(
    ward: Ward, tmp_path: Path, which: int, way: Any
) -> None:
    kind, present = kinds(ward)[which]
    answer = ready(dry_run(kind, way(tmp_path, export(kind, present)), present))
    assert answer.how_many(Changed.SAME) == len(present) == len(answer.changes)
    assert [kind.write(value) for value in answer.values] == [kind.write(value) for value in present]


def test_values_come_back_equal_where_all_of_them_is_in_the_list(ward: Ward, tmp_path: Path) -> None:
    for kind, present in kinds(ward)[1:2] + kinds(ward)[4:]:
        assert ready(dry_run(kind, saved(tmp_path, export(kind, present)), present)).values == present


def test_a_list_says_what_it_would_add_change_and_leave_out(ward: Ward, tmp_path: Path) -> None:
    kind, present = kinds(ward)[0]
    dearer = replace(present[0], price=Decimal("0.99"))
    new = replace(present[1], id="new-one", gtin="0952999999999" + check_digit("0952999999999"))
    answer = ready(dry_run(kind, saved(tmp_path, export(kind, [dearer, new, *present[2:]])), present))
    assert answer.how_many(Changed.ADDED) == 1
    assert answer.how_many(Changed.CHANGED) == 1
    assert answer.how_many(Changed.MISSING) == 1
    assert answer.how_many(Changed.SAME) == len(present) - 2
    assert answer.changes[0].cells == (("price", "0.62", "0.99"),)
    assert answer.changes[-1].id == present[1].id


def test_a_pin_never_leaves_and_is_no_difference(ward: Ward, tmp_path: Path) -> None:
    text = export(lists.STAFF, ward.staff)
    assert all(one.pin not in text for one in ward.staff)
    row = text.splitlines()[1]
    answer = ready(dry_run(lists.STAFF, saved(tmp_path, text.replace(row, row + "9999")), ward.staff))
    assert answer.how_many(Changed.CHANGED) == 0
    assert answer.values[0].pin == "9999"


def test_one_bad_row_keeps_the_whole_list_out_and_every_trouble_is_told_in_order(
    ward: Ward, tmp_path: Path
) -> None:
    kind, present = kinds(ward)[4]
    rows = export(kind, present).splitlines()
    rows[2] = rows[2].replace(" mm,", " inch,", 1)
    rows[5] = rows[4]
    rows[9] += ",more"
    answer = dry_run(kind, saved(tmp_path, "\n".join(rows)), present)
    assert isinstance(answer, Troubled)
    lines = [t.facts["line"] for t in answer.troubles]
    assert lines == sorted(lines)  # type: ignore[type-var]
    assert {(t.code, t.facts["line"]) for t in answer.troubles} >= {
        ("cell_not_a_measure", 3),
        ("row_twice", 6),
        ("list_row_ragged", 10),
    }


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "list_empty"),
        ("id,gauge,length,outer,bore,inch_text,gtin\n", "list_empty"),
        ("id,gauge\na,25\n", "list_columns_wrong"),
        ("id,gauge,length,outer,bore,inch_text,gtin,colour\n", "list_columns_wrong"),
    ],
)
def test_a_file_that_is_not_this_list_is_told_as_a_whole(tmp_path: Path, text: str, code: str) -> None:
    answer = dry_run(lists.NEEDLES, saved(tmp_path, text), [])
    assert isinstance(answer, Troubled)
    assert [t.code for t in answer.troubles] == [code]


def test_columns_may_stand_in_any_order(ward: Ward, tmp_path: Path) -> None:
    text = "gtin,length,id,gauge,inch_text,bore,outer\n09520000300012,25 mm,n1,25,1,,\n"
    (needle,) = ready(dry_run(lists.NEEDLES, saved(tmp_path, text), [])).values
    assert (needle.id, needle.gauge, needle.bore) == ("n1", 25, None)


def test_a_day_counted_from_today_is_for_demonstrations_only(ward: Ward, tmp_path: Path) -> None:
    kind, present = kinds(ward)[1]
    row = export(kind, present[:1]).replace(present[0].container.expiry.isoformat(), "+30 d")
    answer = dry_run(kind, saved(tmp_path, row), present)
    assert isinstance(answer, Troubled)
    assert [t.code for t in answer.troubles] == ["cell_not_a_day"]
