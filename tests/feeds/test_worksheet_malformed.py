"""Malformed input of every field: exit 2 and one sentence that names the field, never a traceback."""

from __future__ import annotations

import copy
import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.feeds.worksheet_question import REMARKS
from kiosk.tables import csv_rows
from kiosk.tables.resources import resource
from tests.feeds.asking import Told, ask

SCHEMA = json.loads(resource("schemas", "worksheet-input.schema.json").read_text(encoding="utf-8"))
SHEETS = sorted((Path(__file__).parent / "worksheets").iterdir())
FACTS = csv_rows.rows("worksheet_facts", ("name",))

NOBODY = {"junk": [{"deep": [1, 2, {"x": None}]}]}
NEVER_RIGHT: dict[str, Any] = {
    "nested junk": NOBODY,
    "a list of junk": [[NOBODY]],
    "a number out of all bounds": {"value": "9" * 40, "unit": "mg"},
    "a number that is none": {"value": "eight", "unit": "mg"},
    "a unit that is none": {"value": 8, "unit": "furlong"},
    "a negative figure": {"value": -8, "unit": "mg"},
    "an unknown part": {"value": 8, "unit": "mg", "colour": "blue"},
    "a text that is no figure": "¿?",
}
"""Values that no field of facts may hold."""


def one_sentence(told: Told) -> str:
    assert told.end == 2, told.out or told.err
    assert told.out == ""
    assert "Traceback" not in told.err
    (line,) = told.err.splitlines()
    assert line.endswith((".", "…")), line
    return line


# --- every field of a question, out of the published schema -----------------------------------------

FREE_TEXT = {row["name"] for row in FACTS if row["kind"] in ("note", "word", "rounding", "syringe", "size")}
FIELDS = [name for name in SCHEMA["$defs"]["given"]["properties"] if name not in FREE_TEXT]


def test_the_schema_lists_every_field_of_facts() -> None:
    assert set(SCHEMA["$defs"]["given"]["properties"]) == {row["name"] for row in FACTS}
    assert len(FIELDS) > 150


FIRST_OF_ITS_KIND = {(row["kind"], row["fact"], row["unit"]): row["name"] for row in reversed(list(FACTS))}
THE_SAME_READER = ("nested junk", "a text that is no figure")
"""What a field is tried with beside the first of its kind, fact and unit: all goes to one reader."""


@pytest.mark.parametrize("name", FIELDS)
def test_junk_in_a_field_of_facts_is_refused_by_its_path(name: str) -> None:
    every = name in FIRST_OF_ITS_KIND.values()
    for what, junk in NEVER_RIGHT.items():
        if not every and what not in THE_SAME_READER:
            continue
        said = one_sentence(ask({"given": {name: junk}}))
        assert said.startswith(f"given.{name}"), (what, said)


@pytest.mark.parametrize("name", sorted(FREE_TEXT))
def test_a_field_of_text_takes_no_table_no_list_no_blank(name: str) -> None:
    for junk in (NOBODY, [NOBODY], "   ", "x" * 500):
        assert one_sentence(ask({"given": {name: junk}})).startswith(f"given.{name}")


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ('{"given": {"ordered_dose": {"value": 1e400, "unit": "mg"}}}', "given.ordered_dose.value"),
        ('{"given": {"ordered_dose": {"value": NaN, "unit": "mg"}}}', "given.ordered_dose.value"),
        ('{"given": {"ordered_dose": {"value": -Infinity, "unit": "mg"}}}', "given.ordered_dose.value"),
        ('{"given": {"ordered_dose": {"value": "NaN", "unit": "mg"}}}', "given.ordered_dose.value"),
        (
            '{"given": {"ordered_dose": {"value": 1e99999999999999999999, "unit": "mg"}}}',
            "given.ordered_dose",
        ),
        (
            '{"given": {"ordered_dose": {"value": ' + "9" * 5000 + ', "unit": "mg"}}}',
            "given.ordered_dose.value",
        ),
        ('{"given": {"ordered_dose": {"value": true, "unit": "mg"}}}', "given.ordered_dose.value"),
        ('{"given": {"ordered_dose": {"value": 8}}}', "given.ordered_dose.unit"),
        ('{"given": {"ordered_dose": {"unit": "mg"}}}', "given.ordered_dose.value"),
        ('{"given": {"ordered_dose": "8"}}', "given.ordered_dose"),
        ('{"given": {"ordered_dose": "8,5 mg"}}', "given.ordered_dose"),
        ('{"given": {"ordered_dose": "1,500 mg"}}', "given.ordered_dose"),
        ('{"given": {"ordered_dose": "0 mg"}}', "given.ordered_dose"),
        ('{"given": {"patient_weight": "70 mL"}}', "given.patient_weight.unit"),
        ('{"given": {"stock_strength": {"amount": "8 mg"}}}', "given.stock_strength.volume"),
        (
            '{"given": {"stock_strength": {"amount": "8 mL", "volume": "1 mL"}}}',
            "given.stock_strength.amount",
        ),
        ('{"given": {"stock_ratio": {"parts": 1, "in": 0}}}', "given.stock_ratio.in"),
        (
            '{"given": {"stock_ratio": {"parts": 1, "in": 9, "meaning": "1 mL in N mL"}}}',
            "given.stock_ratio.meaning",
        ),
        ('{"given": {"rows": [{"diluent": "2 mL"}]}}', "given.rows[0].concentration"),
        ('{"given": {"frequency": "now and then"}}', "given.frequency"),
        ('{"given": {"colour": "blue"}}', "given.colour"),
        ('{"given": {}, "ask": "the weather"}', "ask"),
        ('{"given": {}, "ask": 5}', "ask"),
        ('{"given": [], "ask": "volume"}', "given"),
        ('{"ask": "volume"}', "given"),
        ('{"given": {}, "decimals": 1.5}', "decimals"),
        ('{"given": {}, "decimals": -1}', "decimals"),
        ('{"given": {}, "decimals": 99}', "decimals"),
        ('{"given": {}, "ask": "volume", "rounding": "round it nicely"}', "rounding"),
        ('{"given": {}, "ask": "volume", "rounding": "what_the_syringe_shows"}', "rounding"),
        ('{"given": {}, "ask": "volume", "unit": "furlong"}', "unit"),
        ('{"given": {}, "ask": "volume", "answer": {"value": 1, "unit": "furlong"}}', "answer.unit"),
        ('{"given": {}, "ask": "volume", "roundng": "exact"}', "roundng"),
        ('{"given": {}, "given": {}}', "the description"),
        ("", "the description"),
        ("   ", "the description"),
        ("[1, 2]", "the description"),
        ("8", "the description"),
        ('{"given": ', "the description"),
        ("dose = = 8", "the description"),
        ("[" * 100_000, "the description"),
        ('{"a": ' * 50_000, "the description"),
    ],
)
def test_each_of_these_is_named_in_one_sentence(text: str, names: str) -> None:
    assert one_sentence(ask(text)).startswith(names)


def test_bytes_that_are_no_text_are_refused() -> None:
    assert one_sentence(ask(b"\xff\xfe{}")).startswith("the description")


def test_a_description_of_megabytes_is_refused() -> None:
    assert "longer than" in one_sentence(ask('{"note": "' + "x" * 2_000_000 + '"}'))


def test_a_file_that_is_not_there_is_named() -> None:
    from contextlib import redirect_stderr
    from io import StringIO

    from kiosk.cli import main

    with redirect_stderr(StringIO()) as err:
        assert main(["worksheet", "no such file.json"]) == 2
    assert err.getvalue().startswith("no such file.json: ")


def test_the_sentence_comes_in_french_too() -> None:
    told = ask({"given": {"ordered_dose": "8 mgg"}}, "--json", "--language", "fr")
    assert told.err == "given.ordered_dose: l'unité « mgg » est inconnue ; elle n'est pas devinée.\n"


# --- every field of a description -------------------------------------------------------------------


def sheet(path: Path) -> dict[str, Any]:
    text = path.read_text(encoding="utf-8")
    tree = tomllib.loads(text) if path.suffix == ".toml" else json.loads(text)
    plain: dict[str, Any] = json.loads(json.dumps(tree, default=str))
    return plain


def leaves(tree: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    inside = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    if path and not inside:
        yield path
    for key, value in inside:
        yield from leaves(value, (*path, key))


def replaced(tree: dict[str, Any], path: tuple[str | int, ...], by: Any) -> dict[str, Any]:
    made: Any = copy.deepcopy(tree)
    place = made
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = by
    whole: dict[str, Any] = made
    return whole


EVERY_LEAF = [(one, path) for one in SHEETS for path in leaves(sheet(one))]


def dotted(path: tuple[str | int, ...]) -> str:
    text = "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in path)
    return text.removeprefix(".")


@pytest.mark.parametrize(
    ("one", "path"), EVERY_LEAF, ids=[f"{one.stem}-{dotted(path)}" for one, path in EVERY_LEAF]
)
def test_junk_in_a_field_of_a_description_is_refused_by_its_path(
    one: Path, path: tuple[str | int, ...]
) -> None:
    said = one_sentence(ask(replaced(sheet(one), path, NOBODY)))
    where = dotted(path)
    nearby = [part for part in (where, where.rpartition(".")[0], where.rpartition("[")[0]) if part]
    assert said.startswith(tuple(nearby)), said
    assert "given" not in said.split(":")[0]


@pytest.mark.parametrize("one", SHEETS, ids=[one.stem for one in SHEETS])
def test_an_unknown_field_anywhere_is_refused_by_its_path(one: Path) -> None:
    tables = {
        path[:at] for path in leaves(sheet(one)) for at in range(len(path)) if isinstance(path[at], str)
    }
    for table in tables:
        said = one_sentence(ask(replaced(sheet(one), (*table, "colour"), "blue")))
        assert said.startswith(dotted((*table, "colour"))), said


# --- anything at all --------------------------------------------------------------------------------

scraps = st.sampled_from(
    [
        None,
        True,
        0,
        -1,
        3,
        "",
        "8 mg",
        "5 mL",
        "70 kg",
        "1:1000",
        "10 %",
        "every 6 h",
        "1e9 mg",
        "NaN",
        [],
        {},
    ]
)
trees = st.recursive(
    scraps,
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=3), inner, max_size=2),
)
names = st.sampled_from([row["name"] for row in FACTS])
asks = st.sampled_from(SCHEMA["$defs"]["question"]["properties"]["ask"]["anyOf"][0]["enum"])


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.dictionaries(names, trees, max_size=5), asks, st.sampled_from(["nearest tenth", "exact", None]))
def test_whatever_is_asked_the_command_ends_with_a_word_and_no_exception(
    facts: dict[str, Any], what: str | None, rounding: str | None
) -> None:
    told = ask({"given": facts, "ask": what, "rounding": rounding})
    assert told.end in (0, 2, 3)
    if told.end == 2:
        one_sentence(told)
    else:
        assert told.json["outcome"] in ("answered", "partial", "refused")


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(EVERY_LEAF), trees, st.booleans())
def test_whatever_stands_in_a_description_the_command_ends_with_a_word(
    leaf: tuple[Path, tuple[str | int, ...]], by: Any, french: bool
) -> None:
    one, path = leaf
    options = ("--language", "fr") if french else ("--json",)
    told = ask(replaced(sheet(one), path, by), *options)
    assert told.end in (0, 2, 3)
    assert "Traceback" not in told.err


def test_remarks_may_hold_anything_and_are_carried_through() -> None:
    remarks = dict.fromkeys(sorted(REMARKS), NOBODY)
    told = ask({"given": {"ordered_dose": "8 mg"}, **remarks})
    assert told.end == 0
    assert told.json["remarks"] == remarks
