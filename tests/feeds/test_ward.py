"""Reading a ward: every bad row is told, with file, line and column, and a bad ward is not handed out.

The ward used is the shipped demo ward with one cell changed at a time.
"""

from __future__ import annotations

import csv
import io
import shutil
import string
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from kiosk.core.findings import Refusal
from kiosk.feeds.ward import BadWard, read_ward, told
from kiosk.tables.resources import demo_db
from kiosk.tables.words import languages, words

NOW = datetime(2026, 3, 15, 3, 0, tzinfo=UTC)
Spoil = Callable[[str, str, dict[str, str]], tuple[Refusal, ...]]


@pytest.fixture
def spoil(tmp_path: Path) -> Spoil:
    """Return a reader of the demo ward with cells of the row ``id`` of one list changed."""
    folder = tmp_path / "ward"
    shutil.copytree(demo_db(), folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))

    def with_change(name: str, id: str, cells: dict[str, str]) -> tuple[Refusal, ...]:
        path = folder / f"{name}.csv"
        mark, rest = path.read_text().split("\n", 1)
        rows = list(csv.DictReader(io.StringIO(rest)))
        key = next(iter(rows[0]))
        next(row for row in rows if row[key] == id).update(cells)
        out = io.StringIO()
        writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        path.write_text(f"{mark}\n{out.getvalue()}")
        with pytest.raises(BadWard) as trouble:
            read_ward(folder, NOW)
        return trouble.value.troubles

    return with_change


OPEN = {"count": "1", "left": "1 mL", "opened": "-1 d", "discard_after": "+1 d"}
FINE = "filter_micrometres"
SPOILT: list[tuple[str, str, dict[str, str], str, str]] = [
    ("staff", "N01", {"roles": "doctor"}, "roles", "cell_not_a_choice"),
    ("staff", "N01", {"roles": "preparer; preparer"}, "roles", "cell_list_bad"),
    ("staff", "N01", {"roles": ""}, "roles", "cell_empty"),
    ("staff", "N01", {"pin": "12a4"}, "pin", "cell_not_a_pin"),
    ("staff", "N01", {"badge": "PB1N01X"}, "badge", "cell_not_a_badge"),
    ("staff", "N01", {"trainee": "perhaps"}, "trainee", "cell_not_a_choice"),
    ("patients", "P01", {"weight": "71"}, "weight", "cell_not_a_measure"),
    ("patients", "P01", {"weight": "71 mL"}, "weight", "cell_other_kind"),
    ("patients", "P01", {"weighed": ""}, "weighed", "cell_empty"),
    ("patients", "P01", {"born": "30.2.1980"}, "born", "cell_not_a_day"),
    ("patients", "P01", {"earlier_weights": "70 kg"}, "earlier_weights", "cell_not_a_weight"),
    ("drugs", "morphine", {"measured_in": "IU"}, "measured_in", "cell_not_a_choice"),
    ("drugs", "morphine", {"allowed_error": "5 %"}, "allowed_error", "cell_not_a_number"),
    ("drugs", "morphine", {"source": ""}, "source", "cell_empty"),
    ("drugs", "magnesium_sulfate", {"valence": "1.5"}, "valence", "cell_not_whole"),
    ("drugs", "morphine", {"looks_like": "nobody"}, "looks_like", "cell_names_nothing"),
    ("limits", "morphine", {"unit": "mL"}, "unit", "cell_other_kind"),
    ("limits", "morphine", {"low": "", "high": ""}, "high", "cell_empty"),
    ("limits", "gentamicin", {"unit": "mg"}, "unit", "cell_other_kind"),
    ("products", "morphine-10mg-1ml", {"gtin": "09520000000005"}, "gtin", "cell_not_a_gtin"),
    ("products", "morphine-10mg-1ml", {"drug": "morphium"}, "drug", "cell_names_nothing"),
    ("products", "morphine-10mg-1ml", {"strength": "10mg/mL"}, "strength", "cell_not_a_strength"),
    ("products", "morphine-10mg-1ml", {"strength": "10 mg powder"}, "strength", "cell_not_of_the_form"),
    ("products", "morphine-10mg-1ml", {"routes": "intrathecal"}, "routes", "cell_not_a_choice"),
    ("make_ups", "cefazolin-1g", {"product": "morphine-10mg-1ml"}, "product", "cell_not_a_powder"),
    ("make_ups", "cefazolin-1g", {"diluent": ""}, "diluent", "cell_empty"),
    ("stock", "C001", {"id": "c-1"}, "id", "cell_not_a_key"),
    ("stock", "C001", {"lot": "A 1"}, "lot", "cell_not_a_lot"),
    ("stock", "C001", {"count": "0"}, "count", "cell_count_bad"),
    ("stock", "C053", {"count": "2"}, "count", "cell_count_bad"),
    ("stock", "C053", {"opened": ""}, "opened", "cell_half_open"),
    ("stock", "C053", {"left": "10.5 mL"}, "left", "cell_more_than_fill"),
    ("stock", "C053", {"opened": "yesterday"}, "opened", "cell_not_a_moment"),
    ("stock", "C001", OPEN, "opened", "cell_not_kept"),
    ("syringes", "syringe-3ml-lock", {"graduation": "0.7 mL"}, "graduation", "cell_not_a_scale"),
    ("syringes", "syringe-3ml-lock", {"numbered_every": "0.15 mL"}, "numbered_every", "cell_not_a_scale"),
    ("syringes", "syringe-3ml-lock", {"capacity": "2 mL"}, "capacity", "cell_not_a_scale"),
    ("syringes", "insulin-u40-1ml", {"insulin_strength": "100 units/mL"}, "capacity", "cell_not_a_scale"),
    ("syringes", "syringe-3ml-lock", {"fixed_gauge": "25"}, "fixed_gauge", "cell_not_of_the_tip"),
    ("draw_up_devices", "blunt-fill-18g-38mm", {FINE: "5"}, FINE, "cell_not_of_the_kind"),
    ("draw_up_devices", "filter-straw-100mm", {FINE: ""}, FINE, "cell_not_of_the_kind"),
    ("orders", "O01", {"dose": "12.5mg"}, "dose", "cell_not_a_dose"),
    ("orders", "O01", {"patient": "P99"}, "patient", "cell_names_nothing"),
    ("orders", "O01", {"due": "soon"}, "due", "cell_not_a_moment"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "id", "cells", "column", "code"),
    SPOILT,
    ids=[f"{s[0]}-{s[3]}-{s[4]}-{n}" for n, s in enumerate(SPOILT)],
)
def test_one_bad_cell_is_told_with_its_place_and_a_sentence(
    spoil: Spoil, name: str, id: str, cells: dict[str, str], column: str, code: str
) -> None:
    troubles = spoil(name, id, cells)
    first = next(t for t in troubles if t.code == code)
    assert first.facts["file"] == f"{name}.csv"
    assert first.facts["column"] == column
    assert code in told(first)
    for language in languages():
        for part in ("what", "why", "now"):
            text = words(language)[f"refusal.{code}.{part}"]
            fields = {field for _, field, _, _ in string.Formatter().parse(text) if field}
            assert fields <= set(first.facts), (language, part)


def test_a_number_given_twice_is_told_across_lists(spoil: Spoil) -> None:
    troubles = spoil("needles", "needle-23g-25mm", {"gtin": "09520000100018"})
    assert [(t.code, t.facts["cell"]) for t in troubles] == [("number_twice", "09520000100018")]


def test_a_key_given_twice_is_told_with_both_lines(spoil: Spoil) -> None:
    (trouble,) = spoil("orders", "O02", {"id": "O01"})
    assert (trouble.code, trouble.facts["line"], trouble.facts["first"]) == ("row_twice", 4, 3)


def test_a_powder_that_nobody_says_how_to_make_up_for_a_route_is_told(spoil: Spoil) -> None:
    troubles = spoil("make_ups", "amoxicillin-250mg", {"routes": "intramuscular"})
    assert [(t.code, t.facts["cell"]) for t in troubles] == [("powder_without_make_up", "amoxicillin-250mg")]


def test_all_troubles_are_told_at_once(spoil: Spoil, tmp_path: Path) -> None:
    path = tmp_path / "ward" / "needles.csv"
    path.write_text(path.read_text().replace("23,25 mm", "23,25", 1))
    (tmp_path / "ward" / "draw_up_devices.csv").unlink()
    (tmp_path / "ward" / "syringes.csv").write_text("id,nominal\n")
    codes = {t.code for t in spoil("orders", "O01", {"route": "by ear"})}
    assert codes >= {"cell_not_a_measure", "list_unreadable", "list_columns_wrong", "cell_not_a_choice"}
