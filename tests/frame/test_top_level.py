"""The top level holds what it should and nothing else."""

from __future__ import annotations

from tests.frame.sources import ROOT

ALLOWED = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "kiosk",
    "resources",
    "tests",
    "demo_db",
}


def test_the_top_level_is_exactly_the_agreed_list() -> None:
    assert {path.name for path in ROOT.iterdir() if not path.name.startswith(".")} == ALLOWED


def test_the_licence_is_the_one_the_package_names() -> None:
    text = (ROOT / "LICENSE").read_text(encoding="utf-8")
    assert "Apache License" in text
    assert "Version 2.0, January 2004" in text
    assert 'license = "Apache-2.0"' in (ROOT / "pyproject.toml").read_text(encoding="utf-8")
