"""The README's two commands, and .ci/run, which takes the second from it as it is written."""

from __future__ import annotations

import os
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from tests.frame.sources import ROOT

DEMO = "python3 -m venv .venv && .venv/bin/pip install -e . && .venv/bin/kiosk demo"
TESTS = "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/pytest"
README = (ROOT / "README.md").read_text(encoding="utf-8")
CI = ROOT / ".ci" / "run"


def between_marks(name: str) -> str:
    found = re.search(rf"<!-- {name}: begin -->\n```sh\n(.*)\n```\n<!-- {name}: end -->", README)
    assert found is not None, f"README.md has no command between the marks {name}"
    return found.group(1)


def test_the_readme_shows_both_commands() -> None:
    assert between_marks("demo") == DEMO
    assert between_marks("tests") == TESTS


def test_the_readme_begins_with_the_job_not_with_the_tools() -> None:
    first = README.split("\n\n")[1]
    assert "syringe" in first
    assert not re.search(r"python|pip|venv|Qt|pytest", first, re.IGNORECASE)


def test_ci_is_a_script_that_may_be_run() -> None:
    assert CI.stat().st_mode & stat.S_IXUSR
    assert CI.read_text(encoding="utf-8").startswith("#!/usr/bin/env bash\n")
    subprocess.run(["bash", "-n", str(CI)], check=True)


def run_ci(tmp_path: Path, failing: str = "") -> tuple[int, list[str]]:
    """Run .ci/run in a bare copy whose every outside program only writes down how it was called."""
    tools, venv = tmp_path / "tools", tmp_path / "house" / ".venv" / "bin"
    ci = tmp_path / "house" / ".ci" / "run"
    for folder in (tools, venv, ci.parent):
        folder.mkdir(parents=True)
    ci.write_bytes(CI.read_bytes())
    (tmp_path / "house" / "README.md").write_text(README, encoding="utf-8")
    log = tmp_path / "called"
    programs = [tools / name for name in ("python3", "dpkg-query", "apt-get")]
    programs += [venv / name for name in ("pip", "pytest", "ruff", "mypy", "lint-imports")]
    for program in programs:
        failed = "exit 1" if program.name == failing else "exit 0"
        program.write_text(f'#!/bin/bash\necho "{program.name} $*" >> "{log}"\n{failed}\n')
        program.chmod(0o755)
    environment = os.environ | {"PATH": f"{tools}:/usr/bin:/bin"}
    done = subprocess.run(["bash", str(ci)], env=environment, capture_output=True, text=True, check=False)
    return done.returncode, log.read_text().splitlines()


@pytest.fixture(scope="module")
def called(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """What .ci/run called when everything went well, in order."""
    code, lines = run_ci(tmp_path_factory.mktemp("ci"))
    assert code == 0
    return lines


def test_ci_runs_the_readmes_test_command_last_and_as_written(called: list[str]) -> None:
    assert called[-3:] == ["python3 -m venv .venv", "pip install -e .[test]", "pytest "]


def test_ci_lints_and_checks_types_and_fences_before_the_tests(called: list[str]) -> None:
    checks = [line for line in called if line.split()[0] in ("ruff", "mypy", "lint-imports")]
    assert checks == ["ruff check .", "ruff format --check .", "mypy ", "lint-imports "]
    assert called.index("lint-imports ") < called.index("pytest ")


def test_ci_asks_for_the_system_packages_it_needs(called: list[str]) -> None:
    installs = [line for line in called if line.startswith("apt-get install")]
    assert len(installs) == 1
    for package in ("libegl1", "libgl1", "libxcb-cursor0", "xvfb", "python3-venv"):
        assert package in installs[0].split()


def test_ci_fails_when_any_of_its_steps_fails(tmp_path: Path) -> None:
    for failing in ("pip", "ruff", "mypy", "lint-imports", "pytest"):
        folder = tmp_path / failing
        folder.mkdir()
        code, _ = run_ci(folder, failing)
        assert code != 0, failing


def test_the_readmes_worksheet_example_answers() -> None:
    found = re.search(r"```sh\n(echo .*?)\n```", README, re.DOTALL)
    assert found is not None
    line = found.group(1).replace(".venv/bin/kiosk", f"{sys.executable} -m kiosk")
    done = subprocess.run(["bash", "-c", line], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "0.8 mL" in done.stdout  # 8 mg of 10 mg in 1 mL
