"""Every refusal, finding, working note and recipe step of these rooms has its words, in every language."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core import dose, notation
from kiosk.core.dose.rounding import POLICIES
from kiosk.tables.words import languages, words

ROOMS = [Path(str(room.__file__)).parent for room in (dose, notation)]
FILES = [path for room in ROOMS for path in sorted(room.glob("*.py")) if not path.name.startswith("follow")]
PARTS = ("what", "why", "now")


def calls(*names: str) -> Iterator[tuple[str, ast.Call]]:
    """Yield the file name and every call of these names whose first or second word is a constant."""
    for path in FILES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names:
                yield path.name, node


def constant(node: ast.expr) -> list[str]:
    """Return the texts an expression may be: a constant, or either branch of an if."""
    if isinstance(node, ast.IfExp):
        return constant(node.body) + constant(node.orelse)
    return [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) else []


def codes(name: str) -> dict[str, set[str]]:
    """Return every code of refusals or findings with the facts that go with it, where they stand there."""
    found: dict[str, set[str]] = {}
    for _, call in calls(name):
        for code in constant(call.args[0]):
            facts = next((arg for arg in call.args[1:] if isinstance(arg, ast.Dict)), None)
            keys = {str(key.value) for key in facts.keys if isinstance(key, ast.Constant)} if facts else set()
            found.setdefault(code, set()).update(keys)
    return found


REFUSALS = codes("Refusal")
FINDINGS = codes("Finding")
FIGURES = {
    code for path in FILES if path.name == "figures.py"
    for code in re.findall(r'"(figure_[a-z_]+)"', path.read_text(encoding="utf-8"))
}  # fmt: skip
NOTES = {word for _, call in calls("both", "line") for arg in call.args[:2] for word in constant(arg)} - {
    "dimensional", "desired over have"
}  # fmt: skip
STEPS = {word for _, call in calls("RecipeStep") for word in constant(call.args[0])}


def test_the_rooms_were_read() -> None:
    assert len(REFUSALS) > 45
    assert len(FINDINGS) > 5
    assert len(FIGURES) == 9
    assert len(NOTES) > 12
    assert len(STEPS) == 6


@pytest.mark.parametrize("language", languages())
def test_every_refusal_and_finding_says_what_why_and_what_now(language: str) -> None:
    said = words(language)
    wanted = [f"refusal.{code}" for code in sorted(REFUSALS.keys() | FIGURES)]
    wanted += [f"finding.{code}" for code in sorted(FINDINGS)]
    missing = [f"{key}.{part}" for key in wanted for part in PARTS if f"{key}.{part}" not in said]
    assert missing == []


@pytest.mark.parametrize("language", languages())
def test_every_placeholder_is_a_fact(language: str) -> None:
    said = words(language)
    facts = {f"refusal.{code}": keys for code, keys in REFUSALS.items()}
    facts |= {f"finding.{code}": keys for code, keys in FINDINGS.items()}
    facts |= {f"refusal.{code}": {"typed"} for code in FIGURES}
    for key, known in facts.items():
        if not known:
            continue  # the facts are built elsewhere and checked below
        used = {name for part in PARTS for name in re.findall(r"{(\w+)}", said[f"{key}.{part}"])}
        assert used <= known, key


@pytest.mark.parametrize("language", languages())
def test_every_line_of_the_working_every_step_and_every_policy_has_its_words(language: str) -> None:
    said = words(language)
    assert [note for note in sorted(NOTES) if f"working.note.{note}" not in said] == []
    for step in STEPS:
        assert {f"recipe.{step}.text", f"recipe.{step}.detail"} <= said.keys()
    assert [policy.id for policy in POLICIES if f"rounding.{policy.id}" not in said] == []


def test_both_languages_use_the_same_placeholders() -> None:
    english = words("en")
    for language in languages():
        for key, text in words(language).items():
            if key.startswith(("refusal.", "finding.", "recipe.")):
                assert set(re.findall(r"{(\w+)}", text)) == set(re.findall(r"{(\w+)}", english[key])), key
