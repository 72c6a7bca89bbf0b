"""Every refusal that stock and feeds can give has its three sentences in every language.

The codes are read off the source by its syntax tree, so that a new one without words cannot slip in.
"""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

import kiosk
from kiosk.core.stock.waste import Reason
from kiosk.tables.words import languages, words

ROOMS = ("core/stock", "feeds")  # the worksheet's own refusals are looked after beside it
# Which argument of a call is a refusal's code.
CALLS = {"Refusal": 0, "_Unreadable": 0, "BadCell": 1, "bad": 1}


def codes() -> set[str]:
    folder = Path(kiosk.__file__).parent
    paths = [path for room in ROOMS for path in sorted((folder / room).glob("*.py"))]
    paths = [path for path in paths if not path.name.startswith("worksheet")]
    return {code for path in paths for code in _codes_of(ast.parse(path.read_text()))}


def _codes_of(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        place = CALLS.get(name)
        if place is None or len(node.args) <= place:
            continue
        for leaf in ast.walk(node.args[place]):
            if isinstance(leaf, ast.Constant) and isinstance(leaf.value, str) and "_" in leaf.value:
                yield leaf.value


def test_the_codes_are_found() -> None:
    assert codes() >= {
        "scan_caps_lock",
        "cell_not_a_gtin",
        "list_formula",
        "balance_too_low",
        "list_unreadable",
    }


@pytest.mark.parametrize("language", languages())
def test_every_refusal_has_its_sentences(language: str) -> None:
    sentences = words(language)
    missing = [
        c
        for c in sorted(codes())
        for part in ("what", "why", "now")
        if f"refusal.{c}.{part}" not in sentences
    ]
    assert missing == []


def told() -> Iterator[tuple[str, set[str]]]:
    """Yield code and fact names of every refusal whose facts stand beside it in the source."""
    folder = Path(kiosk.__file__).parent
    for room in ROOMS:
        for path in sorted((folder / room).glob("*.py")):
            for node in ast.walk(ast.parse(path.read_text())):
                if not isinstance(node, ast.Call) or getattr(node.func, "id", "") != "Refusal":
                    continue
                match node.args:
                    case [ast.Constant(value=str(code)), ast.Dict(keys=keys)] if None not in keys:
                        yield code, {str(key.value) for key in keys if isinstance(key, ast.Constant)}
                    case [ast.Constant(value=str(code))]:
                        yield code, set()


@pytest.mark.parametrize("language", languages())
def test_a_sentence_asks_for_no_fact_that_its_refusal_does_not_bring(language: str) -> None:
    sentences, seen = words(language), list(told())
    assert len(seen) > 40
    for code, facts in seen:
        for part in ("what", "why", "now"):
            text = sentences.get(f"refusal.{code}.{part}", "")
            assert {name for _, name, _, _ in string.Formatter().parse(text) if name} <= facts, (code, part)


@pytest.mark.parametrize("language", languages())
def test_every_flag_of_a_scan_and_every_reason_for_waste_has_words(language: str) -> None:
    sentences = words(language)
    flags = ("expiry_day_not_given", "expiry_out_of_question", "separator_lost", "separator_unsure")
    for flag in flags:
        assert sentences[f"finding.scan_{flag}.what"]
    for reason in Reason:
        assert sentences[f"waste_reason.{reason.name.lower()}.text"]
