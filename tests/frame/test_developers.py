"""DEVELOPERS.md keeps up with the house: its rooms, its dependencies, its long proofs."""

from __future__ import annotations

import re
import tomllib

from tests.frame.sources import KIOSK, ROOT

TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_every_room_is_introduced() -> None:
    rooms = {path.name for path in KIOSK.iterdir() if path.is_dir() and not path.name.startswith(("_", "."))}
    assert {room for room in rooms if f"`kiosk/{room}`" not in TEXT} == set()


def test_every_dependency_says_why_it_is_here() -> None:
    needed = {re.split(r"[<>=!~\[; ]", line)[0] for line in PROJECT["dependencies"]}
    named = {name.casefold() for name in re.findall(r"^\| ([A-Za-z0-9-]+) \|", TEXT, re.MULTILINE)}
    assert {name for name in needed if name.casefold() not in named} == set()


def test_every_long_proof_is_listed_with_the_command_that_runs_it() -> None:
    scripts = [*ROOT.glob("tests/**/proof_*.py"), *ROOT.glob("tests/**/bench_*.py")]
    scripts += [path for path in ROOT.glob("tests/durability/*.py") if "__main__" in path.read_text("utf-8")]
    names = {path.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".") for path in scripts}
    assert names
    assert {name for name in names if f"python -m {name}" not in TEXT} == set()
