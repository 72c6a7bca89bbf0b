"""Every verdict on the record, and every refusal of the store, has its sentences in both languages."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import kiosk.store
from kiosk.store.diagnosis import How
from kiosk.tables.words import words

ROOM = Path(kiosk.store.__file__).parent


def refusals() -> list[str]:
    """The code of every ``Refusal`` made in the store."""
    found = set[str]()
    for path in ROOM.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Refusal":
                codes = [one for one in ast.walk(node.args[0]) if isinstance(one, ast.Constant)]
                found |= {str(code.value) for code in codes}
    return sorted(found)


@pytest.mark.parametrize("language", ["en", "fr"])
def test_every_verdict_and_every_refusal_has_words(language: str) -> None:
    said = words(language)
    keys = [f"record.{how}" for how in (*How, "whole")] + [f"refusal.{code}" for code in refusals()]
    missing = [
        f"{key}.{part}" for key in keys for part in ("what", "why", "now") if f"{key}.{part}" not in said
    ]
    assert missing == []
    assert len(refusals()) > 20
