"""The published forms of input and output: they are schemas, current, and hold for everything we have."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from kiosk.feeds.worksheet_schema import input_schema
from kiosk.tables import csv_rows
from kiosk.tables.resources import resource
from tests.feeds.asking import ask

HERE = Path(__file__).parent
OUTSIDE = HERE.parent / "outside" / "worked_examples.jsonl"


def published(name: str) -> dict[str, Any]:
    text = resource("schemas", f"worksheet-{name}.schema.json").read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


INPUT = Draft202012Validator(published("input"))
OUTPUT = Draft202012Validator(published("output"))


def descriptions() -> list[dict[str, Any]]:
    files = (OUTSIDE, HERE / "worksheet_examples.jsonl", HERE / "worksheet_examined.jsonl")
    lines = [line for path in files for line in path.read_text(encoding="utf-8").splitlines()]
    sheets = [
        tomllib.loads(path.read_text()) if path.suffix == ".toml" else json.loads(path.read_text())
        for path in sorted((HERE / "worksheets").iterdir())
    ]
    return [json.loads(line) for line in lines] + json.loads(json.dumps(sheets, default=str))


def refused_ones() -> list[dict[str, Any]]:
    return [
        {"given": {}, "ask": "volume"},
        {"given": {"patient_weight": "154 lb"}},
        {"given": {"ordered_dose": "8 mg", "stock_strength": "100 units/mL"}, "ask": "volume"},
        {"given": {"ordered_dose": "10 mg", "stock_strength": "3 mg/cc"}},
        {},
        {"order": {"drug": "x", "dose": "8 mg"}},
    ]


@pytest.mark.parametrize("name", ["input", "output"])
def test_it_is_a_schema_of_draft_2020_12(name: str) -> None:
    schema = published(name)
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_published_input_is_made_from_the_types_and_the_vocabulary_that_read_it() -> None:
    assert published("input") == input_schema(csv_rows.rows("worksheet_facts", ("name",)))


def test_every_description_we_have_is_of_the_published_form() -> None:
    found = [(one.get("id"), error.message) for one in descriptions() for error in INPUT.iter_errors(one)]
    assert found == []


def test_every_answer_is_of_the_published_form() -> None:
    for one in [*descriptions(), *refused_ones()]:
        told = ask(one)
        assert told.end in (0, 3), told.err
        assert [error.message for error in OUTPUT.iter_errors(json.loads(told.out))] == [], one


@pytest.mark.parametrize(
    "wrong",
    [
        {"given": {"colour": "blue"}},
        {"given": {"ordered_dose": {"value": 8, "unit": "mg", "x": 1}}},
        {"given": {"ordered_dose": True}},
        {"given": {"rows": []}},
        {"given": {}, "ask": "the weather"},
        {"given": {}, "decimals": 99},
        {"ask": "volume"},
        {"order": {"dose": []}},
        {"order": {"colour": "blue"}},
        {"containers": {}},
        {"devices": {"needles": [{"gauge": "23", "length": "25 mm"}]}},
    ],
)
def test_what_the_schema_refuses_the_command_refuses(wrong: dict[str, Any]) -> None:
    assert not INPUT.is_valid(wrong)
    assert ask(wrong).end == 2
