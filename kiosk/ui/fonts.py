"""The bundled face: loaded once, asked for by the height of its capitals in dots."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

from PySide6.QtGui import QFont, QFontDatabase


class FaceMissing(RuntimeError):
    """A bundled font file cannot be used: the installation is broken."""


class Faces:
    """The faces of ``fonts.toml``: ``font`` gives one of them at a size.

    ``cap_share`` is the height of a capital as a share of the type size.
    """

    def __init__(self, folder: Path) -> None:
        with (folder / "fonts.toml").open("rb") as file:
            listed = tomllib.load(file)
        self.cap_share = float(listed["cap_height"])
        self._families = {
            name: _loaded(folder / face["file"], face["family"]) for name, face in listed["face"].items()
        }
        self._fonts: dict[tuple[str, int], QFont] = {}

    def font(self, weight: str, cap_dots: float) -> QFont:
        """Return ``regular``, ``semibold`` or ``bold`` with capitals at least ``cap_dots`` high."""
        return self.sized(weight, max(1, math.ceil(cap_dots / self.cap_share - 0.01)))

    def sized(self, weight: str, pixels: int) -> QFont:
        """Return a face at a type size in dots."""
        found = self._fonts.get((weight, pixels))
        if found is None:
            found = QFont(self._families[weight])
            found.setPixelSize(pixels)
            found.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
            found.setStyleStrategy(QFont.StyleStrategy.PreferAntialias)
            self._fonts[weight, pixels] = found
        return found


def _loaded(path: Path, family: str) -> str:
    """Load one file and return its family. Raises ``FaceMissing``."""
    number = QFontDatabase.addApplicationFont(str(path))
    if number < 0 or family not in QFontDatabase.applicationFontFamilies(number):
        raise FaceMissing(f"{path.name} does not give the family {family!r}")
    return family
