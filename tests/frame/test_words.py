"""Every finding and refusal has its three sentences, in every language, and the facts they ask for."""

from __future__ import annotations

import ast
import string
from collections import defaultdict
from collections.abc import Iterator

import pytest

from kiosk.tables.words import languages, words
from tests.frame.sources import modules, nodes

SENTENCES = ("what", "why", "now")
KINDS = {"Finding": "finding", "Refusal": "refusal"}


def answers() -> Iterator[tuple[str, str, str, frozenset[str] | None]]:
    """Every place that makes a finding or a refusal by a literal id: kind, id, place, facts.

    Facts are None where they are not a literal mapping.
    """
    for path, node in nodes():
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        kind = KINDS.get(node.func.id)
        if kind and node.args and isinstance(node.args[0], ast.Constant):
            yield kind, str(node.args[0].value), f"{path}:{node.lineno}", _facts(node, kind)


def _facts(node: ast.Call, kind: str) -> frozenset[str] | None:
    place = 2 if kind == "finding" else 1
    named = [keyword.value for keyword in node.keywords if keyword.arg == "facts"]
    given = named or list(node.args[place : place + 1])
    if not given:
        return frozenset()
    if isinstance(given[0], ast.Dict) and all(isinstance(key, ast.Constant) for key in given[0].keys):
        return frozenset(str(key.value) for key in given[0].keys if isinstance(key, ast.Constant))
    return None


def home(kind: str, id: str, entries: dict[str, str]) -> str:
    """Where the sentences stand: a refusal may speak with the words of the finding of the same id."""
    own = f"{kind}.{id}"
    return own if kind == "finding" or f"{own}.what" in entries else f"finding.{id}"


def placeholders(entries: dict[str, str], key: str) -> frozenset[str]:
    texts = " ".join(entries.get(f"{key}.{sentence}", "") for sentence in SENTENCES)
    return frozenset(name for _, name, _, _ in string.Formatter().parse(texts) if name)


ENTRIES = {language: dict(words(language)) for language in languages()}


def test_there_is_english_and_french() -> None:
    assert {"en", "fr"} <= set(ENTRIES)


@pytest.mark.parametrize("language", sorted(ENTRIES))
def test_every_answer_has_its_three_sentences(language: str) -> None:
    entries = ENTRIES[language]
    found = list(answers())
    assert len(found) > 100
    missing = {
        f"{place} {kind} {id} {sentence}"
        for kind, id, place, _ in found
        for sentence in SENTENCES
        if f"{home(kind, id, entries)}.{sentence}" not in entries
    }
    assert missing == set()


@pytest.mark.parametrize("language", sorted(ENTRIES))
def test_a_sentence_asks_only_for_facts_that_come_with_the_answer(language: str) -> None:
    entries = ENTRIES[language]
    empty = {
        f"{place} {id}: {sorted(placeholders(entries, home(kind, id, entries)) - facts)}"
        for kind, id, place, facts in answers()
        if facts is not None and placeholders(entries, home(kind, id, entries)) - facts
    }
    assert empty == set()


def test_every_language_says_the_same_facts() -> None:
    keys = {key for entries in ENTRIES.values() for key in entries}
    differing = {
        key
        for key in keys
        if len({frozenset(_names(entries.get(key, ""))) for entries in ENTRIES.values()}) > 1
    }
    assert differing == set()


def _names(text: str) -> Iterator[str]:
    return (name for _, name, _, _ in string.Formatter().parse(text) if name is not None)


def test_no_sentence_is_kept_for_an_answer_that_nobody_gives() -> None:
    spoken = {
        node.value for _, node in nodes() if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    kept = defaultdict(set)
    for key in ENTRIES["en"]:
        kind, _, rest = key.partition(".")
        if kind in ("finding", "refusal"):
            kept[rest.rpartition(".")[0]].add(kind)
    assert {id for id in kept if id not in spoken} == set()


def test_ids_are_written_alike() -> None:
    assert {
        id for _, id, _, _ in answers() if not id.replace("_", "a").isalnum() or id != id.lower()
    } == set()


def test_the_collector_sees_what_it_should() -> None:
    assert "kiosk/core/label/fields.py" in modules()
    found = {(kind, id): facts for kind, id, _, facts in answers()}
    assert found["refusal", "label_figures_disagree"] is None
    assert found["refusal", "label_too_many_copies"] == {"copies"}
