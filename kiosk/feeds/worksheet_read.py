"""From bytes to a plain tree: JSON or TOML, every number exact, every key once.

Numbers become ``int`` or ``Decimal``, never a float. Raises ``BadInput``, which names the field by its
path; the command turns it into one sentence.
"""

from __future__ import annotations

import json
import tomllib
from decimal import Decimal, InvalidOperation
from typing import Any, Final, NoReturn

from kiosk.core.findings import Fact, Facts

LONGEST: Final = 1_000_000
"""Bytes a description may have: a hundred times the longest sensible one."""

_LONG_WHOLE: Final = 40


class BadInput(Exception):
    """The input cannot be used. ``path`` names the field (empty: the whole), ``code`` the sentence."""

    def __init__(self, path: str, code: str, **facts: Fact) -> None:
        super().__init__(f"{path}: {code}")
        self.path = path
        self.code = code
        self.facts: Facts = facts


def read_tree(data: bytes, name: str = "") -> dict[str, Any]:
    """Return the description as a tree: JSON when it begins with a brace or is named so, else TOML.

    Codes: ``too_long``, ``not_text``, ``empty``, ``not_json``, ``not_toml``, ``stated_twice``,
    ``too_deep``, ``not_a_table``.
    """
    text = _text(data)
    is_json = name.endswith(".json") or (text.lstrip().startswith("{") and not name.endswith(".toml"))
    tree = _parsed(text, is_toml=not is_json)
    if not isinstance(tree, dict):
        raise BadInput("", "not_a_table")
    return tree


def _text(data: bytes) -> str:
    """Return the bytes as text that is not blank."""
    if len(data) > LONGEST:
        raise BadInput("", "too_long", bytes=len(data), most=LONGEST)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        raise BadInput("", "not_text", byte=trouble.start) from trouble
    if not text.strip():
        raise BadInput("", "empty")
    return text


def _parsed(text: str, *, is_toml: bool) -> Any:
    """Return the tree of one text."""
    try:
        if is_toml:
            return tomllib.loads(text, parse_float=_decimal)
        return json.loads(
            text, parse_float=_decimal, parse_int=_whole, parse_constant=_decimal, object_pairs_hook=_once
        )
    except json.JSONDecodeError as trouble:
        raise BadInput("", "not_json", line=trouble.lineno, column=trouble.colno) from trouble
    except tomllib.TOMLDecodeError as trouble:
        raise BadInput("", "not_toml") from trouble
    except RecursionError as trouble:
        raise BadInput("", "too_deep") from trouble
    except ValueError as trouble:  # a whole number of thousands of digits, in TOML
        raise BadInput("", "not_toml") from trouble


def _decimal(text: str) -> Decimal:
    """Return a number as written; one beyond all bounds becomes infinite and is refused at its field."""
    try:
        return Decimal(text)
    except InvalidOperation:
        return Decimal("Infinity")


def _whole(text: str) -> int | Decimal:
    """Return a whole number; one with too many digits stays a Decimal, to be refused at its field."""
    return int(text) if len(text) <= _LONG_WHOLE else _decimal(text)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return a table whose keys stand once each."""
    table: dict[str, Any] = {}
    for key, value in pairs:
        if key in table:
            raise BadInput("", "stated_twice", field=key[:60])
        table[key] = value
    return table


def wrong_type(path: str, wanted: str) -> NoReturn:
    """Refuse a value of another type than wanted. ``wanted`` is a key under ``type.`` in the words."""
    raise BadInput(path, "wrong_type", wanted=f"type.{wanted}")
