"""The worksheet's words: every code, every fact and every heading is said in English and in French alike."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

import kiosk
from kiosk.core.dose.follow_rules import all_rules
from kiosk.feeds.worksheet_shapes import FAMILIES
from kiosk.tables import csv_rows
from kiosk.tables.words import words

PACKAGE = Path(kiosk.__file__).parent
DOOR = [
    PACKAGE / "feeds" / "spellings.py",
    *sorted(PACKAGE.glob("feeds/worksheet*.py")),
    *sorted(PACKAGE.glob("core/dose/follow*.py")),
]
EN, FR = words("en"), words("fr")


def calls(name: str, at: int) -> Iterator[str]:
    """Yield the literal text at one place of every call by this name in the worksheet's own files."""
    for path in DOOR:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name:
                yield from (
                    literal.value
                    for literal in ast.walk(node.args[at])
                    if isinstance(literal, ast.Constant) and str(literal.value).isidentifier()
                )


def holes(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


def said(prefix: str, codes: set[str], parts: tuple[str, ...]) -> None:
    missing = {f"{prefix}.{code}{part}" for code in codes for part in parts} - EN.keys()
    assert missing == set()


def test_every_code_of_bad_input_has_its_sentence() -> None:
    codes = set(calls("BadInput", 1))
    assert len(codes) > 40
    said("bad_input", codes, ("",))


def test_every_refusal_of_the_worksheet_has_its_words() -> None:
    codes = set(calls("Refusal", 0))
    assert len(codes) > 10
    said("refusal", codes, (".what", ".why", ".now"))


def test_every_finding_of_the_worksheet_has_its_words() -> None:
    codes = set(calls("Finding", 0))
    assert len(codes) >= 6
    said("finding", codes, (".what", ".why", ".now"))


def test_every_fact_has_a_name() -> None:
    facts = {rule.gives for rule in all_rules()} | {need for rule in all_rules() for need in rule.needs}
    for row in csv_rows.rows("worksheet_facts", ("name",)):
        for template in FAMILIES.get(row["kind"], {}).values():
            facts.add(template.format(row["fact"]).removesuffix("!day"))
    said("fact", facts, ("",))


@pytest.mark.parametrize(
    "key", sorted(key for key in EN if key.split(".")[0] in ("bad_input", "worksheet", "fact"))
)
def test_both_languages_say_it_with_the_same_figures(key: str) -> None:
    assert holes(EN[key]) == holes(FR[key])
