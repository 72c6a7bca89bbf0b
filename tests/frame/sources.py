"""The kiosk's own source files, parsed, for the tests that watch over the house."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
KIOSK = ROOT / "kiosk"

Function = ast.FunctionDef | ast.AsyncFunctionDef


@cache
def modules() -> dict[str, ast.Module]:
    """Every module by its path from the root, parsed."""
    return {
        path.relative_to(ROOT).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted(KIOSK.rglob("*.py"))
    }


def nodes() -> Iterator[tuple[str, ast.AST]]:
    """Every node of every module, with the module's path."""
    for path, tree in modules().items():
        for node in ast.walk(tree):
            yield path, node


def functions() -> Iterator[tuple[str, Function]]:
    """Every function and method, with the path of its module."""
    for path, node in nodes():
        if isinstance(node, Function):
            yield path, node
