"""Files that are whole or not there, whatever happens to the power."""

from __future__ import annotations

import os
from pathlib import Path


def sync(path: Path) -> None:
    """Make a file, or the names in a folder, durable. Raises ``OSError``."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def write_whole(path: Path, text: str) -> None:
    """Write a file so that it has either its old contents or all of ``text``. Raises ``OSError``."""
    fresh = path.with_name(f"{path.name}.new")
    fresh.write_text(text, encoding="utf-8")
    sync(fresh)
    fresh.replace(path)
    sync(path.parent)
