"""The door to the folders: the checkout's, or the copy inside a wheel."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.tables import resources as door


def test_the_checkouts_folders_are_found() -> None:
    assert (door.resources() / "tables").is_dir()
    assert door.demo_db().name == "demo_db"
    assert door.resource("tables", "x.csv") == door.resources() / "tables" / "x.csv"


def test_the_copy_inside_a_wheel_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "kiosk"
    (package / "_shipped" / "resources").mkdir(parents=True)
    (tmp_path / "resources").mkdir()
    monkeypatch.setattr(door, "_PACKAGE", package)
    door._folder.cache_clear()
    try:
        assert door.resources() == package / "_shipped" / "resources"
        with pytest.raises(door.MissingFolder, match="demo_db"):
            door.demo_db()
    finally:
        door._folder.cache_clear()
