"""The published form of the input, made from the same types and vocabulary that read it.

``resources/schemas/worksheet-input.schema.json`` holds what ``input_schema`` returns; a test keeps the two
equal. JSON Schema, draft 2020-12.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final, TypeAlias

import msgspec

from kiosk.core.dose.follow_asks import SPELT
from kiosk.feeds.worksheet_facts import MOST_LINES
from kiosk.feeds.worksheet_form import Description
from kiosk.feeds.worksheet_question import REMARKS
from kiosk.feeds.worksheet_suffix import SUFFIX

Tree: TypeAlias = dict[str, Any]

DRAFT: Final = "https://json-schema.org/draft/2020-12/schema"
_NUMBER_TEXT: Final = (
    r"^[+-]?([0-9]+(\.[0-9]+)?|\.[0-9]+)([eE][+-]?[0-9]{1,2})?$|^[0-9]{1,3}(,[0-9]{3}){2,}(\.[0-9]+)?$"
    r"|^([0-9]{1,4} +)?[0-9]{1,4}/[1-9][0-9]{0,3}$|^[0-9]{0,4} *[½¼¾⅓⅔⅛]$"
)

DEFS: Final[Tree] = {
    "number": {
        "description": "An exact number: a JSON number, the same as text, "
        "or a fraction below one (1/150, 1 1/2).",
        "anyOf": [{"type": "number"}, {"type": "string", "pattern": _NUMBER_TEXT}],
    },
    "unit": {"description": "A UCUM code or a spelling of the trade.", "type": "string", "minLength": 1},
    "measure": {
        "description": "Value and unit, the same as text (8 mg), or a bare number where a unit is implied.",
        "anyOf": [
            {
                "type": "object",
                "properties": {"value": {"$ref": "#/$defs/number"}, "unit": {"$ref": "#/$defs/unit"}},
                "required": ["value"],
                "additionalProperties": False,
            },
            {"type": "string", "minLength": 1},
            {"type": "number"},
        ],
    },
    "measures": {
        "description": "A measure, or up to three that are added up (pounds and ounces, feet and inches).",
        "anyOf": [
            {"$ref": "#/$defs/measure"},
            {"type": "array", "items": {"$ref": "#/$defs/measure"}, "minItems": 1, "maxItems": 3},
            {
                "description": "Its parts by their units, such as lb and oz.",
                "type": "object",
                "propertyNames": {"not": {"enum": ["value", "unit"]}},
                "additionalProperties": {"$ref": "#/$defs/number"},
                "minProperties": 1,
            },
        ],
    },
    "range": {
        "description": "Both ends of a range: a table, two measures, or text such as 10-15 mg/kg.",
        "anyOf": [
            {
                "type": "object",
                "properties": {
                    **{
                        end: {"$ref": "#/$defs/measure"}
                        for end in ("low", "min", "from", "high", "max", "to")
                    },
                    "unit": {"$ref": "#/$defs/unit"},
                },
                "additionalProperties": False,
            },
            {"type": "array", "items": {"$ref": "#/$defs/measure"}, "minItems": 2, "maxItems": 2},
            {"type": "string", "minLength": 3},
        ],
    },
    "ratio": {
        "description": "Grams in millilitres: 1 in 1000, 1:1000, or its parts.",
        "anyOf": [
            {
                "type": "object",
                "properties": {
                    "parts": {"$ref": "#/$defs/number"},
                    "in": {"$ref": "#/$defs/number"},
                    "meaning": {"type": "string"},
                },
                "required": ["in"],
                "additionalProperties": False,
            },
            {"type": "string", "minLength": 1},
        ],
    },
    "strength": {
        "description": "An amount in a volume, an amount per volume, a percentage, a ratio.",
        "anyOf": [
            {
                "type": "object",
                "properties": {"amount": {"$ref": "#/$defs/measure"}, "volume": {"$ref": "#/$defs/measure"}},
                "required": ["amount", "volume"],
                "additionalProperties": False,
            },
            {"$ref": "#/$defs/measure"},
            {"$ref": "#/$defs/ratio"},
        ],
    },
    "often": {
        "description": "How often a day: a number, a measure (4 /day, 6 h), or words (every 6 h).",
        "$ref": "#/$defs/measure",
    },
    "moment": {
        "description": "A day, or a day and time with its zone, in ISO 8601.",
        "type": "string",
        "minLength": 10,
    },
    "text": {"type": "string", "minLength": 1},
}
_LINES: Final[Tree] = {
    "type": "array",
    "minItems": 1,
    "maxItems": MOST_LINES,
    "items": {
        "type": "object",
        "properties": {
            name: {"$ref": "#/$defs/measure" if name.startswith("diluent") else "#/$defs/strength"}
            for name in ("diluent", "diluent_added", "concentration", "final_concentration")
        },
        "additionalProperties": False,
    },
}
_BY_KIND: Final[Mapping[str, Tree]] = {
    "weight": {"$ref": "#/$defs/measures"},
    "height": {"$ref": "#/$defs/measures"},
    "strength": {"$ref": "#/$defs/strength"},
    "range": {"$ref": "#/$defs/range"},
    "daily_range": {"$ref": "#/$defs/range"},
    "per_day": {"$ref": "#/$defs/often"},
    "interval": {"$ref": "#/$defs/often"},
    "whole": {"$ref": "#/$defs/number"},
    "word": {"$ref": "#/$defs/text"},
    "unit": {"$ref": "#/$defs/unit"},
    "rounding": {"$ref": "#/$defs/text"},
    "note": {"$ref": "#/$defs/text"},
    "flag": {"type": "boolean"},
    "lines": _LINES,
    "size": {"anyOf": [{"$ref": "#/$defs/measure"}, {"$ref": "#/$defs/text"}]},
}
_MEASURE: Final[Tree] = {"$ref": "#/$defs/measure"}


def input_schema(facts: Iterable[Mapping[str, str]]) -> Tree:
    """Return the schema of everything the worksheet reads: a question, or a description."""
    described = msgspec.json.schema(Description)
    defs = {**described["$defs"], **DEFS, "given": _given(facts), "question": _question()}
    return {
        "$schema": DRAFT,
        "title": "Worksheet input",
        "description": "One question of dose arithmetic, or one syringe to be planned.",
        "if": {"anyOf": [{"required": ["given"]}, {"required": ["ask"]}]},
        "then": {"$ref": "#/$defs/question"},
        "else": {"$ref": "#/$defs/Description"},
        "$defs": dict(sorted(defs.items())),
    }


def _given(facts: Iterable[Mapping[str, str]]) -> Tree:
    """Return the schema of the facts that a question may state; null states nothing."""
    named = {
        row["name"]: {
            "description": row["meaning"],
            "anyOf": [_BY_KIND.get(row["kind"], _MEASURE), {"type": "null"}],
        }
        for row in facts
    }
    with_unit = {f"^[A-Za-z].*{SUFFIX}": {"description": "A known field, its unit at the end of its name."}}
    return {
        "type": "object",
        "properties": named,
        "patternProperties": with_unit,
        "additionalProperties": False,
    }


def _question() -> Tree:
    """Return the schema of a question; remarks are carried through and never read."""
    fields: Tree = {
        "ask": {
            "description": "What is asked for; a unit may stand at the end (dose_mg).",
            "anyOf": [{"enum": [None, *SPELT]}, {"type": "string", "pattern": SUFFIX}],
        },
        "given": {"$ref": "#/$defs/given"},
        "rounding": {"description": "A rule in words, or a named policy.", "type": ["string", "null"]},
        "decimals": {"type": ["integer", "null"], "minimum": 0, "maximum": 9},
        "unit": {"description": "The unit to answer in.", "type": ["string", "null"]},
        "answer": {
            "description": "An answer to compare ours with; its unit is the unit to answer in.",
            "type": ["object", "number", "null"],
            "properties": {"value": {"type": ["number", "string", "boolean"]}, "unit": {"type": "string"}},
        },
    }
    remarks = {name: {"description": "A remark."} for name in sorted(REMARKS)}
    return {
        "type": "object",
        "properties": {**fields, **remarks},
        "required": ["given"],
        "additionalProperties": False,
    }
