"""The one door to the folders that ship beside the code: ``resources`` and ``demo_db``.

In a checkout they stand next to the package; in a wheel they lie inside it, in ``_shipped``.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import kiosk

_PACKAGE = Path(kiosk.__file__).resolve().parent


class MissingFolder(RuntimeError):
    """A folder that ships with the kiosk is not there: the installation is broken."""


@lru_cache(maxsize=8)
def _folder(name: str) -> Path:
    """Return the shipped copy of a folder, else the checkout's. Raises ``MissingFolder``."""
    for place in (_PACKAGE / "_shipped" / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise MissingFolder(f"the folder {name!r} is neither in the package nor beside it")


def resources() -> Path:
    """Return the folder of tables, words, fonts, icons, schemas and themes."""
    return _folder("resources")


def demo_db() -> Path:
    """Return the folder of the invented ward."""
    return _folder("demo_db")


def resource(*parts: str) -> Path:
    """Return the path of one file or folder under ``resources``; it need not exist."""
    return resources().joinpath(*parts)
