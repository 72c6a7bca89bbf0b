"""The core reads no clock, no file, no environment: imports and calls that could are not in it."""

from __future__ import annotations

import ast
from collections.abc import Iterator

import pytest

from tests.frame.sources import modules

FORBIDDEN_MODULES = {
    *("os", "pathlib", "io", "time", "tempfile", "shutil", "subprocess", "socket", "sys", "logging"),
    *("sqlite3", "asyncio", "random", "secrets", "uuid", "locale", "platform", "getpass"),
    *("json", "csv", "tomllib", "pickle", "importlib", "urllib", "http", "signal", "multiprocessing"),
}
FORBIDDEN_NAMES = {"open", "input", "print", "exec", "eval", "__import__", "breakpoint"}
CLOCKS = {"now", "utcnow", "today"}


def trespasses(tree: ast.Module) -> Iterator[str]:
    """Say what a module does that the core must not."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            names = {(node.module or "").split(".")[0]}
        else:
            names = set()
        yield from (f"{node.lineno}: imports {name}" for name in names & FORBIDDEN_MODULES)  # type: ignore[attr-defined]
        if isinstance(node, ast.Call):
            yield from _calls(node)


def _calls(node: ast.Call) -> Iterator[str]:
    called = node.func
    if isinstance(called, ast.Name) and called.id in FORBIDDEN_NAMES:
        yield f"{node.lineno}: calls {called.id}"
    if isinstance(called, ast.Attribute) and called.attr in CLOCKS and _is_a_clock(called.value):
        yield f"{node.lineno}: reads the clock by {called.attr}"


def _is_a_clock(value: ast.expr) -> bool:
    names = {node.id for node in ast.walk(value) if isinstance(node, ast.Name)}
    names |= {node.attr for node in ast.walk(value) if isinstance(node, ast.Attribute)}
    return bool(names & {"datetime", "date"})


def test_the_core_reads_nothing_from_outside() -> None:
    core = {path: tree for path, tree in modules().items() if path.startswith("kiosk/core/")}
    assert len(core) > 20
    found = [f"{path}:{what}" for path, tree in core.items() for what in trespasses(tree)]
    assert found == []


@pytest.mark.parametrize(
    ("source", "what"),
    [
        ("import os", "1: imports os"),
        ("from pathlib import Path", "1: imports pathlib"),
        ("import time as t", "1: imports time"),
        ("from os.path import exists", "1: imports os"),
        ("open('x')", "1: calls open"),
        ("from datetime import datetime\nx = datetime.now()", "2: reads the clock by now"),
        ("import datetime\nx = datetime.datetime.now(None)", "2: reads the clock by now"),
        ("from datetime import date\nx = date.today()", "2: reads the clock by today"),
    ],
)
def test_each_trespass_would_be_seen(source: str, what: str) -> None:
    assert what in list(trespasses(ast.parse(source)))


def test_a_moment_handed_in_is_no_trespass() -> None:
    assert list(trespasses(ast.parse("def f(clock, now):\n    return clock.now() - now.date()"))) == []
