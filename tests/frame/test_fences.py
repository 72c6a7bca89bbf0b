"""The import contract: it holds, and each of its fences falls over when somebody climbs it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.frame.sources import KIOSK, ROOT

LINT = Path(sys.executable).with_name("lint-imports")


def lint(house: Path) -> tuple[int, str]:
    done = subprocess.run(
        [str(LINT), "--no-cache"],
        cwd=house,
        env=os.environ | {"PYTHONPATH": str(house), "NO_COLOR": "1", "COLUMNS": "200"},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout + done.stderr


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A copy of the house, to plant things in."""
    shutil.copytree(KIOSK, tmp_path / "kiosk", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


CLIMBS = {
    ("core/units.py", "import PySide6"): "kiosk.core.units -> PySide6",
    ("core/findings.py", "import kiosk.printing.label"): "kiosk.core.findings -> kiosk.printing.label",
    ("core/dose/plan.py", "import pint"): "kiosk.core.dose.plan -> pint",
    (
        "core/notation/writing.py",
        "import kiosk.core.label.code",
    ): "kiosk.core.notation.writing -> kiosk.core.label.code",
    (
        "core/checks/check.py",
        "import kiosk.core.preparation.events",
    ): "kiosk.core.checks.check -> kiosk.core.preparation.events",
    ("flow/desk.py", "import sqlalchemy"): "kiosk.flow.desk -> sqlalchemy",
    ("flow/ports.py", "import kiosk.pages.parts"): "kiosk.flow.ports -> kiosk.pages.parts",
    ("pages/parts.py", "import kiosk.ui.shell"): "kiosk.pages.parts -> kiosk.ui.shell",
    ("printing/paper.py", "import kiosk.store.ledger"): "kiosk.printing.paper -> kiosk.store.ledger",
    ("tables/words.py", "import kiosk.wiring"): "kiosk.tables.words -> kiosk.wiring",
}


def test_the_house_keeps_its_contract() -> None:
    code, said = lint(ROOT)
    assert code == 0, said
    assert "0 broken" in said


def test_every_fence_falls_over_when_it_is_climbed(house: Path) -> None:
    for (path, line), _ in CLIMBS.items():
        planted = house / "kiosk" / path
        planted.write_text(planted.read_text(encoding="utf-8") + f"\n{line}\n", encoding="utf-8")
    code, said = lint(house)
    assert code != 0
    assert [chain for chain in CLIMBS.values() if chain not in said] == []


def test_a_room_nobody_placed_is_a_failure(house: Path) -> None:
    (house / "kiosk" / "attic").mkdir()
    (house / "kiosk" / "attic" / "__init__.py").write_text('"""A room nobody placed."""\n')
    code, said = lint(house)
    assert code != 0
    assert "attic" in said
