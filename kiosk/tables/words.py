"""Loads the words a person reads: ``resources/words/<lang>/*.toml`` as one flat mapping.

A table ``[finding.too_small]`` with ``what = "..."`` becomes the key ``finding.too_small.what``. A key that
stands in two files is refused: a sentence has one home.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kiosk.tables.resources import resource


class BadWords(ValueError):
    """A words file cannot be used; the text names the file and the key."""


def languages() -> tuple[str, ...]:
    """Return the codes of the languages that have words, in order: ``en``, ``fr``."""
    return tuple(sorted(path.name for path in resource("words").iterdir() if path.is_dir()))


def words(language: str) -> Mapping[str, str]:
    """Return every sentence of one language by its dotted key. Raises ``BadWords``."""
    folder = resource("words", language)
    if not folder.is_dir():
        raise BadWords(f"no words for the language {language!r}")
    return read(folder)


def read(folder: Path) -> Mapping[str, str]:
    """Return the sentences of every TOML file of a folder. Raises ``BadWords``."""
    found: dict[str, str] = {}
    homes: dict[str, str] = {}
    for path in sorted(folder.glob("*.toml")):
        for key, text in _leaves(path.name, _parsed(path), ""):
            if key in found:
                raise BadWords(f"{path.name}: {key} already stands in {homes[key]}")
            found[key], homes[key] = text, path.name
    return MappingProxyType(found)


def _parsed(path: Path) -> dict[str, Any]:
    """Return the tables of one TOML file."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as trouble:
        raise BadWords(f"{path.name}: {trouble}") from trouble


def _leaves(name: str, tree: dict[str, Any], under: str) -> Iterator[tuple[str, str]]:
    """Yield dotted key and sentence of every leaf; a leaf that is not text is refused."""
    for key, value in tree.items():
        dotted = f"{under}{key}"
        if isinstance(value, dict):
            yield from _leaves(name, value, f"{dotted}.")
        elif isinstance(value, str) and value.strip():
            yield dotted, value
        else:
            raise BadWords(f"{name}: {dotted} is not a sentence")
