"""The drug list as a file: read whole or not at all, told by line, written so that it reads back the same."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from kiosk.core.catalogue.drug import DoseLimit
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from kiosk.feeds.drug_list_rows import DRUG_LIST, Listed, is_drug_list, read_drug_list, write_drug_list
from kiosk.feeds.sheets import Sheet, open_sheet
from kiosk.tables.resources import demo_db
from tests.counter import NOW, ward

TODAY = NOW.date()
HALO = {
    "id": "halo",
    "name": "haloPERidol",
    "measured_in": "mg",
    "allowed_error": "0.1",
    "weight_basis": "actual",
    "strengths": "5 mg in 1 mL; 2 mg in 1 mL",
    "source": "invented",
    "known": "invented",
    "effective_from": "2026-03-20",
}
LIMIT = {
    "per": "dose",
    "low": "1",
    "high": "5",
    "unit": "mg",
    "limit_source": "a book",
    "limit_known": "seen",
}


def saved(folder: Path, *rows: dict[str, str]) -> Path:
    path = folder / "list.csv"
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, DRUG_LIST)
        writer.writeheader()
        writer.writerows(rows)
    return path


def read(folder: Path, *rows: dict[str, str]) -> tuple[Listed, ...]:
    found, troubles = read_drug_list(saved(folder, *rows), ())
    assert troubles == ()
    return found


def told(folder: Path, *rows: dict[str, str]) -> list[tuple[object, str, object]]:
    _, troubles = read_drug_list(saved(folder, *rows), ())
    return [(one.facts["line"], one.code, one.facts["column"]) for one in troubles]


def test_the_whole_demo_list_reads_back_as_it_was_written(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text(write_drug_list((drug, TODAY) for drug in ward().drugs), encoding="utf-8")
    found, troubles = read_drug_list(path, ())
    assert troubles == ()
    assert tuple(one.drug for one in found) == ward().drugs
    assert {one.effective for one in found} == {TODAY}


def test_a_drug_may_come_with_no_limit_one_or_several(tmp_path: Path) -> None:
    mg = Measure.of(5, "mg")
    day = {"id": "halo", "per": "day", "high": "20", "unit": "mg"} | dict(list(LIMIT.items())[-2:])
    (none,) = read(tmp_path, HALO)
    (one,) = read(tmp_path, HALO | LIMIT)
    (two,) = read(tmp_path, HALO | LIMIT, day)
    assert none.drug.limits == ()
    assert one.drug.limits == (DoseLimit("dose", Measure.of(1, "mg"), mg, source="a book"),)
    assert [limit.per for limit in two.drug.limits] == ["dose", "day"]
    assert (two.line, two.effective.isoformat()) == (2, "2026-03-20")


@pytest.mark.parametrize(
    ("cells", "code", "column"),
    [
        ({"effective_from": ""}, "cell_empty", "effective_from"),
        ({"effective_from": "20.3.2026"}, "cell_not_a_day", "effective_from"),
        ({"effective_from": "+3 d"}, "cell_not_a_day", "effective_from"),
        ({"strengths": "5 mg in 1 spoon"}, "cell_not_a_strength", "strengths"),
        ({"strengths": ""}, "entry_no_strength", "strengths"),
        ({"allowed_error": "1"}, "entry_allowed_error", "allowed_error"),
        ({"least_interval": "0 h"}, "entry_interval", "least_interval"),
        ({"high": "0.5"}, "entry_limit_upside_down", "high"),
        ({"unit": "mL"}, "cell_other_kind", "unit"),
        ({"low": "", "high": ""}, "cell_empty", "high"),
        ({"limit_source": ""}, "cell_empty", "limit_source"),
        ({"looks_like": "nobody"}, "cell_names_nothing", "looks_like"),
    ],
)
def test_a_bad_cell_is_told_with_its_line_and_column(
    tmp_path: Path, cells: dict[str, str], code: str, column: str
) -> None:
    assert told(tmp_path, HALO | {"id": "other"}, HALO | LIMIT | cells) == [(3, code, column)]


def test_every_bad_row_is_told_and_a_spoilt_drugs_further_rows_are_not_blamed(tmp_path: Path) -> None:
    further = {"id": "halo"} | LIMIT
    assert told(tmp_path, HALO | {"name": ""}, further, HALO | {"id": "b", "measured_in": "cup"}) == [
        (2, "cell_empty", "name"),
        (4, "cell_not_a_choice", "measured_in"),
    ]


def test_a_further_row_that_says_again_what_the_drug_is_is_refused(tmp_path: Path) -> None:
    assert told(tmp_path, HALO, HALO | LIMIT) == [(3, "drug_said_twice", "name")]


def test_limits_that_contradict_one_another_are_told_at_the_drug(tmp_path: Path) -> None:
    assert told(tmp_path, HALO | LIMIT, {"id": "halo"} | LIMIT) == [(2, "entry_limit_twice", "per")]


def test_a_neighbour_may_be_listed_already_or_stand_in_the_same_file(tmp_path: Path) -> None:
    path = saved(tmp_path, HALO | {"looks_like": "old; b"}, HALO | {"id": "b"})
    assert read_drug_list(path, ("old",))[1] == ()


def test_a_file_without_rows_or_with_other_columns_is_no_list(tmp_path: Path) -> None:
    assert [one.code for one in read_drug_list(saved(tmp_path), ())[1]] == ["list_empty"]
    (tmp_path / "other.csv").write_text("id,effective_from,measured_in\n", encoding="utf-8")
    assert [one.code for one in read_drug_list(tmp_path / "other.csv", ())[1]] == ["list_columns_wrong"]
    (missing,) = read_drug_list(tmp_path / "gone.csv", ())[1]
    assert isinstance(missing, Refusal)
    assert missing.code == "list_unreadable"


def test_it_is_known_by_its_columns_and_no_other_list_is_taken_for_it(tmp_path: Path) -> None:
    def meant(path: Path) -> bool:
        sheet = open_sheet(path)
        assert isinstance(sheet, Sheet)
        return is_drug_list(sheet)

    assert meant(saved(tmp_path, HALO))
    others = list(demo_db().glob("*.csv"))
    assert len(others) > 8
    assert not any(map(meant, others))
